"""Triangles of two meshes that may be near each other, and the two points where they are so."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.mesh import sizes
from geomgen.kernel.meshes.search import MeshSearch, feet

# Near triangles are quartered so often for a closer look, for the points of a gap only where more
# than so many pairs are near; so many are compared at a time, the likeliest first, until one of
# them is apart by the gap but for this [mm].
QUARTERS, BUNCH, CHUNK, PAIRS, AT_ONCE, SAME = 2, 64, 64, 100_000, 2_000, 1e-9
# Of more pairs than these no quarters are looked at: there are ten times as many of them.
MANY = 1_000_000
# Two triangles this much further apart than the gap asked for are looked at too [mm].
ROUNDING = 1e-6
# Across a wide gap: from so many corners, so often from foot to foot, until that near to it [mm].
STARTS, FEET, ALIKE = 24, 40, 1e-5
SIDES = ((0, 1), (1, 2), (2, 0))


@dataclass(frozen=True)
class Triangles:
    """Corners (n, 3, 3) [mm] of triangles, and their faces (n,)."""

    corners: Floats
    face: Ints

    def some(self, which: Bools) -> "Triangles":
        """Return the triangles that are marked (n,)."""
        return Triangles(self.corners[which], self.face[which])

    def at(self, rows: Ints) -> "Triangles":
        """Return the triangles of some numbers (k,)."""
        return Triangles(self.corners[rows], self.face[rows])

    def quartered(self) -> "Triangles":
        """Return the four quarters of each triangle."""
        return Triangles(quarters(self.corners), np.tile(self.face, 4))

    def boxes(self) -> tuple[Floats, Floats]:
        """Return the low and high corners (n, 3) of the triangles' boxes [mm]."""
        a, b, c = self.corners.transpose(1, 0, 2)
        return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)

    def balls(self) -> tuple[Floats, Floats]:
        """Return the middles (n, 3) and radii (n,) of balls round the triangles [mm]."""
        a, b, c = self.corners.transpose(1, 0, 2)
        middle = (a + b + c) / 3
        return middle, np.maximum.reduce([sizes(corner - middle) for corner in (a, b, c)])


def quarters(corners: Floats) -> Floats:
    """Return the four quarters (4 n, 3, 3) of triangles (n, 3, 3) [mm]."""
    a, b, c = corners.transpose(1, 0, 2)
    d, e, f = 0.5 * (a + b), 0.5 * (b + c), 0.5 * (c + a)
    every = [(a, d, f), (d, b, e), (f, e, c), (d, e, f)]
    return np.concatenate([np.stack(quarter, axis=1) for quarter in every])


def near_pairs(
    one: Triangles, other: Triangles, room: float, quartered: int = QUARTERS
) -> tuple[Triangles, Triangles, Ints, Ints]:
    """Return the pieces of triangles within `room` [mm] of each other's, and which with which.

    What is left out is further off than that; of what is kept some may be.
    """
    one, other = _within(one, other, room), _within(other, one, room)
    for quarter in range(quartered + 1):
        first, second = _pairs(one, other, room)
        rows, first = _numbered(first, len(one.face))
        columns, second = _numbered(second, len(other.face))
        one, other = one.at(rows), other.at(columns)
        if quarter == quartered or len(first) > MANY:
            break
        one, other = one.quartered(), other.quartered()
    return one, other, first, second


def _numbered(chosen: Ints, count: int) -> tuple[Ints, Ints]:
    """Return which of `count` numbers are chosen (k,), in order, and the place of each among them.

    What sorting them would tell, of millions of pairs in a tenth of the time.
    """
    marked = np.zeros(count, dtype=bool)
    marked[chosen] = True
    place = np.cumsum(marked) - 1
    return np.flatnonzero(marked), np.asarray(place[chosen])


def _within(one: Triangles, other: Triangles, room: float) -> Triangles:
    """Return the triangles that reach into the grown box of the others."""
    if not len(one.face) or not len(other.face):
        return one.some(np.zeros(len(one.face), dtype=bool))
    ends = other.corners.reshape(-1, 3)
    within = np.ones(len(one.face), dtype=bool)
    for k in range(3):
        # Of most triangles the first axis tells: the others are looked at of what is left.
        a, b, c = one.corners[within, :, k].T
        high, low = ends[:, k].max() + room, ends[:, k].min() - room
        within[within] = (np.minimum(np.minimum(a, b), c) <= high) & (
            np.maximum(np.maximum(a, b), c) >= low
        )
    return one.some(within)


def _pairs(one: Triangles, other: Triangles, room: float) -> tuple[Ints, Ints]:
    """Return the pairs (k,) of two sets whose boxes are within `room` [mm].

    Bunches of triangles that lie together are told apart first, so that neither time nor memory
    grows with the product of both numbers.
    """
    if not len(one.face) or not len(other.face):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    mine, theirs = _bunches(one), _bunches(other)
    (low, high), (bottom, top) = one.boxes(), other.boxes()
    near = _near_boxes(
        (_of(np.minimum, low, mine), _of(np.maximum, high, mine)),
        (_of(np.minimum, bottom, theirs), _of(np.maximum, top, theirs)),
        room,
    )
    found: list[tuple[Ints, Ints]] = []
    for a, bunch in enumerate(mine):
        beside = np.nonzero(near[a])[0]
        if not len(beside):
            continue
        others = np.concatenate([theirs[b] for b in beside])
        rows, columns = np.nonzero(
            _near_boxes((low[bunch], high[bunch]), (bottom[others], top[others]), room)
        )
        found.append((bunch[rows], others[columns]))
    firsts, seconds = zip(*found, strict=True) if found else ((), ())
    empty = np.zeros(0, dtype=np.int64)
    return np.concatenate([empty, *firsts]), np.concatenate([empty, *seconds])


def _bunches(some: Triangles) -> list[Ints]:
    """Return the numbers of triangles in bunches of at most `BUNCH` that lie together."""
    middle = some.corners.mean(axis=1)
    found, left = [], [np.arange(len(middle))]
    while left:
        own = left.pop()
        if len(own) <= BUNCH:
            found.append(own)
            continue
        axis = int(np.argmax(np.ptp(middle[own], axis=0)))
        own = own[np.argsort(middle[own, axis], kind="stable")]
        half = len(own) // 2
        left += [own[:half], own[half:]]
    return found


def _of(reduce: np.ufunc, values: Floats, bunches: list[Ints]) -> Floats:
    starts = np.cumsum([0, *(len(bunch) for bunch in bunches)])[:-1]
    return np.asarray(reduce.reduceat(values[np.concatenate(bunches)], starts, axis=0))


def _near_boxes(one: tuple[Floats, Floats], other: tuple[Floats, Floats], room: float) -> Bools:
    """Say of each two boxes (n, m), each by its corners, whether they are within `room` [mm]."""
    (low, high), (bottom, top) = one, other
    near = np.zeros((len(low), len(bottom)), dtype=bool)
    for i in range(0, len(low), CHUNK):
        rows = slice(i, i + CHUNK)
        square = np.zeros(near[rows].shape)
        for k in range(3):
            off = np.maximum(
                low[rows, None, k] - top[None, :, k], bottom[None, :, k] - high[rows, None, k]
            )
            square += np.maximum(off, 0.0) ** 2
        near[rows] = square <= room**2
    return near


def nearest_points(one: Triangles, other: Triangles, gap: float) -> tuple[Floats, Floats] | None:
    """Return the nearest points (3,) [mm] of meshes that do not cross, `gap` [mm] or less apart.

    None where no two triangles are that near.

    >>> flat = np.array([[[0.0, 0.0, 0.0], [9.0, 0.0, 0.0], [0.0, 9.0, 0.0]]])
    >>> face = np.zeros(1, dtype=np.int64)
    >>> above = Triangles(flat + [1.0, 1.0, 4.0], face)
    >>> p, q = nearest_points(Triangles(flat, face), above, 4.0)
    >>> (q - p).tolist()
    [0.0, 0.0, 4.0]
    """
    mine, theirs, first, second = near_pairs(one, other, gap + ROUNDING, 0)
    if len(first) > PAIRS:
        mine, theirs, first, second = near_pairs(mine, theirs, gap + ROUNDING)
    if len(first) > PAIRS:
        found = _by_feet(mine, theirs, gap)
        if found is not None:
            return found
    best: tuple[float, Floats, Floats] | None = None
    likely = np.argsort(_balls_apart(mine, theirs, first, second), kind="stable")
    for start in range(0, len(first), AT_ONCE):
        some = likely[start : start + AT_ONCE]
        p, q = _of_pairs(mine.corners[first[some]], theirs.corners[second[some]])
        away = np.linalg.norm(p - q, axis=1)
        k = int(np.argmin(away))
        if best is None or away[k] < best[0]:
            best = (float(away[k]), p[k], q[k])
        if best[0] <= gap + SAME:
            break
    return None if best is None else best[1:]


def _balls_apart(one: Triangles, other: Triangles, first: Ints, second: Ints) -> Floats:
    """Return how far the balls round the triangles of each pair (k,) are apart [mm]."""
    (a, r), (b, s) = one.balls(), other.balls()
    return np.asarray(np.linalg.norm(a[first] - b[second], axis=1) - r[first] - s[second])


def _by_feet(one: Triangles, other: Triangles, gap: float) -> tuple[Floats, Floats] | None:
    """Return two points (3,) [mm] that are `gap` [mm] apart, found from foot to foot; None if not.

    Across a wide gap boxes leave too many pairs. From a corner to its foot on the other mesh and
    back to the foot of that the way only gets shorter; whether it ends at the least, the gap tells.
    """
    corners, mates = one.corners.reshape(-1, 3), other.corners.reshape(-1, 3)
    away, _ = cKDTree(mates).query(corners)
    here, there = MeshSearch(one.corners), MeshSearch(other.corners)
    p = corners[np.argsort(away, kind="stable")[:: max(1, len(away) // STARTS)][:STARTS]]
    for _ in range(FEET):
        q = there.nearest(p).foot
        p = here.nearest(q).foot
        apart = np.linalg.norm(p - q, axis=1)
        k = int(np.argmin(apart))
        if apart[k] <= gap + ALIKE:
            return p[k], q[k]
    return None


def _of_pairs(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Return the nearest points (n, 3) of each two triangles (n, 3, 3) that do not cross.

    Such points lie at a corner of one of them or on a side of each.
    """
    found = [(a[:, i], feet(a[:, i], b)) for i in range(3)]
    found += [(feet(b[:, i], a), b[:, i]) for i in range(3)]
    found += [_of_sides(a[:, i], a[:, j], b[:, k], b[:, m]) for i, j in SIDES for k, m in SIDES]
    p = np.stack([pair[0] for pair in found])
    q = np.stack([pair[1] for pair in found])
    pick = np.argmin(np.linalg.norm(p - q, axis=2), axis=0)
    rows = np.arange(len(a))
    return p[pick, rows], q[pick, rows]


def _of_sides(a: Floats, b: Floats, c: Floats, d: Floats) -> tuple[Floats, Floats]:
    """Return the nearest points (n, 3) of the lines a-b and c-d, each held to its own length.

    Where one of them would lie beyond an end the nearest is a corner's, which is looked at too.
    """
    u, v, w = b - a, d - c, a - c
    uu, vv, uv = (np.einsum("ij,ij->i", x, y) for x, y in ((u, u), (v, v), (u, v)))
    uw, vw = np.einsum("ij,ij->i", u, w), np.einsum("ij,ij->i", v, w)
    flat = uu * vv - uv * uv
    safe = np.where(flat > 1e-12 * uu * vv, flat, 1.0)
    s = np.clip(np.where(flat > 1e-12 * uu * vv, (uv * vw - vv * uw) / safe, 0.0), 0.0, 1.0)
    t = np.clip((uv * s + vw) / np.where(vv > 0, vv, 1.0), 0.0, 1.0)
    return a + s[:, None] * u, c + t[:, None] * v
