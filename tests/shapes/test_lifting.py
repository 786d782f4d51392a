"""Wings, fins, pylon: where the corners are for a given chord, sweep, dihedral, washout."""

import math

import numpy as np
import pytest
from few_cases import few
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_SHELL
from OCP.TopExp import TopExp_Explorer

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Plane
from geomgen.kernel.sections.section import MeshSlices, ends, regions
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.probing import points_on
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.measurements.planform import planform
from geomgen.shapes.aerofoil import HALF
from geomgen.shapes.lifting import (
    fins,
    pylon,
    tailplane,
    tailplane_cutters,
    wing,
    wing_cutters,
    wing_sections,
)

TAPER = (
    "wing.incidence=0 deg",
    "wing.sections.1.dihedral=0 deg",
    "wing.sections.2.dihedral=0 deg",
    "wing.sections.2.washout=0 deg",
)


def corners(p, buttock_line: float):
    """Return leading and trailing edge of the wing's solid at a buttock line."""
    mesh = meshed(wing(p).solid, 0.05).mesh
    return ends(MeshSlices(mesh).at(buttock_line), (1.0, 0.0, 0.0))


def nose_up(section) -> float:
    """Return the angle [deg] by which a section's chord has its nose above its trailing edge."""
    points = section.points()
    nose, edge = points[HALF], 0.5 * (points[0] + points[-1])
    return math.degrees(math.atan2(nose[2] - edge[2], edge[0] - nose[0]))


def sections(p):
    return wing_sections(p, p.wing)


def test_positive_washout_turns_the_tip_nose_down(variant) -> None:
    """Against the same wing without it, by the stated angle; the root stays as it is."""
    flat = sections(variant(*TAPER))
    washed = sections(variant(*TAPER[:3], "wing.sections.2.washout=4 deg"))
    assert nose_up(washed[-1]) - nose_up(flat[-1]) == pytest.approx(-4.0, abs=1e-9)
    assert nose_up(washed[0]) == pytest.approx(nose_up(flat[0]), abs=1e-9)


def test_signs_that_are_seldom_meant_are_said(variant) -> None:
    assert wing(variant(*TAPER[:3], "wing.sections.2.washout=4 deg")).notes == ()
    turned = variant("wing.sections.2.washout=-2 deg", "wing.sections.1.dihedral=-3 deg")
    washed, hung = sorted(wing(turned).notes, reverse=True)
    assert "sections.2.washout: the section stands 2 deg nose up against the root" in washed
    assert "sections.1.dihedral: the panel inboard of the section hangs down by 3 deg" in hung


def test_positive_incidence_turns_the_root_nose_up(variant) -> None:
    flat, set_up = sections(variant(*TAPER)), sections(variant("wing.incidence=3 deg", *TAPER[1:]))
    assert nose_up(set_up[0]) - nose_up(flat[0]) == pytest.approx(3.0, abs=1e-9)


def test_washed_out_tip_of_the_solid_hangs_its_nose(variant) -> None:
    """The same on the solid: with the tip nose down its leading edge lies lower."""
    flat, washed = variant(*TAPER), variant(*TAPER[:3], "wing.sections.2.washout=4 deg")
    at = washed.wing.sections[-1].buttock_line - 0.01
    drop = corners(washed, at)[0][2] - corners(flat, at)[0][2]
    chord = washed.wing.sections[-1].chord
    assert drop == pytest.approx(-0.25 * chord * math.sin(math.radians(4)), abs=0.01 * chord)


def test_positive_dihedral_raises_the_tip_by_its_tangent(variant) -> None:
    flat, raised = variant(*TAPER), variant(*TAPER[:2], TAPER[3], "wing.sections.2.dihedral=5 deg")
    inner, tip = (raised.wing.sections[i].buttock_line for i in (1, 2))
    rise = corners(raised, tip - 0.01)[1][2] - corners(flat, tip - 0.01)[1][2]
    assert rise == pytest.approx((tip - inner) * math.tan(math.radians(5)), abs=0.2)


def test_sweep_is_that_of_the_quarter_chord(variant) -> None:
    swept = variant(*TAPER, "wing.sections.2.sweep=10 deg")
    flat = variant(*TAPER)
    inner, tip = (swept.wing.sections[i].buttock_line for i in (1, 2))
    back = corners(swept, tip - 0.01)[0][0] - corners(flat, tip - 0.01)[0][0]
    assert back == pytest.approx((tip - inner) * math.tan(math.radians(10)), abs=0.2)
    chord_in, chord_tip = (flat.wing.sections[i].chord for i in (1, 2))
    unswept = corners(flat, tip - 0.01)[0][0] - corners(flat, inner)[0][0]
    assert unswept == pytest.approx((chord_in - chord_tip) / 4, abs=0.5)


def test_area_and_mean_aerodynamic_chord_of_the_builders_wing(variant) -> None:
    """Two trapezoids a side (plane geometry, DERIVED): S and the mean of c^2 over that of c."""
    p = variant(*TAPER)
    solid = wing(p).solid
    made = meshed(solid, 0.05)
    body = body_of(solid, made.mesh, made.deviation.largest)
    found = planform({"wing": body}, {})
    rows = [(s.buttock_line, s.chord) for s in p.wing.sections]
    y = np.linspace(0, rows[-1][0], 20_001)
    chord = np.interp(y, *zip(*rows, strict=True))
    area = 2 * float(np.trapezoid(chord, y))
    mean = float(np.trapezoid(chord**2, y)) * 2 / area
    assert found.span == pytest.approx(2 * rows[-1][0], abs=1e-6)
    assert found.area == pytest.approx(area, rel=1e-3)
    assert found.mean_aerodynamic_chord == pytest.approx(mean, rel=1e-3)


def test_trailing_edge_is_as_thick_as_stated(variant) -> None:
    for section in sections(variant("wing.trailing_edge_thickness=6 mm", *TAPER)):
        points = section.points()
        assert np.linalg.norm(points[0] - points[-1]) == pytest.approx(6.0, abs=1e-9)


def test_fins_stand_up_and_sweep_back(variant) -> None:
    p = variant()
    right, left = fins(p)
    box = bounding_box(right.solid)
    top = p.fins.sections[-1]
    assert box.low[2] == pytest.approx(p.fins.waterline + p.fins.sections[0].height, abs=1e-6)
    assert box.high[2] == pytest.approx(p.fins.waterline + top.height, abs=1e-6)
    assert box.centre[1] == pytest.approx(p.fins.buttock_line, abs=1e-6)
    assert bounding_box(left.solid).centre[1] == pytest.approx(-p.fins.buttock_line, abs=1e-6)


@pytest.mark.parametrize(
    ("dihedral", "gap"),
    few([(-50.0, 0.3), (50.0, 20.0), (-50.0, 20.0), (50.0, 0.3)], 0, 1, rows=True),
)
def test_a_knife_with_steep_dihedral_stands_off_all_round(variant, dihedral, gap) -> None:
    """The stated gap in the plane of a section, square to the skin times the cosine; ends too."""
    p = variant(
        f"tailplane.sections.1.dihedral={dihedral} deg",
        "tailplane.sections.0.aerofoil=NACA 0012",
        "tailplane.sections.1.aerofoil=NACA 0012",
    )
    (cutter,) = tailplane_cutters(p)
    solid = tailplane(p).solid
    knife = cutter.knife(gap, loose_box(solid))
    off = [point_off(knife, point) for point in points_on(solid)]
    least = gap * math.cos(math.radians(dihedral))
    assert min(off) == pytest.approx(least, rel=0.03)
    assert max(off) < 1.5 * gap


def point_off(solid, point) -> float:
    """Return how far a point [mm] inside a solid is from its skin."""
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
    shell = TopExp_Explorer(solid, TopAbs_SHELL).Current()
    return closest(vertex, shell).distance


def test_square_to_a_steep_panel_the_aerofoil_is_thinner_by_the_cosine(variant) -> None:
    """As the description of the key says, on the solid: of equal chord, sections' areas tell."""
    p = variant(
        "tailplane.sections.1.dihedral=-45 deg",
        "tailplane.sections.0.aerofoil=NACA 0012",
        "tailplane.sections.1.aerofoil=NACA 0012",
        "tailplane.incidence=0 deg",
    )
    chord, solid = p.tailplane.sections[0].chord, tailplane(p).solid
    seed = (p.tailplane.leading_edge + chord / 2, 390.0, p.tailplane.waterline - 390.0)
    areas = []
    for normal in ((0.0, 1.0, 0.0), (0.0, math.sqrt(0.5), -math.sqrt(0.5))):
        (section,) = regions(frame_round(Plane(seed, normal), seed), solid)
        areas.append(section.area)
    assert areas[1] == pytest.approx(areas[0] * math.cos(math.radians(45)), rel=1e-5)


def test_knife_is_short_near_the_part_it_cuts(variant) -> None:
    """A wing's knife reaches no farther than the part it cuts, but for a margin."""
    p = variant()
    near = loose_box(pylon(p).solid)
    (cutter,) = wing_cutters(p)
    knife = cutter.knife(0.3, near)
    box = bounding_box(knife)
    assert box.high[1] < near.high[1] + 25.0
    assert box.low[1] > near.low[1] - 25.0
    assert 0 < volume(knife).value < 0.2 * volume(wing(p).solid).value
