"""Whether a body that goes straight away meets another one: exact on their meshes.

Two bodies that share no space meet on the way if, somewhere in the plane across it, the other one
has something higher along the way than the lowest of the first. Every downward triangle of the
first is laid over every upward one of the other, what of their common area has the other one on
top is cut out, and all such areas are joined. Where that is nowhere as wide as `TOUCH` the parts
only touch.
"""

from functools import lru_cache

import numpy as np
import shapely

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import cross
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.second_library import second_library
from geomgen.kernel.visibility.shadow import frame_of

# What is narrower across the way, or less deep along it, is contact [mm]: own choice, above what
# two meshes of usual tolerance are off together.
TOUCH = 0.25
# A triangle of less area across the way is seen from its side [mm2].
FLAT = 2e-9
# Pieces this near to each other hang together [mm].
CRACK = 1e-3
# Boxes count as overlapping until they are farther apart than what rounding does [mm].
ROUNDING = 1e-6
# So many triangles of each are tried first, and so many pairs are cut at once.
FEW, PAIRS = 16, 20_000


def met_on_the_way(moved: Floats, other: Floats, way: Vec3) -> Vec3 | None:
    """Return a place [mm] where a body that goes far along `way` meets another; None if it doesn't.

    Both are the outward triangles (n, 3, 3) [mm] of closed bodies that share no space.

    >>> floor = np.array([[[0.0, 0.0, 0.0], [0.0, 9.0, 0.0], [9.0, 0.0, 0.0]]])
    >>> above = floor[:, ::-1] + [0.0, 0.0, 5.0]
    >>> met_on_the_way(floor, above, (0.0, 0.0, 1.0)) is None
    False
    >>> met_on_the_way(floor, above + [20.0, 0.0, 0.0], (0.0, 0.0, 1.0))
    """
    turn = _turn(way)
    low, high = _facing(_turned(moved, turn), -1.0), _facing(_turned(other, turn), 1.0)
    low, high = _over(low, high)
    if not len(low) or not len(high):
        return None
    place = _soon(low, high)
    if place is None:
        place = _exactly(low, high)
    return None if place is None else vec(turn @ place)


def boxes_clear(moved: Floats, other: Floats, way: Vec3) -> bool:
    """Say of two bodies, each within the ends (2, 3) [mm] of its box, if the boxes tell it apart.

    Then `met_on_the_way` finds nothing.

    >>> ends = np.array([[0.0, 0.0, 0.0], [1.0, 1.0, 1.0]])
    >>> boxes_clear(ends, ends + [2.0, 0.0, 0.0], (0.0, 0.0, 1.0))
    True
    >>> boxes_clear(ends, ends + [2.0, 0.0, 0.0], (1.0, 0.0, 0.0))
    False
    """
    turn = _turn(way)
    apart = (other[0] + other[1] - moved[0] - moved[1]) @ turn
    reach = (other[1] - other[0] + moved[1] - moved[0]) @ np.abs(turn) + ROUNDING
    across = abs(apart[0]) < reach[0] and abs(apart[1]) < reach[1]
    return not (across and apart[2] + reach[2] > 2.0 * TOUCH)


@lru_cache(maxsize=64)
def _turn(way: Vec3) -> Floats:
    """Return the matrix (3, 3) that turns rows so that the way is up."""
    return np.array(frame_of(way)).T


def _turned(corners: Floats, turn: Floats) -> Floats:
    return np.asarray((corners.reshape(-1, 3) @ turn).reshape(-1, 3, 3))


def _facing(corners: Floats, side: float) -> Floats:
    """Return the triangles (n, 3, 3) that face up or down, counter-clockwise from above [mm]."""
    a, b, c = (corners[:, i, :2] for i in range(3))
    up = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    found = corners[side * up > FLAT]
    return found if side > 0.0 else found[:, ::-1]


def _boxes(corners: Floats) -> tuple[Floats, Floats]:
    """Return the low and high corners (n, 3) of triangles' boxes [mm]; axis by axis is slower."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)


def _over(low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return those of each that come over the other's box, and can be above it, below it [mm]."""
    for _ in range(2):
        if not len(low) or not len(high):
            break
        (a, b), (c, d) = _boxes(low), _boxes(high)
        bottom, top = c.min(axis=0), d.max(axis=0)
        kept = ((a < top) & (b > bottom))[:, :2].all(axis=1) & (a[:, 2] < top[2] - TOUCH)
        low, a, b = low[kept], a[kept], b[kept]
        if len(low):
            bottom, top = a.min(axis=0), b.max(axis=0)
            over = ((c < top) & (d > bottom))[:, :2].all(axis=1) & (d[:, 2] > bottom[2] + TOUCH)
            high = high[over]
    return low, high


def _soon(low: Floats, high: Floats) -> Floats | None:
    """Return a place where bodies meet broadly, told by some triangles of each; None if by none."""
    for some, others in ((_few(low), high), (low, _few(high))):
        (a, b), (c, d) = (_boxes(corners) for corners in (some, others))
        near = np.ones((len(some), len(others)), dtype=bool)
        for k in range(2):
            near &= (a[:, None, k] < d[None, :, k]) & (b[:, None, k] > c[None, :, k])
        one, other = np.nonzero(near & (d[None, :, 2] > a[:, None, 2] + TOUCH))
        place = _wide(some[one], others[other], others)
        if place is not None:
            return place
    return None


def _few(corners: Floats) -> Floats:
    """Return the broadest triangles, and some of all."""
    if len(corners) <= 2 * FEW:
        return corners
    a, b, c = (corners[:, i, :2] for i in range(3))
    up = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    broad = np.argpartition(-up, FEW)[:FEW]
    return np.asarray(corners[np.unique([*broad, *range(0, len(corners), len(corners) // FEW)])])


def _exactly(low: Floats, high: Floats) -> Floats | None:
    """Return a place of the area where the upper triangles are on top, if wider than contact."""
    (a, b), (c, d) = _boxes(low), _boxes(high)
    tree = shapely.STRtree(shapely.box(*c[:, :2].T, *d[:, :2].T))
    one, other = tree.query(shapely.box(*a[:, :2].T, *b[:, :2].T))
    above = d[other, 2] > a[one, 2] + TOUCH
    return _wide(low[one[above]], high[other[above]], high)


def _wide(low: Floats, high: Floats, every: Floats) -> Floats | None:
    """Return a place where, of pairs of triangles (n, 3, 3), the second is on top; None in contact.

    What hangs together may come in parts, so all that is found is kept until the end.
    """
    library = second_library()
    found = library.CrossSection()
    for start in range(0, len(low), PAIRS):
        pieces = _on_top(low[start : start + PAIRS], high[start : start + PAIRS])
        if not pieces:
            continue
        found += library.CrossSection(pieces, library.FillRule.NonZero)
        # Grown a little first: a crack between two pieces must not make them narrow.
        joined = found.offset(CRACK, library.JoinType.Miter)
        wide = joined.offset(-TOUCH / 2 - CRACK, library.JoinType.Miter)
        if not wide.is_empty():
            x, y = wide.to_polygons()[0][0]
            return _on(every, float(x), float(y))
    return None


def _on_top(low: Floats, high: Floats) -> list[Floats]:
    """Return of pairs of triangles (n, 3, 3) the areas (k, 2) where the second is on top [mm]."""
    area = low[:, :, :2]
    for i in range(3):
        a, b = high[:, i, :2], high[:, (i + 1) % 3, :2]
        inward = np.stack([a[:, 1] - b[:, 1], b[:, 0] - a[:, 0]], axis=-1)
        area, kept = _cut(area, inward, (inward * a).sum(axis=1))
        low, high = low[kept], high[kept]
    (one, at), (other, off) = _slope(low), _slope(high)
    area, _ = _cut(area, other - one, at - off + TOUCH)
    return list(area)


def _slope(corners: Floats) -> tuple[Floats, Floats]:
    """Return slopes (n, 2) [1] and heights at the origin (n,) [mm] of the triangles' planes."""
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    slope = -normal[:, :2] / normal[:, 2:]
    return slope, corners[:, 0, 2] - (slope * corners[:, 0, :2]).sum(axis=1)


def _cut(area: Floats, inward: Floats, least: Floats) -> tuple[Floats, Ints]:
    """Return of convex areas (n, k, 2) what is `inward` (n, 2) of a line, and which are left."""
    off = np.einsum("nki,ni->nk", area, inward) - least[:, None]
    after, later = np.roll(area, -1, axis=1), np.roll(off, -1, axis=1)
    crossing = (off > 0.0) != (later > 0.0)
    share = np.where(crossing, off / np.where(crossing, off - later, 1.0), 0.0)
    between = area + share[:, :, None] * (after - area)
    points = np.stack([area, between], axis=2).reshape(len(area), 2 * area.shape[1], 2)
    valid = np.stack([off > 0.0, crossing], axis=2).reshape(len(area), 2 * area.shape[1])
    kept = np.nonzero(valid.any(axis=1))[0]
    points, valid = points[kept], valid[kept]
    order = np.argsort(~valid, axis=1, kind="stable")
    most = int(valid.sum(axis=1).max(initial=1))
    points = np.take_along_axis(points, order[:, :most, None], axis=1)
    valid = np.take_along_axis(valid, order[:, :most], axis=1)
    return np.where(valid[:, :, None], points, points[:, :1]), kept


def _on(corners: Floats, x: float, y: float) -> Floats:
    """Return the highest place (3,) of triangles over a point of the plane [mm]."""
    flat = corners[:, :, :2]
    after = np.roll(flat, -1, axis=1) - flat
    to = np.array([x, y]) - flat
    inside = (after[:, :, 0] * to[:, :, 1] - after[:, :, 1] * to[:, :, 0] >= 0.0).all(axis=1)
    slope, off = _slope(corners[inside])
    return np.array([x, y, float((slope @ [x, y] + off).max())])
