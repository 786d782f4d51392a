"""How much of a mesh lies within reach of others: the skin that a joint takes away."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Bools, Floats
from geomgen.kernel.mesh import cross, sizes
from geomgen.kernel.meshes.search import SPARE, MeshSearch
from geomgen.kernel.plain import Vec3, vec

# Triangles are split until all their corners and their middle are within reach, or none of them can
# be; those smaller than the first count by their middle [mm]. Larger ones than the second are split
# in any case, for the other mesh may turn away between their corners; own choice.
SMALL, LARGE = 5.0, 60.0
# The middles of a triangle's sides stand for the square of a place exactly, with a third each.
THIRD = 1.0 / 3.0
# Where more are left of those that may be off, boxes sort out slivers, of a mesh in so many pieces,
# but of the largest meshes.
SLIVERS, PIECES, MANY = 200, 24, 20_000
# A mesh of which more than one in so many triangles may be near is looked at as a whole.
MOST = 2
# Of each mesh the ends of its box, its nearest places and its reach [mm].
Searches = Sequence[tuple[Floats, Floats, MeshSearch, float]]


@dataclass(frozen=True)
class TouchingSkin:
    """Area [mm2] with the bound on it, centroid [mm], spread about it [mm4] as `Moments` has it."""

    area: float
    error: float
    centre: Vec3
    spread: tuple[float, float, float, float, float, float]


def touching(
    corners: Floats,
    others: Sequence[MeshSearch],
    reaches: Sequence[float],
    small: float = SMALL,
    blur: float = 0.0,
) -> TouchingSkin:
    """Return the part of triangles (m, 3, 3) [mm] that lies within reach of other meshes.

    Each of the others has its own reach [mm]. The bound is half the area of all triangles no larger
    than `small` [mm] of which the edge of a reach passes through, or may where all meshes together
    may be off by `blur` [mm].

    >>> flat = np.array([[[0.0, 0.0, 0.0], [300.0, 0.0, 0.0], [0.0, 300.0, 0.0]]])
    >>> found = touching(flat, [MeshSearch(flat + np.array([0.0, 0.0, 0.5]))], [1.0])
    >>> round(found.area, 3), [round(c, 3) for c in found.centre]
    (45000.0, [100.0, 100.0, 0.0])
    """
    inside: list[Floats] = []
    doubtful = 0.0
    # Of what is blurred all of it may count or none, beside half of what is cut.
    share = 0.5 if blur == 0.0 else 1.0
    searches = list(_searches(corners, others, reaches, blur))
    boxes: tuple[Floats, Floats] | None = None
    open_ = corners
    if blur:
        low, high, _, away = zip(*searches, strict=True) if searches else ((), (), (), ())
        room = np.array(away)[:, None] + blur
        open_ = corners[_meet(corners, np.array(low) - room, np.array(high) + room)]
    # How far beyond its reach the middle of each triangle is, between what bounds [mm].
    least, most = np.full(len(open_), -np.inf), np.full(len(open_), np.inf)
    while len(open_):
        middle = _middles(open_)
        radius = _radii(open_, middle)
        ask = _in_doubt(least, most, radius, small, blur)
        if blur and len(open_) > SLIVERS:
            # Boxes sort out large ones sooner.
            ask &= radius <= LARGE
        least[ask] = most[ask] = _beyond(middle[ask], radius[ask] + blur, searches)
        may = least <= radius + blur
        open_, middle, radius = open_[may], middle[may], radius[may]
        least, most = least[may], most[may]
        whole = (most <= -blur) & (radius <= LARGE)
        whole[whole] = _within(open_[whole], searches, blur)
        little = ~whole & (radius <= small)
        inside += [open_[whole], open_[little & (most <= 0.0)]]
        doubtful += float(_areas(open_[little]).sum()) * share
        cut = ~whole & ~little
        open_ = _halved(open_[cut])
        # A place that is so far from another is beyond by no more and no less than that differs.
        moved = SPARE + sizes(_middles(open_) - np.tile(middle[cut], (2, 1)))
        least, most = np.tile(least[cut], 2) - moved, np.tile(most[cut], 2) + moved
        if blur and len(open_) > SLIVERS:
            boxes = boxes or _boxes(searches, blur)
            meet = _meet(open_, *boxes)
            open_, least, most = open_[meet], least[meet], most[meet]
    return _summed(np.concatenate([*inside, np.empty((0, 3, 3))]), doubtful)


def _in_doubt(least: Floats, most: Floats, radius: Floats, small: float, blur: float) -> Bools:
    """Say of triangles whether bounds [mm] leave open if they are out of reach, or cut once more.

    `least` and `most` (n,) are how far their middles are beyond the reach, `radius` (n,) how far
    their corners are from these.
    """
    out = least > radius + blur
    cut = (most <= radius + blur) & (radius > small) & ((least > -blur) | (radius > LARGE))
    return ~out & ~cut


def _searches(
    corners: Floats, others: Sequence[MeshSearch], reaches: Sequence[float], blur: float
) -> Iterator[tuple[Floats, Floats, MeshSearch, float]]:
    """Yield the others, each with no more than may be near triangles (m, 3, 3) [mm].

    The nearest place on a part of a large mesh is found in a fraction of the time.
    """
    far = _radii(corners, _middles(corners)).max(initial=0.0) + blur + SPARE
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    for other, reach in zip(others, reaches, strict=True):
        held = _meet(other.corners, (low - far - reach)[None], (high + far + reach)[None])
        count = int(np.count_nonzero(held))
        if count:
            some = other if MOST * count > len(held) else MeshSearch(other.corners[held])
            yield some.corners.min(axis=(0, 1)), some.corners.max(axis=(0, 1)), some, reach


def _boxes(searches: Searches, blur: float) -> tuple[Floats, Floats]:
    """Return the ends (k, 3) [mm] of boxes that hold all that is within reach of others."""
    found = [
        (some.min(axis=(0, 1)) - reach - blur, some.max(axis=(0, 1)) + reach + blur)
        for _, _, other, reach in searches
        for some in _pieces(other.corners)
    ]
    return np.array([low for low, _ in found]), np.array([high for _, high in found])


def _pieces(triangles: Floats) -> list[Floats]:
    """Return triangles one after the other along the longest side of their box, a few pieces."""
    if len(triangles) > MANY:
        return [triangles]
    middles = triangles.mean(axis=1)
    axis = int(np.argmax(np.ptp(middles, axis=0)))
    order = np.argsort(middles[:, axis], kind="stable")
    return [triangles[some] for some in np.array_split(order, PIECES) if len(some)]


def _meet(triangles: Floats, low: Floats, high: Floats) -> Bools:
    """Say of triangles whether their boxes meet one of some boxes, by their ends (k, 3) [mm]."""
    bottom = np.minimum.reduce([triangles[:, k] for k in range(3)]).T.copy()
    top = np.maximum.reduce([triangles[:, k] for k in range(3)]).T.copy()
    found = np.zeros(len(triangles), dtype=bool)
    for lower, upper in zip(low.tolist(), high.tolist(), strict=True):
        meet = (bottom[0] <= upper[0]) & (top[0] >= lower[0])
        for k in (1, 2):
            meet &= (bottom[k] <= upper[k]) & (top[k] >= lower[k])
        found |= meet
    return found


def _within(triangles: Floats, searches: Searches, blur: float) -> Bools:
    """Say of triangles whether all three corners are within reach, by `blur` [mm] at the least."""
    corners, back = np.unique(triangles.reshape(-1, 3), axis=0, return_inverse=True)
    beyond = _beyond(corners, np.zeros(len(corners)), searches)[back]
    return np.asarray(beyond.reshape(-1, 3).max(axis=1) <= -blur)


def _beyond(points: Floats, enough: Floats, searches: Searches) -> Floats:
    """Return how far points (n, 3) are beyond the reach of the mesh that they are least beyond of.

    In [mm], below nothing within it; inf where more than `enough` [mm].
    """
    found = np.full(len(points), np.inf)
    for low, high, search, reach in searches:
        apart = sizes(np.maximum(np.maximum(low - points, points - high), 0.0))
        # Nothing counts that is beyond its reach by more than another is.
        room = np.minimum(enough, found) + reach
        near = apart <= room
        if near.any():
            near[near], seen = search.nearest_within(points[near], room[near])
            found[near] = np.minimum(found[near], seen.distance - reach)
    return found


def _halved(triangles: Floats) -> Floats:
    """Return two halves of each triangle, cut across its longest side: slivers stay few."""
    sides = np.stack([sizes(triangles[:, k - 2] - triangles[:, k]) for k in range(3)], axis=1)
    turn = (np.argmax(sides, axis=1)[:, None] + np.arange(3)) % 3
    a, b, c = np.take_along_axis(triangles, turn[:, :, None], axis=1).transpose(1, 0, 2)
    middle = (a + b) / 2
    return np.concatenate([np.stack(half, axis=1) for half in ((a, middle, c), (middle, b, c))])


def _middles(triangles: Floats) -> Floats:
    a, b, c = triangles.transpose(1, 0, 2)
    return np.asarray((a + b + c) / 3)


def _radii(triangles: Floats, middles: Floats) -> Floats:
    return np.asarray(np.maximum.reduce([sizes(triangles[:, k] - middles) for k in range(3)]))


def _areas(triangles: Floats) -> Floats:
    sides = cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    return np.asarray(np.linalg.norm(sides, axis=1) / 2)


def _summed(triangles: Floats, doubtful: float) -> TouchingSkin:
    areas = _areas(triangles)
    total = float(areas.sum())
    if not total:
        return TouchingSkin(0.0, doubtful, (0.0, 0.0, 0.0), (0.0,) * 6)
    centre = areas @ triangles.mean(axis=1) / total
    sides = (triangles + np.roll(triangles, 1, axis=1)) / 2 - centre
    squares = THIRD * np.einsum("i,ijk,ijl->kl", areas, sides, sides)
    pairs = ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (2, 0))
    xx, yy, zz, xy, yz, zx = (float(squares[pair]) for pair in pairs)
    return TouchingSkin(total, doubtful, vec(centre), (xx, yy, zz, xy, yz, zx))
