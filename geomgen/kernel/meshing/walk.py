"""The nearest point of a mesh by walking from triangle to triangle.

Distance to one triangle: Ericson, Real-Time Collision Detection, 5.1.5.
"""

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh, cross

# Triangles a solid's point may walk over on its way to the nearest one.
WALK = 12
PAIRS = 2_000_000


def partners(triangles: Ints) -> Ints:
    """Return the number of each half-edge's other half (3m,), -1 where it has none.

    Half-edge 3 t + i of triangle t runs from its corner i to the next.

    >>> partners(np.array([[0, 1, 2], [2, 1, 3]])).tolist()
    [-1, 3, -1, 1, -1, -1]
    """
    count = int(triangles.max(initial=0)) + 1
    ahead = triangles.reshape(-1)
    behind = np.roll(triangles, -1, axis=1).reshape(-1)
    keys, back = ahead * count + behind, behind * count + ahead
    order = np.argsort(keys)
    if not len(keys):
        return order
    known = keys[order]
    once = bool(np.all(known[1:] > known[:-1]))
    if not once:
        order = np.argsort(keys, kind="stable")
    # What is looked up in order is found in a fifth of the time.
    asked = np.argsort(back)
    wanted, found = back[asked], np.empty_like(order)
    if once and np.array_equal(known, wanted):
        # Of a closed mesh both halves of all sides are the same, once in order.
        found[asked] = order
        return found
    place = np.minimum(np.searchsorted(known, wanted), len(keys) - 1)
    found[asked] = np.where(known[place] == wanted, order[place], -1)
    return found


def neighbours(triangles: Ints) -> Ints:
    """Return the triangle beyond each side (m, 3), side i from corner i on; -1 where none is.

    >>> neighbours(np.array([[0, 1, 2], [2, 1, 3]])).tolist()
    [[-1, 1, -1], [0, -1, -1]]
    """
    other = partners(triangles)
    return np.where(other >= 0, other // 3, -1).reshape(-1, 3)


def to_triangles(points: Floats, corners: Floats) -> Floats:
    """Return the distance [mm] of each point (n, 3) to its triangle (n, 3, 3).

    >>> flat = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    >>> to_triangles(np.array([[0.2, 0.2, 3.0]]), flat).tolist()
    [3.0]
    """
    return _measured(points, corners)[0]


def to_segments(points: Floats, start: Floats, end: Floats) -> Floats:
    """Return the distance [mm] of each point (n, 3) to its stretch from `start` to `end` (n, 3).

    >>> to_segments(np.array([[2.0, 1.0, 0.0]]), np.zeros((1, 3)), np.array([[1.0, 0.0, 0.0]]))
    array([1.41421356])
    """
    way = end - start
    size = np.maximum(np.einsum("ij,ij->i", way, way), 1e-300)
    share = np.clip(np.einsum("ij,ij->i", points - start, way) / size, 0.0, 1.0)
    off = points - start - share[:, None] * way
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", off, off)))


def to_mesh(points: Floats, start: Ints, mesh: Mesh, beside: Ints) -> Floats:
    """Return distances (n,) [mm] to the mesh, from triangle `start` (n,) towards a point's foot.

    What is beyond the tolerance then is held to all triangles of the face it started on.
    """
    best = walked(points, start, mesh, beside)
    far = np.nonzero(best > mesh.mesh_tolerance)[0]
    for face in np.unique(mesh.face[start[far]]).tolist():
        mine = far[mesh.face[start[far]] == face]
        corners = mesh.vertices[mesh.triangles[mesh.face == face]]
        best[mine] = np.minimum(best[mine], _to_any(points[mine], corners))
    return best


def walked(points: Floats, start: Ints, mesh: Mesh, beside: Ints) -> Floats:
    """Return the least distance (n,) [mm] met on the walk over triangles (m, 3) of `beside`."""
    best = np.full(len(points), np.inf)
    here, left = start.copy(), np.arange(len(points))
    for _ in range(WALK):
        off, shares = _measured(points[left], mesh.vertices[mesh.triangles[here[left]]])
        best[left] = np.minimum(best[left], off)
        side = np.argmin(shares, axis=1)
        beyond = beside[here[left], side]
        going = (shares.min(axis=1) < 0) & (beyond >= 0)
        left, beyond = left[going], beyond[going]
        if not len(left):
            break
        here[left] = beyond
    return best


def _measured(points: Floats, corners: Floats) -> tuple[Floats, Floats]:
    """Return the distances (n,) and on which side of each triangle's sides (n, 3) points lie."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = cross(b - a, c - a)
    size = np.einsum("ij,ij->i", normal, normal)
    shares = np.empty((len(points), 3))
    for i, (p, q) in enumerate(((a, b), (b, c), (c, a))):
        shares[:, i] = np.einsum("ij,ij->i", cross(q - p, points - p), normal)
    inside = (size > 0) & np.all(shares >= 0, axis=1)
    height = np.abs(np.einsum("ij,ij->i", points - a, normal))
    found = height / np.sqrt(np.where(inside, size, 1.0))
    out = np.nonzero(~inside)[0]
    if len(out):
        p, a, b, c = points[out], a[out], b[out], c[out]
        found[out] = np.minimum(
            np.minimum(to_segments(p, a, b), to_segments(p, b, c)), to_segments(p, c, a)
        )
    return found, shares


def _to_any(points: Floats, corners: Floats) -> Floats:
    """Return distances (n,) to the nearest of `corners` (m, 3, 3); inf for points beyond PAIRS.

    A walk may end in a corner of a face whose triangles are long; there are few such points.
    """
    best = np.full(len(points), np.inf)
    for i in range(min(len(points), PAIRS // max(len(corners), 1))):
        best[i] = to_triangles(np.broadcast_to(points[i], (len(corners), 3)), corners).min()
    return best
