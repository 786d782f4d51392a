"""A mesh must be closed, outward and within its mesh tolerance, whatever the solid.

Source: closed forms of elementary solids (DERIVED); a chord of sag s in a circle of radius r spans
2 acos(1 - s/r) (elementary geometry).
"""

from functools import cache
from math import acos, ceil, pi, sqrt

import numpy as np
import pytest
from few_cases import few
from hypothesis import given, settings
from hypothesis import strategies as st
from meshed_bodies import crumbed_cube
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import mirrored, moved
from geomgen.kernel.lofting.bodies import body, outer_skin, tube
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing import proven
from geomgen.kernel.meshing.deviation import deviation
from geomgen.kernel.meshing.edges import TINY
from geomgen.kernel.meshing.kernel_mesher import kernel_mesh
from geomgen.kernel.meshing.proven import holds, is_closed, mesh, meshed
from geomgen.kernel.meshing.triangulate import triangulate
from geomgen.kernel.solids.booleans import solids_of
from geomgen.kernel.solids.properties import volume


def cylinder(radius, length, at=(0, 0, 0), along=(0, 0, 1)):
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*at), gp_Dir(*along)), radius, length).Shape()


def spindle(hollow=False):
    x = np.array([0.0, 100.0, 300.0, 700.0])
    r = np.array([0.0, 60.0, 90.0, 50.0])
    one = np.ones(4) / sqrt(2)
    lines = lay(Stations(x, r, -0.8 * r, 0.9 * r, 0.1 * r, one, one, "round", "flat"))
    if hollow:
        return tube(outer_skin(lines), offset_skin(lines, 3.0, None, 700.0), "spindle")
    return body(outer_skin(lines), "spindle")


def drilled():
    """A hollow spindle with two holes and a slot through its skin."""
    shape = spindle(hollow=True)
    for knife in (
        cylinder(25.0, 400.0, (300, -200, 5), (0, 1, 0)),
        cylinder(18.0, 400.0, (450, 0, -200), (0, 0.2, 1)),
        BRepPrimAPI_MakeBox(gp_Pnt(520, -200, -10), gp_Pnt(600, 200, 8)).Shape(),
    ):
        shape = solids_of(BRepAlgoAPI_Cut(shape, knife).Shape())[0]
    return shape


TORUS = BRepPrimAPI_MakeTorus(30.0, 10.0).Shape()
BALL = BRepPrimAPI_MakeSphere(10.0).Shape()
SHAPES = {
    "box": BRepPrimAPI_MakeBox(10.0, 20.0, 30.0).Shape(),
    "cylinder": cylinder(10.0, 30.0),
    "cone": BRepPrimAPI_MakeCone(10.0, 0.0, 20.0).Shape(),
    "frustum": BRepPrimAPI_MakeCone(10.0, 4.0, 20.0).Shape(),
    "sphere": BALL,
    "torus": TORUS,
    "rational torus": BRepBuilderAPI_NurbsConvert(
        BRepPrimAPI_MakeTorus(30.0, 10.0).Shape()
    ).Shape(),
    "far away": moved(BALL, (4800.0, -4000.0, 900.0)),
    "mirrored": lambda: mirrored(shape("drilled")),
    "spindle": spindle,
    "hollow": lambda: spindle(hollow=True),
    "drilled": drilled,
    "two balls": BRepAlgoAPI_Fuse(BALL, moved(BALL, (12.0, 0.0, 0.0))).Shape(),
    "cavity": BRepAlgoAPI_Cut(
        BRepPrimAPI_MakeBox(gp_Pnt(-20, -20, -20), gp_Pnt(20, 20, 20)).Shape(), BALL
    ).Shape(),
}


@cache
def shape(name):
    """Return a shape; those that take long are made when they are asked for."""
    made = SHAPES[name]
    return made() if callable(made) else made


@pytest.mark.parametrize("tolerance", few((0.1, 1.0, 0.02)))
@pytest.mark.parametrize("name", SHAPES)
def test_closed_outward_and_within_the_tolerance(name, tolerance):
    made = meshed(shape(name), tolerance)
    assert made.mesh.method == "grid"
    assert is_closed(made.mesh)
    assert made.deviation.largest <= tolerance
    assert made.deviation.facing > 0.8
    bound = 1.1 * made.deviation.largest * area_of(made.mesh)
    inside = volume(shape(name)).value
    assert abs(made.mesh.volume - inside) <= bound + 1e-6 * inside


def area_of(made: Mesh) -> float:
    a, b, c = made.corners.transpose(1, 0, 2)
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def test_a_cylinder_takes_no_more_triangles_than_the_chord_asks_for():
    radius, tolerance = 10.0, 0.1
    made = mesh(shape("cylinder"), tolerance)
    least = ceil(pi / acos(1 - tolerance / radius))
    assert 4 * least - 4 <= len(made.triangles) <= 1.2 * (4 * least)


def test_single_precision_changes_nothing():
    made = mesh(shape("far away"), 0.05)
    assert np.array_equal(made.vertices, made.vertices.astype(np.float32).astype(float))
    assert len(np.unique(made.vertices, axis=0)) == len(made.vertices)
    a, b, c = made.triangles.T
    assert not np.any((a == b) | (b == c) | (c == a))


def test_the_same_shape_gives_the_same_mesh():
    one, two = mesh(drilled(), 0.2), mesh(drilled(), 0.2)
    assert np.array_equal(one.vertices, two.vertices)
    assert np.array_equal(one.triangles, two.triangles)


def test_each_triangle_knows_its_face():
    made = mesh(shape("box"), 0.1)
    assert sorted(np.bincount(made.face).tolist()) == [2] * 6


@pytest.mark.parametrize("name", few(["cylinder", "torus", "drilled"], 0, 1))
def test_the_kernels_mesher_is_held_to_the_same(name):
    made = kernel_mesh(shape(name), 0.1, 0.09, 0.5)
    assert holds(made, deviation(shape(name), made))
    assert made.method == "kernel"


def test_the_kernels_mesher_takes_over_where_the_grids_fail(monkeypatch):
    def refuse(*_: object, **__: object) -> Mesh:
        raise GeometryError("no grid today", step="mesh")

    monkeypatch.setattr(proven, "grid_mesh", refuse)
    made = meshed(shape("cylinder"), 0.1)
    assert made.mesh.method == "kernel"
    assert made.deviation.largest <= 0.1


def test_no_mesh_is_better_than_a_wrong_one(monkeypatch):
    coarse = mesh(shape("torus"), 2.0)
    monkeypatch.setattr(proven, "grid_mesh", lambda *_, **__: retagged(coarse, 0.1))
    monkeypatch.setattr(proven, "kernel_mesh", lambda *_, **__: retagged(coarse, 0.1))
    with pytest.raises(
        GeometryError, match=r"no mesh keeps 0\.1 mm \(best deviation: 1\."
    ) as caught:
        meshed(shape("torus"), 0.1, part="ring")
    assert caught.value.part == "ring"
    assert "output.mesh_tolerance" in caught.value.look_at


def retagged(made: Mesh, tolerance: float) -> Mesh:
    from dataclasses import replace

    return replace(made, mesh_tolerance=tolerance)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, float("nan")])
def test_a_tolerance_must_be_positive(tolerance):
    with pytest.raises(GeometryError, match="can't be kept"):
        mesh(shape("box"), tolerance)


def test_an_empty_shape_has_no_mesh():
    empty = BRepAlgoAPI_Cut(BALL, BRepPrimAPI_MakeBox(gp_Pnt(-20, -20, -20), 40, 40, 40).Shape())
    with pytest.raises(GeometryError, match="empty"):
        mesh(empty.Shape() if not empty.Shape().IsNull() else TopoDS_Shape(), 0.1)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_any_star_with_a_hole_is_filled_exactly(seed):
    """The triangles' areas add up to the polygon's (shoelace formula), none is turned over."""
    rng = np.random.default_rng(seed)
    outer = star(rng, int(rng.integers(5, 60)), 2.0, 10.0)
    hole = star(rng, int(rng.integers(3, 20)), 0.2, 1.5)[::-1]
    triangles = triangulate([outer, hole], np.empty((0, 2)))
    points = np.concatenate([outer, hole])
    a, b, c = (points[triangles[:, i]] for i in range(3))
    size = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    assert size.min() > -1e-12
    assert size.sum() == pytest.approx(shoelace(outer) + shoelace(hole), rel=1e-9)
    assert len(triangles) == len(points)


def star(rng, count, low, high):
    angle = 2 * pi * (np.arange(count) + rng.uniform(0, 0.9, count)) / count
    radius = rng.uniform(low, high, count)
    return np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)


def shoelace(loop):
    x, y = loop.T
    return float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) / 2)


def test_outlines_that_touch_or_cross_are_refused():
    bow_tie = np.array([[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]])
    with pytest.raises(GeometryError):
        triangulate([bow_tie], np.empty((0, 2)))
    twice = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    with pytest.raises(GeometryError, match="coincide"):
        triangulate([twice], np.empty((0, 2)))


def test_a_face_smaller_than_any_edge_of_a_mesh_is_closed_by_its_neighbours() -> None:
    """A cube less a crumb of a corner: all edges of that face become one point."""
    solid = crumbed_cube()
    assert len(faces_of(solid)) == 7
    made = meshed(solid, 0.1)
    assert holds(made.mesh, made.deviation)
    assert made.mesh.volume == pytest.approx(1000.0, rel=1e-6)


def test_a_hole_narrower_than_any_edge_of_a_mesh_is_closed() -> None:
    pinhole = cylinder(TINY / 10, 20.0, (5, 5, -5))
    solid = BRepAlgoAPI_Cut(BRepPrimAPI_MakeBox(10.0, 10.0, 10.0).Shape(), pinhole).Shape()
    assert len(faces_of(solid)) == 7
    made = meshed(solid, 0.1)
    assert holds(made.mesh, made.deviation)
    assert made.mesh.volume == pytest.approx(1000.0, rel=1e-6)
