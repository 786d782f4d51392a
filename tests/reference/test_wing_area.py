"""Span, area, mean chord and the gap behind the trailing edge on trapezoid wings.

Source: the trapezoid wing with root chord 1.5, tip chord 0.9, span 8: S 9.6, mean aerodynamic
chord 2/3 cr (1 + t + t^2) / (1 + t) = 1.225; status DERIVED, integrated here a second way.
"""

import math

import numpy as np
import pytest
from asking import propeller_figures
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon, BRepBuilderAPI_Transform
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.gp import gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.kernel.brep.primitives import box, ring
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut_pieces
from geomgen.kernel.solids.properties import bounding_box
from geomgen.measurements.planform import planform

TOLERANCE = 0.1


def flat_wing(rows: list[tuple[float, float, float]], height: float = 0.0) -> TopoDS_Shape:
    """Return a wing of diamond sections: (buttock line, leading edge, chord) [mm], ruled."""
    loft = BRepOffsetAPI_ThruSections(True, True)
    for y, x, c in rows:
        outline = BRepBuilderAPI_MakePolygon()
        for dx, dz in ((0.0, 0.0), (0.4, 0.06), (1.0, 0.0), (0.4, -0.06)):
            outline.Add(gp_Pnt(x + dx * c, y, height + dz * c))
        outline.Close()
        loft.AddWire(outline.Wire())
    loft.Build()
    return TopoDS.Solid(loft.Shape())


def trapezoid(height: float = 0.0, sweep: float = 0.0) -> TopoDS_Shape:
    """Return the wing of the source; `sweep` moves the tips' quarter chord aft [mm]."""
    tip = (4000.0, 0.25 * 600.0 + sweep, 900.0)
    return flat_wing([(-4000.0, *tip[1:]), (0.0, 0.0, 1500.0), tip], height)


def body(solid: TopoDS_Shape):
    made = meshed(solid, TOLERANCE)
    return body_of(solid, made.mesh, made.deviation.largest)


@pytest.mark.parametrize("sweep", [0.0, 800.0])
def test_trapezoid(sweep: float) -> None:
    found = planform({"wing": body(trapezoid(sweep=sweep))}, {})
    y = np.linspace(0.0, 4000.0, 100_001)
    chord = 1500.0 - 600.0 * y / 4000.0
    assert 2 * np.trapezoid(chord, y) == pytest.approx(9.6e6)
    assert found.span == pytest.approx(8000.0, abs=1e-3)
    assert found.area == pytest.approx(9.6e6, rel=1e-6)
    assert found.mean_aerodynamic_chord == pytest.approx(1225.0, rel=1e-6)
    assert np.trapezoid(chord**2, y) / np.trapezoid(chord, y) == pytest.approx(1225.0)


def test_a_wing_of_three_panels() -> None:
    """S and the chord's second moment by panels: (c1^2 + c1 c2 + c2^2) / 3 times the length."""
    rows = [(0.0, 0.0, 1200.0), (1300.0, 0.0, 1200.0)]
    rows += [(3000.0, 100.0, 1000.0), (4000.0, 150.0, 500.0)]
    outline = [(-y, x, c) for y, x, c in reversed(rows[1:])] + rows
    found = planform({"wing": body(flat_wing(outline))}, {})
    area = moment = 0.0
    for (ya, _, a), (yb, _, b) in zip(rows[:-1], rows[1:], strict=True):
        area += (yb - ya) * (a + b)
        moment += 2 * (yb - ya) * (a * a + a * b + b * b) / 3
    assert found.area == pytest.approx(area, rel=1e-5)
    assert found.mean_aerodynamic_chord == pytest.approx(moment / area, rel=1e-5)


def model(wing: TopoDS_Shape, front: float, height: float = 0.0, tip: float = 650.0) -> Model:
    axis = Axis((front + 40.0, 0.0, height), (1.0, 0.0, 0.0))
    parts = {"prop_disc": ring(axis, -40.0, 40.0, 60.0, tip), "wing": wing}
    return Model(parts=parts, families={n: n for n in parts}, thrust_line=axis)


def gap(m: Model):
    only = {"swept volume", "trailing edge", "ground"}
    found = propeller_figures(m, keep=lambda question: question.name in only)
    return found["prop.trailing_edge_gap"]


def edge_and_chord(y: float, sweep: float = 0.0) -> tuple[float, float]:
    share = abs(y) / 4000.0
    chord = 1500.0 - 600.0 * share
    return (150.0 + sweep) * share + chord, chord


def test_gap_is_least_at_the_centre_where_the_edge_is_aftmost() -> None:
    """Unswept quarter chord: the edge runs forward outboard."""
    found = gap(model(trapezoid(), 1700.0))
    assert found.value == pytest.approx(200.0 / 1500.0, rel=1e-4)
    assert found.part == "wing"
    assert abs(found.value - 200.0 / 1500.0) <= found.error_bound


@pytest.mark.parametrize("height", [0.0, 300.0])
def test_gap_of_a_swept_wing_is_least_at_the_rim_of_the_disc(height: float) -> None:
    """The edge leaves the disc where y^2 + h^2 = R^2; there the gap is least."""
    y = math.sqrt(650.0**2 - height**2)
    edge, chord = edge_and_chord(y, 1200.0)
    found = gap(model(trapezoid(sweep=1200.0), 2100.0, -height))
    assert found.value == pytest.approx((2100.0 - edge) / chord, abs=1e-6)


def test_an_edge_aft_of_the_front_is_negative() -> None:
    assert gap(model(trapezoid(), 1450.0)).value == pytest.approx(-50.0 / 1500.0, rel=1e-4)


def test_a_wing_above_the_disc_is_measured_all_the_same_and_it_is_said() -> None:
    found = gap(model(trapezoid(height=900.0), 1700.0))
    assert found.value == pytest.approx(200.0 / 1500.0, rel=1e-4)
    assert found.note


def test_a_notch_in_the_middle_moves_the_least_gap_to_its_edge() -> None:
    """Where the wing is trimmed away there is no trailing edge to measure from."""
    notch = box((-100, -200, -200), (2000, 200, 200))
    m = model(cut_pieces(trapezoid(), [notch], "wing", "notch")[0], 1700.0)
    edge, chord = edge_and_chord(200.0)
    assert gap(m).value == pytest.approx((1700.0 - edge) / chord, abs=1e-6)


def test_a_wing_in_two_halves_is_measured_on_both() -> None:
    """The left half stands 100 mm further aft; the edge beside the gap is the aftmost there."""
    notch = box((-100, -200, -200), (2000, 200, 200))
    right, left = sorted(
        cut_pieces(trapezoid(), [notch], "wing", "notch"), key=lambda s: -bounding_box(s).high[1]
    )
    m = model(right, 1700.0)
    m.parts = {"prop_disc": m.parts["prop_disc"], "wing_right": right, "wing_left": moved(left)}
    m.families = {"prop_disc": "prop_disc", "wing_right": "wing", "wing_left": "wing"}
    edge, chord = edge_and_chord(200.0)
    found = gap(m)
    assert found.value == pytest.approx((1600.0 - edge) / chord, abs=1e-6)
    assert found.part == "wing_left"


def moved(solid: TopoDS_Shape) -> TopoDS_Shape:
    """Return a solid 100 mm further aft."""
    way = gp_Trsf()
    way.SetTranslation(gp_Vec(100.0, 0.0, 0.0))
    return BRepBuilderAPI_Transform(solid, way, True).Shape()
