"""The nearest place on a mesh to many points at once.

Triangles are sorted along a curve that keeps neighbours together (Morton, interleaved bits) and
boxed in groups of eight, groups of groups and so on; points walk down the boxes that can still hold
something nearer than what they have (branch and bound, common practice).
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import cross

GROUP = 8
# Points that walk down together, so that the pairs of points and boxes stay in memory.
BATCH = 4096
BITS = 10


@dataclass(frozen=True)
class Nearest:
    """For each point: its distance [mm] (n,), the triangle (n,), the foot on it (n, 3) [mm]."""

    distance: Floats
    triangle: Ints
    foot: Floats


class MeshSearch:
    """The triangles (m, 3, 3) [mm] of a mesh, made ready to be asked for nearest places.

    >>> flat = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    >>> MeshSearch(flat).nearest(np.array([[0.2, 0.2, 3.0]])).distance.tolist()
    [3.0]
    """

    def __init__(self, corners: Floats) -> None:
        from scipy.spatial import cKDTree

        self.corners = corners
        middles = corners.mean(axis=1)
        order = np.argsort(_along_curve(middles), kind="stable")
        self._order = order
        self._tree = cKDTree(middles)
        boxes = [(corners[order].min(axis=1), corners[order].max(axis=1))]
        while len(boxes[-1][0]) > GROUP:
            low, high = boxes[-1]
            starts = np.arange(0, len(low), GROUP)
            boxes.append((np.minimum.reduceat(low, starts), np.maximum.reduceat(high, starts)))
        self._boxes = boxes

    def nearest(self, points: Floats) -> Nearest:
        """Return the nearest place to each of `points` (n, 3) [mm]."""
        found = [self._batch(points[i : i + BATCH]) for i in range(0, len(points), BATCH)]
        if not found:
            return Nearest(np.zeros(0), np.zeros(0, dtype=np.int64), np.zeros((0, 3)))
        return Nearest(
            np.concatenate([f.distance for f in found]),
            np.concatenate([f.triangle for f in found]),
            np.concatenate([f.foot for f in found]),
        )

    def near(self, points: Floats, tries: int = 3) -> Nearest:
        """Return a place near each point (n, 3), not always the nearest: at least as far off."""
        _, near = self._tree.query(points, k=min(tries, len(self.corners)))
        near = near.reshape(len(points), -1)
        many, rows = near.shape[1], np.arange(len(points))
        owner = near.reshape(-1).astype(np.int64)
        again = np.repeat(points, many, axis=0)
        foot = feet(again, self.corners[owner])
        away = np.linalg.norm(foot - again, axis=1).reshape(near.shape)
        pick = rows * many + np.argmin(away, axis=1)
        return Nearest(away.reshape(-1)[pick], owner[pick], foot[pick])

    def _batch(self, points: Floats) -> Nearest:
        start = self.near(points)
        best, owner = start.distance, start.triangle
        who, what = self._leaves(points, best)
        what = self._order[what]
        foot = feet(points[who], self.corners[what])
        far = np.linalg.norm(foot - points[who], axis=1)
        # The last of each point's pairs, sorted from far to near, is its nearest.
        rank = np.lexsort((-what, -far, who))
        who, what, far = who[rank], what[rank], far[rank]
        last = np.nonzero(np.r_[who[1:] != who[:-1], True])[0] if len(who) else rank
        nearer = last[far[last] < best[who[last]]]
        best[who[nearer]], owner[who[nearer]] = far[nearer], what[nearer]
        return Nearest(best, owner, feet(points, self.corners[owner]))

    def _leaves(self, points: Floats, best: Floats) -> tuple[Ints, Ints]:
        """Return pairs of points and triangles (in sorted order) that may be nearer than `best`."""
        top = len(self._boxes) - 1
        count = len(self._boxes[top][0])
        who = np.repeat(np.arange(len(points)), count)
        what = np.tile(np.arange(count), len(points))
        for level in range(top, -1, -1):
            low, high = self._boxes[level]
            p = points[who]
            off = np.maximum(np.maximum(low[what] - p, p - high[what]), 0.0)
            may = np.einsum("ij,ij->i", off, off) < best[who] ** 2
            who, what = who[may], what[may]
            if level:
                below = len(self._boxes[level - 1][0])
                who = np.repeat(who, GROUP)
                what = (what[:, None] * GROUP + np.arange(GROUP)).reshape(-1)
                real = what < below
                who, what = who[real], what[real]
        return who, what


def feet(points: Floats, corners: Floats) -> Floats:
    """Return the place (n, 3) nearest to each point (n, 3) on its triangle (n, 3, 3) [mm].

    >>> flat = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    >>> feet(np.array([[2.0, 0.0, 3.0]]), flat).tolist()
    [[1.0, 0.0, 0.0]]
    """
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    normal = cross(b - a, c - a)
    size = np.einsum("ij,ij->i", normal, normal)
    inside = size > 0
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= np.einsum("ij,ij->i", cross(q - p, points - p), normal) >= 0
    found = np.empty_like(points)
    high = np.einsum("ij,ij->i", points - a, normal)[inside] / size[inside]
    found[inside] = points[inside] - high[:, None] * normal[inside]
    out = ~inside
    if out.any():
        found[out] = _on_sides(points[out], a[out], b[out], c[out])
    return found


def _on_sides(points: Floats, a: Floats, b: Floats, c: Floats) -> Floats:
    best, least = np.empty_like(points), np.full(len(points), np.inf)
    for start, end in ((a, b), (b, c), (c, a)):
        way = end - start
        size = np.maximum(np.einsum("ij,ij->i", way, way), 1e-300)
        share = np.clip(np.einsum("ij,ij->i", points - start, way) / size, 0.0, 1.0)
        # From the nearer end on, so that a far end adds no rounding.
        foot = np.where((share == 1.0)[:, None], end, start + share[:, None] * way)
        off = points - foot
        far = np.einsum("ij,ij->i", off, off)
        nearer = far < least
        best[nearer], least[nearer] = foot[nearer], far[nearer]
    return best


def _along_curve(points: Floats) -> Ints:
    """Return places (n,) along a curve through space that keeps neighbours together."""
    low, high = points.min(axis=0), points.max(axis=0)
    span = max(float((high - low).max()), 1e-9)
    cells = ((points - low) / span * (2**BITS - 1)).astype(np.int64)
    key = np.zeros(len(points), dtype=np.int64)
    for bit in range(BITS):
        for axis in range(3):
            key |= ((cells[:, axis] >> bit) & 1) << (3 * bit + axis)
    return key
