"""Triangles that fill a plane face; closed forms of areas."""

import math

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.openings.face_mesh import face_triangles
from geomgen.kernel.openings.window import opening
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut


def pipe_bore():
    rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, 100.0) for r in (60.0, 40.0))
    pipe = cut(rod, [hole], "pipe", "bore")
    return opening(Plane((50, 0, 0), (1, 0, 0)), (50.0, 0.0, 0.0), 100.0, [pipe])


def filled(vertices, triangles):
    a, b, c = (vertices[triangles[:, i]] for i in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2


def test_a_disc_is_filled():
    found = pipe_bore()
    vertices, triangles = face_triangles(found.face, found.area)
    assert filled(vertices, triangles) == pytest.approx(math.pi * 40.0**2, rel=2e-3)
    assert np.ptp(vertices[:, 0]) < 1e-6
    assert np.linalg.norm(vertices[:, 1:], axis=1).max() == pytest.approx(40.0, abs=1e-3)


def test_another_area_than_the_faces_is_told():
    found = pipe_bore()
    with pytest.raises(GeometryError, match="fill"):
        face_triangles(found.face, found.area * 1.01)
