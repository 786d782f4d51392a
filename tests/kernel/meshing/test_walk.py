"""The nearest point of a mesh by walking, against the nearest of all triangles (brute force)."""

import numpy as np
import pytest
import trimesh
from OCP.BRepPrimAPI import BRepPrimAPI_MakeTorus

from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.meshing.walk import neighbours, partners, to_mesh, to_triangles, walked

RING = mesh(BRepPrimAPI_MakeTorus(30.0, 10.0).Shape(), 0.5)


def test_sides_find_their_other_half():
    """Reference library: trimesh's pairs of faces that share an edge."""
    body = trimesh.Trimesh(RING.vertices, RING.triangles, process=False)
    pairs = {tuple(sorted(pair)) for pair in body.face_adjacency.tolist()}
    beside = neighbours(RING.triangles)
    mine = {(t, o) for t, row in enumerate(beside.tolist()) for o in row if t < o}
    assert mine == pairs
    other = partners(RING.triangles)
    assert np.array_equal(other[other], np.arange(len(other)))


def test_a_walk_ends_at_the_nearest_triangle():
    rng = np.random.default_rng(2)
    start = rng.integers(0, len(RING.triangles), 80)
    points = RING.corners[start].mean(axis=1) * rng.uniform(0.97, 1.03, (80, 1))
    every = RING.corners
    nearest = [to_triangles(np.broadcast_to(p, (len(every), 3)), every).min() for p in points]
    found = walked(points, start, RING, neighbours(RING.triangles))
    assert np.allclose(found, nearest, atol=1e-9)


def test_where_a_walk_goes_astray_the_face_is_searched():
    """Started on the far side, with no way to go, only the search of all triangles finds it."""
    shut = np.full((len(RING.triangles), 3), -1)
    point = np.array([[40.5, 0.0, 0.0]])
    far = np.argmin(RING.corners.mean(axis=1)[:, 0])[None]
    assert walked(point, far, RING, shut)[0] > 50
    assert to_mesh(point, far, RING, shut)[0] == pytest.approx(0.5, abs=0.5)
