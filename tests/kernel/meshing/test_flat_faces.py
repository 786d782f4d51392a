"""Flat faces with bent parameters: no triangle folds over their border, and the proof would tell.

Closed form: between two arcs one 20 mm above the other over 200 mm lie 4000 mm2; a flat mesh within
its mesh tolerance has that area but for the sag at both arcs.
"""

from dataclasses import replace

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Vec

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.lofting.surfaces import face_of, through_points
from geomgen.kernel.meshing.deviation import deviation
from geomgen.kernel.meshing.flat_faces import flat_grid
from geomgen.kernel.meshing.proven import holds, is_closed, mesh, meshed
from geomgen.kernel.meshing.walk import neighbours


def crescent(lift=0.0):
    """A flat strip of 4000 mm2 between two deep arcs: its parameters are bent."""
    u, v = np.linspace(0, 1, 9), np.linspace(0, 1, 9)
    x = 200 * v[None, :] + 8 * (1 - u[:, None]) * np.sin(np.pi * v[None, :])
    y = 10 + 20 * u[:, None] + 70 * np.sin(np.pi * v[None, :]) + 0 * x
    z = lift * np.sin(np.pi * v[None, :]) * u[:, None]
    return face_of(through_points(np.stack([x, y, z], axis=-1), u, v, None, None))


def slab(lift=0.0):
    return BRepPrimAPI_MakePrism(crescent(lift), gp_Vec(0, 0, 12)).Shape()


def test_a_bent_flat_face_lies_in_its_plane():
    surface = surface_points(crescent())
    grid = flat_grid(surface, np.zeros(2), np.ones(2))
    uv = np.random.default_rng(1).uniform(0, 1, (40, 2))
    points, flat = surface.at(uv)[0], grid.stretch(uv)
    apart = np.linalg.norm(points[1:] - points[:-1], axis=1)
    within = np.linalg.norm(flat[1:] - flat[:-1], axis=1)
    assert np.allclose(apart, apart[0] / within[0] * within)
    away = points + np.array([0.0, 0.0, 5.0])
    assert np.allclose(grid.feet(away), points, atol=1e-9)


def test_a_curved_face_is_not_taken_for_flat():
    box = np.zeros(2), np.ones(2)
    assert flat_grid(surface_points(crescent(0.001)), *box) is None
    assert flat_grid(surface_points(crescent()), *box) is not None


def test_no_triangle_of_a_flat_face_is_turned_over():
    made = meshed(slab(), 0.1)
    assert made.mesh.method == "grid"
    seen = 0
    for number in range(len(faces_of(slab()))):
        corners = made.mesh.corners[made.mesh.face == number]
        if np.ptp(corners[..., 2]) < 1e-6:
            doubled = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[:, 2]
            assert np.all(doubled > 0) or np.all(doubled < 0)
            assert abs(doubled.sum()) / 2 == pytest.approx(4000, abs=2 * 0.1 * 250)
            seen += 1
    assert seen == 2


def folded(made):
    """Swap the diagonal of two flat triangles whose quadrangle is hollow: one turns over.

    The mesh stays closed, in the plane, on the same border and points.
    """
    beside = neighbours(made.triangles)
    best, swap = 0.0, None
    for one, row in enumerate(beside.tolist()):
        for side, other in enumerate(row):
            if made.face[one] != made.face[other] or np.ptp(made.corners[[one, other], :, 2]) > 0:
                continue
            back = int(np.nonzero(beside[other] == one)[0][0])
            a, b, c = np.roll(made.triangles[one], -side)
            d = made.triangles[other][(back + 2) % 3]
            new = np.array([[a, d, c], [d, b, c]])
            at = made.vertices[new]
            doubled = np.cross(at[:, 1] - at[:, 0], at[:, 2] - at[:, 0])[:, 2]
            if doubled[0] * doubled[1] < 0 and np.abs(doubled).min() > best:
                uv = np.roll(made.uv[one], -side, axis=0)
                far = made.uv[other][(back + 2) % 3]
                best = np.abs(doubled).min()
                swap = one, other, new, np.array([[uv[0], far, uv[2]], [far, uv[1], uv[2]]])
    one, other, new, flat = swap
    triangles, uv = made.triangles.copy(), made.uv.copy()
    triangles[[one, other]], uv[[one, other]] = new, flat
    return replace(made, triangles=triangles, uv=uv)


def test_a_fold_within_the_plane_is_found_out():
    good = mesh(slab(), 0.1)
    wrong = folded(good)
    assert is_closed(wrong)
    assert wrong.volume == pytest.approx(good.volume, rel=1e-9)
    assert holds(good, deviation(slab(), good))
    assert not holds(wrong, deviation(slab(), wrong))
    assert deviation(slab(), wrong).mesh_to_solid > 0.2
