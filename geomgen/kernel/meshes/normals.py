"""Normals at the corners of a mesh: smooth where the surface is, split where it has an edge."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import cross

# Neighbours within a smooth face turn by up to about 46 degrees in our meshes.
FEATURE = 50.0
# A fold that no smooth surface within the mesh tolerance of both triangles makes is an edge; with
# room for surfaces that bend unevenly (a factor), and for what the eye does not see [deg].
ROOM, UNSEEN = 2.0, 5.0
# Triangles lower than this share of the mesh tolerance tell no direction: a chord's sag, or
# 32-bit coordinates, turn them about.
SLIVER = 1.2


@dataclass(frozen=True)
class Shaded:
    """A mesh [mm] whose vertices are doubled along its sharp edges, so that each has one normal.

    `points` (k, 3), unit `normals` (k, 3) outward, `triangles` (m, 3) in the order of the mesh;
    `sharp` (e, 2) are the ends of the sharp edges as numbers of points.
    """

    points: Floats
    normals: Floats
    triangles: Ints
    sharp: Ints


def shaded(
    vertices: Floats,
    triangles: Ints,
    mesh_tolerance: float,
    feature: float | None = None,
    off: float = 0.0,
) -> Shaded:
    """Return vertices (n, 3) [mm] and triangles (m, 3) with a normal at each corner.

    Edges that turn by more than `feature` [deg] are split. When it is left out, those that turn by
    more than 50 are, and those between triangles so large that no smooth surface within the chord
    tolerance [mm] of both, and within `off` [mm] of their corners, turns as much. Normals are
    weighted by area, and a sliver, thin beside the mesh tolerance, follows its larger neighbour,
    so that long thin triangles leave no zigzag. GeometryError when the mesh is open.

    >>> corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1.0]])
    >>> made = shaded(corners, np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]), 0.1)
    >>> len(made.points), len(made.sharp)  # all edges of a tetrahedron are sharp
    (12, 6)
    """
    corners = vertices[triangles]
    across = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(across, axis=1)
    unit = across / np.maximum(size, 1e-300)[:, None]
    one, other = _pairs(triangles, len(vertices))
    allowed = np.full(len(one), FEATURE if feature is None else feature)
    if feature is None:
        allowed = np.minimum(FEATURE, _bend(corners, size, one, other, mesh_tolerance, off))
    smooth = _smooth(corners, unit, size, one // 3, other // 3, SLIVER * mesh_tolerance, allowed)
    group = _groups(one[smooth], other[smooth], 3 * len(triangles))
    count = int(group.max()) + 1
    weighted = np.stack(
        [np.bincount(group, np.repeat(across[:, i], 3), count) for i in range(3)], axis=1
    )
    length = np.linalg.norm(weighted, axis=1, keepdims=True)
    first = np.zeros(count, dtype=np.int64)
    first[group] = triangles.reshape(-1)
    normals = weighted / np.maximum(length, 1e-300)
    lost = length[:, 0] < 1e-12
    normals[lost] = (0.0, 0.0, 1.0)
    sharp = np.stack([group[one[~smooth]], group[_next(one[~smooth])]], axis=1)
    return Shaded(vertices[first], normals, group.reshape(-1, 3), sharp)


def _next(corner: Ints) -> Ints:
    """Return the corner that follows in the same triangle."""
    return np.asarray(corner - corner % 3 + (corner + 1) % 3)


def _pairs(triangles: Ints, count: int) -> tuple[Ints, Ints]:
    """Return the corners at which a side begins in the one and in the other triangle."""
    begin = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    ahead, back = np.argsort(begin * count + end), np.argsort(end * count + begin)
    if not (np.array_equal(begin[ahead], end[back]) and np.array_equal(end[ahead], begin[back])):
        raise GeometryError("an open mesh has no edges to tell", step="normals")
    up = begin[ahead] < end[ahead]
    return ahead[up], back[up]


def _bend(
    corners: Floats, size: Floats, one: Ints, other: Ints, tolerance: float, off: float
) -> Floats:
    """Return how far a smooth surface can turn [deg] from one triangle of a pair to the other.

    A circle through a side and the two corners beyond it, h and k off the side, turns there by
    (h + k) / 2 over its radius, and stands off the longer of the two chords by its square over
    eight radii, no more than the tolerance t: 4 t (h + k) / max(h, k)^2. The side is a chord
    itself, so its middle may lie t below: t / h + t / k more; corners off the surface count twice.
    """
    flat = corners.reshape(-1, 3)
    side = np.linalg.norm(flat[_next(one)] - flat[one], axis=1)
    heights = size[np.stack([one, other]) // 3] / np.maximum(side, 1e-300)
    heights = np.maximum(heights, 1e-12)
    round_ = 4.0 * heights.sum(axis=0) / heights.max(axis=0) ** 2
    turn = tolerance * ROOM * round_ + (tolerance + 2.0 * off) * (1.0 / heights).sum(axis=0)
    return np.asarray(UNSEEN + np.degrees(np.minimum(turn, np.pi)))


def _smooth(
    corners: Floats,
    unit: Floats,
    size: Floats,
    one: Ints,
    other: Ints,
    low: float,
    feature: Floats,
) -> np.ndarray:
    """Say for each pair of triangles whether the surface runs on from one to the other."""
    flat = (unit[one] * unit[other]).sum(axis=1) > np.cos(np.radians(feature))
    sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
    thin = size < low * sides.max(axis=1)
    if not thin.any():
        return np.asarray(flat)
    flat &= ~(thin[one] | thin[other])
    # Each sliver runs on into its largest neighbour, and with it to whatever lies beyond.
    pairs = np.arange(len(one))
    mine, beside = np.r_[one, other], np.r_[other, one]
    order = np.lexsort((size[beside], mine))
    last = np.r_[np.flatnonzero(np.diff(mine[order])), len(mine) - 1]
    chosen = order[last]
    flat[np.r_[pairs, pairs][chosen[thin[mine[chosen]]]]] = True
    return _followed(unit, size, thin, one, other, flat, feature)


def _followed(
    unit: Floats,
    size: Floats,
    thin: np.ndarray,
    one: Ints,
    other: Ints,
    flat: np.ndarray,
    feature: Floats,
) -> np.ndarray:
    """Give slivers the direction of what they follow, and judge their other sides by it."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    joined = flat & (thin[one] | thin[other])
    links = coo_matrix(
        (np.ones(int(joined.sum())), (one[joined], other[joined])), (len(unit), len(unit))
    )
    _, group = connected_components(links, directed=False)
    count = int(group.max()) + 1
    total = np.stack([np.bincount(group, size * unit[:, i], count) for i in range(3)], axis=1)
    mean = total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-300)
    direction = np.where(thin[:, None], mean[group], unit)
    runs = (direction[one] * direction[other]).sum(axis=1) > np.cos(np.radians(feature))
    return np.asarray(flat | (runs & (thin[one] | thin[other])))


def _groups(one: Ints, other: Ints, count: int) -> Ints:
    """Give a number to each corner, the same to all at a vertex that smooth sides join."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    # `one` begins where `other` ends.
    rows = np.r_[one, _next(one)]
    columns = np.r_[_next(other), other]
    links = coo_matrix((np.ones(len(rows), dtype=np.int8), (rows, columns)), (count, count))
    _, group = connected_components(links, directed=False)
    return np.asarray(group, dtype=np.int64)
