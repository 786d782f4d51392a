"""Many points at once must be the kernel's points one by one (reference library: the kernel)."""

from math import sqrt

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Vec

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import mirrored, tilted
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.lofting.surfaces import face_of, through_points


def spindle():
    x = np.array([0.0, 100.0, 300.0, 700.0])
    r = np.array([0.0, 40.0, 60.0, 30.0])
    w = np.array([1.0, 1.0, 1.2, 0.8]) / sqrt(2)
    lines = lay(Stations(x, r, -0.7 * r, r, 0.1 * r, w, w[::-1], "round", "flat"))
    return body(outer_skin(lines), "spindle")


def spun():
    """A body of revolution whose surface the fast ways do not know."""
    u = np.linspace(0, 1, 6)
    points = np.stack(
        np.broadcast_arrays(10 + np.sin(3 * u)[:, None], 0 * u[None, :], 9 * u[None, :]), -1
    )
    face = face_of(through_points(points, u, u, None, None))
    axis = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
    return BRepPrimAPI_MakeRevol(face, axis, 1.0, True).Shape()


SHAPES = {
    "box": BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape(),
    "cylinder": BRepPrimAPI_MakeCylinder(3.0, 4.0).Shape(),
    "cone": BRepPrimAPI_MakeCone(3.0, 1.0, 4.0).Shape(),
    "sphere": BRepPrimAPI_MakeSphere(3.0).Shape(),
    "torus": BRepPrimAPI_MakeTorus(3.0, 1.0).Shape(),
    "rational": BRepBuilderAPI_NurbsConvert(BRepPrimAPI_MakeTorus(3.0, 1.0).Shape()).Shape(),
    "spindle": spindle(),
    "mirrored": mirrored(tilted(BRepPrimAPI_MakeCone(3.0, 1.0, 4.0).Shape(), (1, 2, 3), 20.0)),
}


def asked(surface, uv):
    """Point, first and second derivatives by the kernel."""
    rows = []
    for u, v in uv.tolist():
        p, d = gp_Pnt(), [gp_Vec() for _ in range(5)]
        surface.D2(u, v, p, d[0], d[1], d[2], d[3], d[4])
        vectors = [p, d[0], d[1], d[2], d[4], d[3]]
        rows.append([(w.X(), w.Y(), w.Z()) for w in vectors])
    return np.array(rows).transpose(1, 0, 2)


@pytest.mark.parametrize("name", SHAPES)
def test_same_points_and_derivatives_as_the_kernel(name):
    rng = np.random.default_rng(7)
    for face in faces_of(SHAPES[name]):
        u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
        uv = np.vstack([rng.uniform([u0, v0], [u1, v1], (60, 2)), [[u0, v0], [u1, v1], [u0, v1]]])
        wanted = asked(BRep_Tool.Surface_s(face), uv)
        found = surface_points(face).at(uv, 2)
        scale = 1.0 + np.abs(wanted).max(axis=(1, 2), keepdims=True)
        assert np.max(np.abs(found - wanted) / scale) < 1e-9


def test_a_surface_of_another_kind_is_asked_of_the_kernel():
    kinds = {surface_points(face).kind for face in faces_of(spun())}
    assert "kernel" in kinds
    for face in faces_of(spun()):
        u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
        uv = np.array([[0.3 * u0 + 0.7 * u1, 0.6 * v0 + 0.4 * v1]])
        wanted = asked(BRep_Tool.Surface_s(face), uv)
        assert np.allclose(surface_points(face).at(uv, 2), wanted, atol=1e-9)


def test_the_sphere_is_where_it_must_be():
    (face,) = faces_of(SHAPES["sphere"])
    uv = np.random.default_rng(1).uniform([0, -1.5], [6, 1.5], (50, 2))
    assert np.allclose(np.linalg.norm(surface_points(face).at(uv)[0], axis=1), 3.0)


def test_a_spline_lies_within_its_ends_and_points_of_a_cylinder_go_along_it():
    for face in faces_of(spindle()):
        surface = surface_points(face)
        if surface.kind == "spline":
            u, v = surface.breaks
            grid = np.array(np.meshgrid(np.linspace(u[0], u[-1], 9), np.linspace(v[0], v[-1], 9)))
            points = surface.at(grid.reshape(2, -1).T)[0]
            assert np.all(points >= surface.ends[0] - 1e-9)
            assert np.all(points <= surface.ends[1] + 1e-9)
    drum = [surface_points(f) for f in faces_of(BRepPrimAPI_MakeCylinder(2.0, 5.0).Shape())]
    assert [s.along.tolist() for s in drum if s.along is not None] == [[0.0, 0.0, 1.0]]
