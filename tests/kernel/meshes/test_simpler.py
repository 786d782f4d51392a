"""Meshes with fewer triangles: within what they may be off (closed form and trimesh)."""

import numpy as np
import pytest
import trimesh

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.simpler import simpler
from geomgen.kernel.meshing.proven import mesh

ROD = mesh(cylinder((0, 0, 0), (1, 0, 0), 200.0, 500.0), 0.05)


def test_it_has_fewer_triangles_and_stays_near():
    points, triangles = simpler(ROD, 1.0)
    assert len(triangles) < 0.5 * len(ROD.triangles)
    across = np.linalg.norm(points[:, 1:], axis=1)
    middles = points[triangles].mean(axis=1)
    on_side = np.abs(middles[:, 0] - 250.0) < 249.0
    assert np.linalg.norm(middles[on_side, 1:], axis=1).min() > 200.0 - 1.2
    assert across.max() < 200.1
    whole = trimesh.Trimesh(points, triangles, process=True)
    assert whole.volume == pytest.approx(np.pi * 200.0**2 * 500.0, rel=0.01)


def test_sharp_edges_keep_a_corner_for_each_side():
    points, triangles = simpler(mesh(box((0, 0, 0), (10.0, 20.0, 30.0)), 0.1), 0.1)
    assert (len(points), len(triangles)) == (24, 12)


def test_an_open_mesh_is_told():
    none = np.zeros((0, 3), dtype=np.int64)
    torn = Mesh(
        ROD.vertices, ROD.triangles[:-3], ROD.face[:-3], ROD.uv[:-3], none, none[:, 0],
        np.zeros((0, 3, 2)), (), 0.05,
    )  # fmt: skip
    with pytest.raises(GeometryError, match="rod"):
        simpler(torn, 0.5, "rod")
