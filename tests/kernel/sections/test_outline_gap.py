"""Slits between circles and ellipses in closed form."""

import math

import pytest
from meshed_bodies import body, rings

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.outline_gap import widest_slit

X = (1.0, 0.0, 0.0)


def ring(solid):
    (found,) = rings(body(solid), at_station(5.0))
    return found


@pytest.mark.parametrize(("y", "z"), [(0.0, 0.0), (1.0, 0.0), (-0.7, 1.1), (0.05, -0.02)])
def test_a_disc_off_its_middle(y: float, z: float) -> None:
    """Widest opposite to where it moved: the radii's difference and the way it moved."""
    hull, sheet = cylinder((0, 0, 0), X, 300.0, 10.0), cylinder((0, y, z), X, 297.0, 10.0)
    found = widest_slit(ring(sheet), ring(hull))
    assert found.gap == pytest.approx(3.0 + math.hypot(y, z), abs=1e-7)
    assert math.dist(found.rim, found.wall) == pytest.approx(found.gap, abs=1e-12)
    assert 0.0 < found.bound < 0.03


def test_a_square_in_a_circle_is_farthest_at_the_middle_of_its_sides() -> None:
    half = 200.0
    found = widest_slit(ring(box((0, -half, -half), (10, half, half))), ring(
        cylinder((0, 0, 0), X, 300.0, 10.0)
    ))  # fmt: skip
    assert found.gap == pytest.approx(100.0, abs=1e-9)


def test_a_slit_narrower_than_the_steps_is_not_overrated() -> None:
    """0.2 mm all round, looked at every half millimetre."""
    hull, sheet = cylinder((0, 0, 0), X, 300.0, 10.0), cylinder((0, 0, 0), X, 299.8, 10.0)
    assert widest_slit(ring(sheet), ring(hull)).gap == pytest.approx(0.2, abs=1e-8)


def grooved(half, apart, grooves):
    """Return a square hull with grooves (middle, width) 20 mm deep in one side."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec
    from OCP.TopoDS import TopoDS

    wall = half + apart
    corners = [(-wall, -wall), (wall, -wall), (wall, wall)]
    for middle, width in sorted(grooves, reverse=True):
        right, left = middle + width / 2, middle - width / 2
        corners += [(right, wall), (right, wall + 20), (left, wall + 20), (left, wall)]
    outline = BRepBuilderAPI_MakePolygon()
    for y, z in [*corners, (-wall, wall)]:
        outline.Add(gp_Pnt(0, y, z))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    return TopoDS.Solid(BRepPrimAPI_MakePrism(face, gp_Vec(10, 0, 0)).Shape())


@pytest.mark.parametrize("off", [0.0, 0.25, 0.4, 0.5])
def test_the_wider_of_two_grooves_wherever_it_lies_between_two_looks(off: float) -> None:
    """Under a groove of width w the gap is the way to its corners: hypot(w / 2, slit)."""
    hull = grooved(200.0, 0.5, [(-50.0, 6.0), (50.0 + off, 6.8)])
    found = widest_slit(ring(box((0, -200, -200), (10, 200, 200))), ring(hull))
    assert found.gap == pytest.approx(math.hypot(3.4, 0.5), abs=1e-6)
    assert found.rim[0] == pytest.approx(50.0 + off, abs=1e-3) or found.rim[1] == pytest.approx(
        50.0 + off, abs=1e-3
    )
    assert found.bound < 0.03
