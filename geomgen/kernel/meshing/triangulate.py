"""Constrained Delaunay triangles of a region of the plane, bounded by closed polygons."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Delaunay, QhullError

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError

Flags = NDArray[np.bool_]
Halves = dict[tuple[int, int], int]


def triangulate(loops: list[Floats], inner: Floats) -> Ints:
    """Return triangles (m, 3), counter-clockwise, of the region to the left of all `loops`.

    `loops` are closed polygons (k, 2) [any unit] without the repeated first point, the outer one
    counter-clockwise and holes clockwise; `inner` (n, 2) are points inside. The numbers refer to
    the loops' points one after the other and then the inner ones. Every side of a loop is a side
    of a triangle. GeometryError when loops touch or cross.

    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> len(triangulate([square], np.empty((0, 2))))
    2
    """
    points = np.concatenate([*loops, inner])
    sides = _sides([len(loop) for loop in loops])
    low, high = points.min(axis=0), points.max(axis=0)
    middle, reach = (low + high) / 2, 8.0 * float(np.max(high - low))
    around = middle + reach * np.array([[-1.0, -1.1], [1.2, -1.0], [1.0, 1.1], [-1.1, 1.0]])
    try:
        found = Delaunay(np.concatenate([points, around]))
    except QhullError as error:
        raise GeometryError("its parameter plane has no area", step="mesh") from error
    if len(found.coplanar):
        raise GeometryError("points of its outline coincide", step="mesh")
    every = np.concatenate([points, around])
    triangles, beside = _counter_clockwise(every, found.simplices, found.neighbors)
    after = np.full(len(every), -1, dtype=np.int64)
    after[sides[:, 0]] = sides[:, 1]
    ahead, behind = _along(triangles, after)
    present = np.zeros(len(every), dtype=bool)
    present[triangles[ahead]] = present[np.roll(triangles, -1, axis=1)[behind]] = True
    missing = sides[~present[sides[:, 0]]]
    if len(missing):
        triangles = _with_sides(every, triangles, missing)
        beside = _beside(triangles, len(every))
        ahead, behind = _along(triangles, after)
    return _inside(triangles, beside, ahead, behind, len(points))


def _sides(sizes: list[int]) -> Ints:
    rows, start = [], 0
    for size in sizes:
        index = np.arange(start, start + size)
        rows.append(np.stack([index, np.roll(index, -1)], axis=-1))
        start += size
    return np.concatenate(rows)


def _counter_clockwise(points: Floats, triangles: Ints, opposite: Ints) -> tuple[Ints, Ints]:
    """Return triangles (m, 3), turned where need be, and what lies beyond side i, from corner i.

    `opposite` (m, 3) are the neighbours opposite the corners, -1 where there is none.
    """
    a, b, c = (points[triangles[:, i]] for i in range(3))
    ab, ac = b - a, c - a
    flip = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0] < 0
    order = np.where(flip[:, None], [0, 2, 1], [0, 1, 2])
    turned = np.take_along_axis(triangles.astype(np.int64), order, axis=1)
    beyond = np.take_along_axis(opposite.astype(np.int64), order, axis=1)
    return turned, beyond[:, [2, 0, 1]]


def _along(triangles: Ints, after: Ints) -> tuple[Flags, Flags]:
    """Return which sides (m, 3), from corner i on, run along the outline and which against it."""
    follows = np.roll(triangles, -1, axis=1)
    return after[triangles] == follows, after[follows] == triangles


def _beside(triangles: Ints, count: int) -> Ints:
    """Return the triangle beyond each side (m, 3), side i from corner i on; -1 where none is."""
    follows = np.roll(triangles, -1, axis=1)
    keys = (triangles * count + follows).reshape(-1)
    back = (follows * count + triangles).reshape(-1)
    order = np.argsort(keys)
    place = np.minimum(np.searchsorted(keys, back, sorter=order), len(keys) - 1)
    other = order[place]
    return np.where(keys[other] == back, other // 3, -1).reshape(-1, 3)


def _inside(triangles: Ints, beside: Ints, ahead: Flags, behind: Flags, count: int) -> Ints:
    """Keep what lies to the left of the sides: flood between triangles, never across a side."""
    joined = (beside >= 0) & ~ahead & ~behind
    starts = np.r_[0, np.cumsum(joined.sum(axis=1))]
    graph = csr_matrix(
        (np.ones(starts[-1], dtype=np.int8), beside[joined], starts), shape=(len(beside),) * 2
    )
    # What is joined is joined both ways, and strong components need no transposed copy.
    label = connected_components(graph, directed=True, connection="strong")[1]
    parts = int(label.max(initial=0)) + 1
    wanted, unwanted, outer = (np.zeros(parts, dtype=bool) for _ in range(3))
    wanted[label[ahead.any(axis=1)]] = True
    unwanted[label[behind.any(axis=1)]] = True
    outer[label[(triangles >= count).any(axis=1)]] = True
    if np.any(wanted & (unwanted | outer)):
        raise GeometryError("its outline crosses itself", step="mesh")
    return np.asarray(triangles[wanted[label]])


def _with_sides(points: Floats, triangles: Ints, missing: Ints) -> Ints:
    """Return the triangles with the `missing` sides among theirs: cut what crosses them, refill."""
    halves: Halves = {}
    for a, b, c in triangles.tolist():
        halves[a, b], halves[b, c], halves[c, a] = c, a, b
    plane = points.tolist()
    fan: dict[int, int] = {}
    for a, b in halves:
        fan[a] = b
    for a, b in missing.tolist():
        _insert(plane, halves, fan, a, b)
    rows = {tuple(sorted((a, b, c))): (a, b, c) for (a, b), c in halves.items()}
    return np.array(list(rows.values()), dtype=np.int64)


def _turn(p: list[list[float]], a: int, b: int, c: int) -> float:
    (ax, ay), (bx, by), (cx, cy) = p[a], p[b], p[c]
    return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)


def _insert(p: list[list[float]], halves: Halves, fan: dict[int, int], a: int, b: int) -> None:
    if (a, b) in halves or (b, a) in halves:
        return
    right, left = _first_crossed(p, halves, fan[a], a, b)
    above, below, doomed = [left], [right], [(a, right, left)]
    while True:
        c = halves.get((left, right))
        if c is None:
            raise GeometryError("its outline leaves its own region", step="mesh")
        doomed.append((left, right, c))
        if c == b:
            break
        side = _turn(p, a, b, c)
        if side == 0.0:
            raise GeometryError("a point of its outline lies on another side of it", step="mesh")
        if side > 0:
            left = c
            above.append(c)
        else:
            right = c
            below.append(c)
    for x, y, z in doomed:
        for pair in ((x, y), (y, z), (z, x)):
            halves.pop(pair, None)
    _refill(p, halves, a, b, above)
    _refill(p, halves, b, a, below[::-1])
    for x in {a, b, *above, *below}:
        if (x, fan[x]) not in halves:
            fan[x] = next(y for (w, y) in halves if w == x)


def _first_crossed(
    p: list[list[float]], halves: Halves, start: int, a: int, b: int
) -> tuple[int, int]:
    """Return the side (right, left) of the triangle at `a` that the way to `b` crosses."""
    x = start
    while True:
        y = halves.get((a, x))
        if y is None:
            raise GeometryError("its outline leaves its own region", step="mesh")
        if _turn(p, a, b, x) < 0 < _turn(p, a, b, y) and _turn(p, x, y, b) < 0:
            return x, y
        x = y
        if x == start:
            raise GeometryError("a point of its outline lies on another side of it", step="mesh")


def _refill(p: list[list[float]], halves: Halves, a: int, b: int, chain: list[int]) -> None:
    """Fill the polygon left of a to b, whose other corners run from `a` to `b` in `chain`."""
    if not chain:
        return
    best = 0
    for i in range(1, len(chain)):
        if _in_circle(p, a, b, chain[best], chain[i]):
            best = i
    c = chain[best]
    halves[a, b], halves[b, c], halves[c, a] = c, a, b
    _refill(p, halves, a, c, chain[:best])
    _refill(p, halves, c, b, chain[best + 1 :])


def _in_circle(p: list[list[float]], a: int, b: int, c: int, d: int) -> bool:
    dx, dy = p[d]
    rows = []
    for k in (a, b, c):
        x, y = p[k][0] - dx, p[k][1] - dy
        rows.append((x, y, x * x + y * y))
    (ax, ay, aw), (bx, by, bw), (cx, cy, cw) = rows
    return ax * (by * cw - bw * cy) - ay * (bx * cw - bw * cx) + aw * (bx * cy - by * cx) > 0
