"""Where a mesh is no smooth sheet: its sharp edges, and points along them."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshing.deviation import neighbours

# Two triangles whose normals differ by more than 20 deg meet in an edge, not in a bend.
SHARP = float(np.cos(np.radians(20.0)))
Bools = np.ndarray[tuple[int], np.dtype[np.bool_]]


@dataclass(frozen=True)
class Features:
    """Unit normals (m, 3) of the triangles; points (k, 3) [mm] along the sharp edges.

    The points stand at most `spacing` [mm] apart, ends included.
    """

    normals: Floats
    points: Floats
    spacing: float


def features(mesh: Mesh, spacing: float) -> Features:
    """Return normals and sharp edges of a mesh, in points at most `spacing` [mm] apart.

    An edge with nothing beyond it is sharp.

    >>> from geomgen.kernel.meshing.proven import mesh
    >>> from geomgen.kernel.brep.primitives import box
    >>> cube = features(mesh(box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0)), 0.1), 5.0)
    >>> len(cube.points)  # 12 edges, 3 points each
    36
    """
    normals = unit_normals(mesh.corners)
    beside = neighbours(mesh.triangles)
    other = normals[np.maximum(beside, 0)]
    bend = np.einsum("mi,mki->mk", normals, other)
    sharp = (beside < 0) | (bend < SHARP)
    own, side = np.nonzero(sharp)
    start = mesh.triangles[own, side]
    end = mesh.triangles[own, (side + 1) % 3]
    once = np.unique(np.sort(np.stack([start, end], axis=1), axis=1), axis=0)
    points = _along(mesh.vertices, once, spacing)
    return Features(normals, points, spacing)


def unit_normals(corners: Floats) -> Floats:
    """Return the outward unit normals (m, 3) [1] of triangles (m, 3, 3); zero for a line."""
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.asarray(normal / np.where(size > 0, size, 1.0))


def _along(vertices: Floats, edges: Ints, spacing: float) -> Floats:
    if not len(edges):
        return np.zeros((0, 3))
    a, b = vertices[edges[:, 0]], vertices[edges[:, 1]]
    many = np.maximum(np.ceil(np.linalg.norm(b - a, axis=1) / spacing), 1).astype(np.int64) + 1
    which = np.repeat(np.arange(len(edges)), many)
    number = np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many)
    share = (number / (many[which] - 1))[:, None]
    return np.asarray(a[which] + share * (b - a)[which])
