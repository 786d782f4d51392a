"""What a straight pull meets: parallel rays from many points against the triangles of a body.

All rays run along one direction, so a ray is a point of the plane across it: triangles are sorted
into the cells of a grid there, and each point is tried on the triangles of its own cell only. The
answer on the mesh is exact; a ray enters a closed body through a triangle that faces it, so only
those are tried.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import cross
from geomgen.kernel.plain import Vec3

# Cells along the longer side of the grid, and pairs of point and triangle tried at once.
CELLS = 320
PAIRS = 2_000_000
# A triangle whose normal is this near to a right angle with the ray is seen from its side.
SIDEWAYS = 1e-9


@dataclass(frozen=True)
class Overhead:
    """What each ray meets first: `distance` (n,) [mm], inf where nothing; `triangle` (n,), -1."""

    distance: Floats
    triangle: Ints


def frame_of(pull: Vec3) -> tuple[Floats, Floats, Floats]:
    """Return page right, page up and the unit pull [1], as seen by who looks against the pull.

    Up is +z, for a pull up or down +y or -y, so that a plan has its stations to the right.

    >>> [row.tolist() for row in frame_of((0.0, 0.0, 1.0))]
    [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    """
    d = np.array(pull, dtype=float) / np.linalg.norm(pull)
    upright = np.array([0.0, 0.0, 1.0]) if abs(d[2]) < 0.9 else np.array([0.0, np.sign(d[2]), 0.0])
    right = np.cross(upright, d)
    right /= np.linalg.norm(right)
    return right + 0.0, np.cross(d, right) + 0.0, d


def overhead(points: Floats, corners: Floats, pull: Vec3) -> Overhead:
    """Return what rays from `points` (n, 3) along `pull` meet first of `corners` (m, 3, 3) [mm].

    The points must lie outside of the bodies whose outward triangles these are.

    >>> roof = np.array([[[0.0, 0.0, 5.0], [0.0, 4.0, 5.0], [4.0, 0.0, 5.0]]])
    >>> overhead(np.array([[1.0, 1.0, 2.0], [3.0, 3.0, 2.0]]), roof, (0.0, 0.0, 1.0)).distance
    array([ 3., inf])
    """
    right, up, d = frame_of(pull)
    free = Overhead(np.full(len(points), np.inf), np.full(len(points), -1, dtype=np.int64))
    if not len(points) or not len(corners):
        return free
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1)
    facing = normal @ d < -SIDEWAYS * size
    facing &= (corners @ d).max(axis=1) > (points @ d).min()
    places = np.nonzero(facing)[0]
    if not len(places):
        return free
    flat = np.stack([corners[places] @ right, corners[places] @ up], axis=-1)
    heights = corners[places] @ d
    grid = _Grid(flat)
    at = np.stack([points @ right, points @ up], axis=-1)
    first, count = grid.triangles_at(at)
    distance, triangle = free.distance, free.triangle
    busy = np.nonzero(count)[0]
    for part in _portions(busy, count[busy]):
        which = np.repeat(part, count[part])
        inner = np.arange(len(which)) - np.repeat(np.cumsum(count[part]) - count[part], count[part])
        tried = grid.order[first[which] + inner]
        height, hit = _heights(at[which], flat[tried], heights[tried])
        above = height - (points @ d)[which]
        hit &= above > 0
        which, tried, above = which[hit], tried[hit], above[hit]
        # The nearest is written last.
        far_first = np.argsort(-above, kind="stable")
        distance[which[far_first]] = above[far_first]
        triangle[which[far_first]] = places[tried[far_first]]
    return Overhead(distance, triangle)


def _portions(busy: Ints, counts: Ints) -> list[Ints]:
    """Return the points in portions that have about PAIRS pairs each."""
    if not len(busy):
        return []
    portion = (np.cumsum(counts) - counts) // PAIRS
    return np.split(busy, np.nonzero(np.diff(portion))[0] + 1)


def _heights(at: Floats, flat: Floats, heights: Floats) -> tuple[Floats, Ints]:
    """Return the height (k,) of triangles over points of the plane, and whether they are there."""
    (ax, ay), (bx, by), (cx, cy) = (flat[:, i].T for i in range(3))
    px, py = at.T
    whole = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    v = ((px - ax) * (cy - ay) - (py - ay) * (cx - ax)) / whole
    w = ((bx - ax) * (py - ay) - (by - ay) * (px - ax)) / whole
    u = 1 - v - w
    hit = (u >= 0) & (v >= 0) & (w >= 0)
    return u * heights[:, 0] + v * heights[:, 1] + w * heights[:, 2], hit


class _Grid:
    """Triangles (m, 3, 2) of a plane by the cells of a grid that their boxes touch."""

    def __init__(self, flat: Floats) -> None:
        low, high = flat.min(axis=1), flat.max(axis=1)
        self.low = low.min(axis=0)
        extent = high.max(axis=0) - self.low
        self.cell = max(float(extent.max()) / CELLS, 1e-9)
        self.shape = np.floor(extent / self.cell).astype(np.int64) + 1
        a, b = self._cell(low), self._cell(high)
        spans = b - a + 1
        count = spans[:, 0] * spans[:, 1]
        owner = np.repeat(np.arange(len(flat)), count)
        inner = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
        column = a[owner, 0] + inner % spans[owner, 0]
        row = a[owner, 1] + inner // spans[owner, 0]
        key = row * self.shape[0] + column
        sorting = np.argsort(key, kind="stable")
        self.order = owner[sorting]
        self.starts = np.searchsorted(key[sorting], np.arange(self.shape.prod() + 1))

    def _cell(self, at: Floats) -> Ints:
        cell = np.floor((at - self.low) / self.cell).astype(np.int64)
        return np.asarray(np.clip(cell, 0, self.shape - 1))

    def triangles_at(self, at: Floats) -> tuple[Ints, Ints]:
        """Return where in `order` the triangles of each point's cell begin, and how many."""
        far = (at < self.low).any(axis=1)
        far |= (at > self.low + self.shape * self.cell).any(axis=1)
        cell = self._cell(at)
        key = cell[:, 1] * self.shape[0] + cell[:, 0]
        first = self.starts[key]
        return first, np.where(far, 0, self.starts[key + 1] - first)
