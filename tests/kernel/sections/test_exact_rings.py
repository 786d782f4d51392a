"""Exact rings against closed forms: circles, ellipses, a torus, rings of a sphere."""

import math
from dataclasses import replace

import numpy as np
import pytest
from meshed_bodies import body, rings
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.TopoDS import TopoDS

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plane_frame import Frame, at_station, at_waterline
from geomgen.kernel.sections import passes
from geomgen.kernel.sections.exact_rings import summed
from geomgen.kernel.solids.booleans import cut

X = (1.0, 0.0, 0.0)


def spline(solid):
    return TopoDS.Solid(BRepBuilderAPI_NurbsConvert(solid, True).Shape())


@pytest.mark.parametrize("lean", [0.0, 0.2, 0.9])
@pytest.mark.parametrize("as_spline", [False, True])
def test_a_leaning_plane_through_a_cylinder_is_an_ellipse(lean: float, as_spline: bool) -> None:
    rod = cylinder((-200, 3, 5), X, 20.0, 400.0)
    frame = Frame((7.0, 0.0, 0.0), (0.0, 1.0, 0.0), (math.sin(lean), 0.0, math.cos(lean)))
    (ring,) = rings(body(spline(rod) if as_spline else rod), frame)
    due = math.pi * 400.0 / math.cos(lean)
    assert ring.area == pytest.approx(due, rel=1e-10)
    assert abs(ring.area - due) <= ring.error
    # The axis passes the plane where z = 5 stands on it.
    assert ring.moments / ring.area == pytest.approx((3.0, 5.0 / math.cos(lean)), abs=1e-7)


@pytest.mark.parametrize("at", [0.5, 3.7, -8.0])
def test_a_torus_is_cut_in_two_circles(at: float) -> None:
    one = body(BRepPrimAPI_MakeTorus(50.0, 10.0).Solid())
    found = rings(one, at_waterline(at))
    wide = math.sqrt(100.0 - at**2)
    area, error, _ = summed(found)
    due = math.pi * ((50.0 + wide) ** 2 - (50.0 - wide) ** 2)
    assert area == pytest.approx(due, rel=1e-9)
    assert abs(area - due) <= error


def test_a_box_is_met_exactly_and_corners_lie_on_its_edges() -> None:
    (ring,) = rings(body(box((0, 0, 0), (10, 20, 30))), at_station(4.0))
    assert ring.area == pytest.approx(600.0, abs=1e-9)
    assert {(round(y), round(z)) for y, z in ring.points} >= {(0, 0), (20, 0), (20, 30), (0, 30)}


def test_places_between_the_nodes_lie_on_the_outline() -> None:
    (ring,) = rings(body(cylinder((0, 0, 0), X, 20.0, 100.0)), at_station(40.0))
    far = np.linalg.norm(ring.at(ring.spread(0.3)), axis=1)
    assert far == pytest.approx(np.full(len(far), 20.0), abs=1e-8)
    steps = np.linalg.norm(np.diff(ring.at(ring.spread(0.3)), axis=0), axis=1)
    assert steps.max() <= 0.31


def test_a_mesh_that_is_not_the_solids_is_refused() -> None:
    """The mesh of a thicker rod: its nodes would move farther than it says it may be off."""
    thin, thick = (cylinder((0, 0, 0), X, r, 100.0) for r in (20.0, 21.0))
    assert rings(body(thick), at_station(40.0))[0] is not None
    assert rings(replace(body(thick), solid=thin), at_station(40.0)) == [None]


def test_a_corner_that_does_not_settle_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A few steps along a round edge end off the plane, though near it."""
    rod = body(cylinder((0, 0, 0), X, 20.0, 100.0))
    assert rings(rod, at_waterline(12.3))[0] is not None
    monkeypatch.setattr(passes, "STEPS", 4)
    assert rings(rod, at_waterline(12.3)) == [None]


def test_a_skin_that_lies_nearly_in_the_plane_is_refused() -> None:
    """Just under the top of a ball the skin leans by less than a tenth."""
    ball = body(BRepPrimAPI_MakeSphere(100.0).Solid())
    assert rings(ball, at_waterline(90.0))[0] is not None
    assert None in rings(ball, at_waterline(99.7))


def test_a_hollow_with_trimmed_faces() -> None:
    """A drilled block: straight sides, a hole, faces that a boolean made (closed form)."""
    block = cut(box((0, 0, 0), (60, 50, 40)), [cylinder((-1, 25, 20), X, 12.0, 80.0)], "b", "bore")
    area, error, middle = summed(rings(body(block), at_station(30.0)))
    assert area == pytest.approx(2000.0 - math.pi * 144.0, rel=1e-10)
    assert abs(area - (2000.0 - math.pi * 144.0)) <= error
    assert middle == pytest.approx((25.0, 20.0), abs=1e-8)
