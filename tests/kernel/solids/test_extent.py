"""How far shapes reach: closed forms, and that passing faces by changes no figure."""

import math

import numpy as np
import pytest
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax2, gp_Dir, gp_Elips, gp_Pnt, gp_Vec

from geomgen.kernel.brep.primitives import box, cylinder, tilted, wheel
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.solids import extent


def spindle():
    x = np.array([0.0, 100.0, 300.0, 700.0])
    r = np.array([0.0, 40.0, 60.0, 30.0])
    w = np.full(4, 1.0 / math.sqrt(2))
    return body(outer_skin(lay(Stations(x, r, -r, r, 0.0 * r, w, w, "round", "flat"))), "spindle")


def rod():
    """An ellipse pushed askew: a surface that the kernel has as an extrusion."""
    axes = gp_Ax2(gp_Pnt(1.0, 2.0, 3.0), gp_Dir(0.0, 0.6, 0.8))
    edge = BRepBuilderAPI_MakeEdge(gp_Elips(axes, 20.0, 8.0)).Edge()
    flat = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(edge).Wire()).Face()
    return BRepPrimAPI_MakePrism(flat, gp_Vec(0.0, 40.0, 11.0)).Shape()


BODIES = {
    "box": lambda: tilted(box((0, 0, 0), (10, 20, 30)), (0, 0, 0), 20.0),
    "pin": lambda: cylinder((5, 1, 2), (0.0, 0.6, 0.8), 9.0, 60.0),
    "upright pin": lambda: cylinder((5, 1, 2), (0.0, 0.0, 1.0), 9.0, 60.0),
    "wheel": lambda: wheel((0.0, 30.0, 200.0), 400.0, 90.0),
    "spindle": spindle,
    "rod": rod,
}


@pytest.mark.parametrize("name", list(BODIES))
def test_passing_faces_by_changes_no_figure(name, monkeypatch) -> None:
    solid, asked = BODIES[name](), []
    critical = extent._critical
    monkeypatch.setattr(extent, "_critical", lambda *a: asked.append(a) or critical(*a))
    found = extent.exact_box(solid, 100.0)
    few = len(asked)
    monkeypatch.setattr(extent, "_on_its_edges", lambda *_: False)
    every = extent.exact_box(solid, 100.0)
    assert (*found.low, *found.high) == pytest.approx((*every.low, *every.high), abs=1e-11)
    assert few <= len(asked) - few
    if "pin" in name or name == "rod":
        assert few < len(asked) - few


def test_a_leaning_pin_reaches_as_far_as_its_discs() -> None:
    """Closed form: an end's middle and, across it, the radius times the sine of its lean."""
    made = extent.exact_box(cylinder((5, 1, 2), (0.0, 0.6, 0.8), 9.0, 60.0), 100.0)
    assert made.low == pytest.approx((5 - 9.0, 1 - 9.0 * 0.8, 2 - 9.0 * 0.6), abs=1e-5)
    assert made.high == pytest.approx((14.0, 1 + 36 + 9 * 0.8, 2 + 48 + 9 * 0.6), abs=1e-5)


def test_a_spline_that_bulges_beyond_its_edges_is_still_asked() -> None:
    """The spindle's waist lies inside its quadrants: its breadth is twice the largest radius."""
    made = extent.exact_box(spindle(), 700.0)
    assert max(made.high[1], made.high[2]) >= 60.0
