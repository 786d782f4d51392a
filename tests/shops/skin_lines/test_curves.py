"""Lines on the skin of a cylinder and of a spheroid, by closed forms; and wrong ones, caught."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from shops.moulds.plain_moulds import (
    LENGTH,
    LONG,
    RADIUS,
    SHORT,
    SKIN,
    cylinder_pod,
    spheroid_pod,
    with_mould,
)

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Glass
from geomgen.kernel.plane_frame import at_station
from geomgen.shops.moulds.cutouts import sides_of as sides_of_halves
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.passing_parts import Passing
from geomgen.shops.skin_lines import curves
from geomgen.shops.skin_lines.curves import clipped, lines_finding, lines_on
from geomgen.shops.skin_lines.openings import OpeningEdge
from geomgen.shops.skin_lines.planes import ALL, SkinPlane, canopy_planes, edge_plane

CORE = RADIUS - SKIN


def sides_of(p, mould, gap):
    return sides_of_halves([moulded(half, Bounds()) for half in halves(p, mould, gap)])


@pytest.fixture(scope="module")
def core(saltmarsh):
    """Return the halves of a cylinder of RADIUS, smaller by the skin."""
    p, mould = with_mould(cylinder_pod(saltmarsh), treatment="core_minus_skin")
    return sides_of(p, mould, -SKIN)


def radii(line):
    return np.concatenate([np.hypot(run[:, 1], run[:, 2]) for run in line.runs])


def test_a_station_is_half_a_circle_on_the_core_and_not_on_the_outside(core):
    for side, way in zip(core, (1.0, -1.0), strict=True):
        found = lines_on(side, [SkinPlane("frame", at_station(300.0))])
        (line,) = found.lines
        assert line.length == pytest.approx(np.pi * CORE, rel=1e-3)
        assert radii(line) == pytest.approx(CORE, abs=0.02)
        points = np.concatenate(line.runs)
        assert points[:, 0] == pytest.approx(300.0, abs=1e-9)
        assert (way * points[:, 1]).min() > -1e-6
        (finding,) = lines_finding("pod", [found])
        assert finding.verdict == "pass"
        # Between the ends of a chord the line may sag by the chord's own bound.
        assert finding.measured < 0.021


def test_a_canopy_is_two_arcs_and_a_sill_between_them(core):
    lines = {q.name: q for q in lines_on(core[0], canopy_planes(Glass(100, 250, 20, 60))).lines}
    assert lines["canopy, fore end"].length == pytest.approx(CORE * np.arccos(20 / CORE), rel=1e-3)
    assert lines["canopy, aft end"].length == pytest.approx(CORE * np.arccos(60 / CORE), rel=1e-3)
    sill = lines["canopy, sill"]
    points = np.concatenate(sill.runs)
    assert points[:, 2] == pytest.approx(20 + 40 * (points[:, 0] - 100) / 150, abs=1e-6)
    assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((100.0, 250.0), abs=1e-6)

    def rate(x):
        z = 20 + 40 * (x - 100) / 150
        slope = 40 / 150
        return np.sqrt(1 + slope**2 + (z * slope) ** 2 / (CORE**2 - z**2))

    assert sill.length == pytest.approx(quad(rate, 100, 250)[0], rel=1e-4)


@pytest.mark.long
def test_on_a_spheroid_the_line_has_the_radius_of_its_station(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    (side, _) = sides_of(p, mould, 0.0)
    (line,) = lines_on(side, [SkinPlane("firewall", at_station(420.0))]).lines
    wanted = SHORT * np.sqrt(1 - (120.0 / LONG) ** 2)
    assert radii(line) == pytest.approx(wanted, abs=0.1)


def test_a_bar_through_the_side_leaves_its_square(core):
    bar = Passing("wing", 2.0, {"wing": box((60.0, -300.0, -20.0), (140.0, 300.0, 20.0))}, 58, 142)
    found = lines_on(core[0], [], [bar])
    (line,) = found.lines
    # Two straight edges of 80 mm and two arcs over 40 mm of height.
    assert line.length == pytest.approx(160 + 4 * CORE * np.arcsin(20 / CORE), rel=1e-3)
    assert lines_finding("pod", [found])[0].measured < 0.1


def test_a_bar_with_a_sharp_round_edge_is_followed_round_it(core):
    rod = cylinder((400.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.8, 300.0)
    found = lines_on(core[0], [], [Passing("wing", 1.0, {"wing": rod}, 398, 402)])
    assert sum(line.length for line in found.lines) == pytest.approx(np.pi * 1.6, rel=0.01)
    assert lines_finding("pod", [found])[0].verdict == "pass"


def test_flat_ends_have_no_line_and_a_skin_without_lines_no_finding(core):
    below = SkinPlane("plate", at_station(300.0), (*ALL[:2], (200.0, 300.0)))
    found = lines_on(core[0], [below, SkinPlane("far", at_station(LENGTH + 50.0))])
    assert found.lines == ()
    assert lines_finding("pod", [found]) == []


def test_the_skin_forgotten_fails(saltmarsh, core):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    (outside, _) = sides_of(p, mould, 0.0)
    wrong = replace(lines_on(outside, [SkinPlane("frame", at_station(300.0))]), side=core[0])
    (finding,) = lines_finding("pod", [wrong])
    assert (finding.verdict, finding.measured) == ("fail", pytest.approx(SKIN, abs=0.02))


def test_a_line_on_the_wrong_side_of_its_sheet_or_of_the_machine_fails(core):
    right = lines_on(core[0], [SkinPlane("frame", at_station(300.0))])
    (line,) = right.lines
    aft = replace(line, cut_from=SkinPlane("frame", at_station(306.0)))
    (finding,) = lines_finding("pod", [replace(right, lines=(aft,))])
    assert (finding.verdict, finding.measured) == ("fail", pytest.approx(6.0, abs=1e-6))
    (finding,) = lines_finding("pod", [replace(right, side=core[1])])
    assert finding.verdict == "fail"
    assert finding.measured > 0.9 * CORE


def test_an_opening_is_laid_square_onto_the_core(core):
    turn = np.linspace(0.2, 1.2, 30)
    edge = np.c_[np.full(30, 400.0), RADIUS * np.cos(turn), RADIUS * np.sin(turn)]
    found = lines_on(core[0], [], (), [OpeningEdge("opening for scoop", (edge,), SKIN)])
    (line,) = found.lines
    assert line.runs[0] == pytest.approx(edge * [1, CORE / RADIUS, CORE / RADIUS], abs=0.005)
    assert lines_finding("pod", [found])[0].measured < 0.1
    rim = edge_plane("trim line", 0, 400.0)
    again = lines_on(core[0], [rim], (), [line.cut_from])
    assert [one.name for one in again.lines] == ["trim line"]
    aside = replace(line, runs=(line.runs[0] + [1.5, 0.0, 0.0],))
    (finding,) = lines_finding("pod", [replace(found, lines=(aside,))])
    assert finding.verdict == "fail"


def test_a_rib_lies_on_both_halves_of_a_wing_tip(saltmarsh):
    fields = {"part": "wing_tip", "split": "maximum breadth", "from_buttock_line": 4350.0}
    p, mould = with_mould(saltmarsh, treatment="core_minus_skin", skin=0.45, **fields)
    made = [moulded(half, Bounds(end=(0.0, 1.0, 0.0))) for half in halves(p, mould, -0.45)]
    rib = edge_plane("rib", 1, 4450.0)
    both = [lines_on(side, [rib]) for side in sides_of_halves(made)]
    chords = [np.ptp(np.concatenate(half.lines[0].runs)[:, 0]) for half in both]
    assert chords[0] == pytest.approx(chords[1], abs=1.0)
    assert lines_finding("wing_tip", both)[0].verdict == "pass"


def test_a_plane_in_a_flat_end_is_drawn_just_inside(core):
    found = lines_on(core[0], [SkinPlane("bulkhead", at_station(LENGTH))])
    points = np.concatenate(found.lines[0].runs)
    assert points[:, 0] == pytest.approx(LENGTH - 0.05)
    (finding,) = lines_finding("pod", [found])
    assert (finding.verdict, finding.measured) == ("pass", pytest.approx(0.05))


def test_a_cut_without_an_edge_on_the_skin_is_said(core):
    bare = replace(core[0], faces=core[1].faces)
    assert lines_on(bare, [SkinPlane("frame", at_station(300.0))]).undrawn == ("frame",)


def test_what_could_not_be_cut_is_said(core, monkeypatch):
    def refused(*_):
        raise GeometryError("no")

    monkeypatch.setattr(curves, "plane_cut", refused)
    assert lines_on(core[0], [SkinPlane("frame", at_station(300.0))]).undrawn == ("frame",)


def test_a_run_is_clipped_where_it_passes_a_bound_each_time():
    run = np.array([[0.0, 0.0, 0.0], [4.0, 4.0, 0.0], [8.0, 0.0, 0.0]])
    two = clipped(run, (ALL[0], (-1.0, 2.0), ALL[2]))
    assert [piece[:, 0].tolist() for piece in two] == [[0.0, 2.0], [6.0, 8.0]]


def test_a_round_bar_along_the_pull_is_a_circle_in_that_view(core):
    rod = cylinder((400.0, 0.0, 0.0), (0.0, 1.0, 0.0), 30.0, 300.0)
    (line,) = lines_on(core[0], [], [Passing("boom", 1.0, {"boom": rod}, 369, 431)]).lines
    points = np.concatenate(line.runs)
    assert np.hypot(points[:, 0] - 400.0, points[:, 2]) == pytest.approx(30.0, abs=0.01)
