"""Constrained Delaunay triangles of a region of the plane, bounded by closed polygons."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Delaunay, QhullError

from geomgen.errors import GeometryError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Halves = dict[tuple[int, int], int]


def triangulate(loops: list[Floats], inner: Floats) -> Ints:
    """Return triangles (m, 3), counter-clockwise, of the region to the left of all `loops`.

    `loops` are closed polygons (k, 2) without the repeated first point, the outer one
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
    triangles = _counter_clockwise(every, found.simplices.astype(np.int64))
    triangles = _with_sides(every, triangles, sides)
    return _inside(triangles, sides, len(points))


def _sides(sizes: list[int]) -> Ints:
    rows, start = [], 0
    for size in sizes:
        index = np.arange(start, start + size)
        rows.append(np.stack([index, np.roll(index, -1)], axis=-1))
        start += size
    return np.concatenate(rows)


def _counter_clockwise(points: Floats, triangles: Ints) -> Ints:
    a, b, c = (points[triangles[:, i]] for i in range(3))
    ab, ac = b - a, c - a
    flip = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0] < 0
    out = triangles.copy()
    out[flip, 1], out[flip, 2] = triangles[flip, 2], triangles[flip, 1]
    return out


def _keys(pairs: Ints, count: int) -> Ints:
    return np.asarray(pairs[..., 0] * count + pairs[..., 1])


def _among(keys: Ints, wanted: Ints) -> NDArray[np.bool_]:
    """Return which `keys` are among the few `wanted`."""
    few = np.sort(wanted)
    place = np.minimum(np.searchsorted(few, keys), len(few) - 1)
    return np.asarray(few[place] == keys)


def _half_edges(triangles: Ints) -> Ints:
    return np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=-1).reshape(-1, 2)


def _inside(triangles: Ints, sides: Ints, count: int) -> Ints:
    """Keep what lies to the left of the sides: flood between triangles, never across a side."""
    total = count + 4
    halves = _half_edges(triangles)
    keys, back = _keys(halves, total), _keys(halves[:, ::-1], total)
    order = np.argsort(keys)
    place = np.minimum(np.searchsorted(keys, back, sorter=order), len(keys) - 1)
    other = order[place]
    shut = _among(keys, np.r_[_keys(sides, total), _keys(sides[:, ::-1], total)])
    joined = (keys[other] == back) & ~shut
    here = np.arange(len(keys)) // 3
    graph = coo_matrix(
        (np.ones(joined.sum()), (here[joined], other[joined] // 3)),
        shape=(len(triangles), len(triangles)),
    )
    label = connected_components(graph, directed=False)[1]
    left = _among(keys, _keys(sides, total))
    right = _among(back, _keys(sides, total))
    wanted, unwanted = np.unique(label[here[left]]), np.unique(label[here[right]])
    outer = np.unique(label[(triangles >= count).any(axis=1)])
    if np.isin(wanted, unwanted).any() or np.isin(wanted, outer).any():
        raise GeometryError("its outline crosses itself", step="mesh")
    return np.asarray(triangles[_among(label, wanted)])


def _with_sides(points: Floats, triangles: Ints, sides: Ints) -> Ints:
    """Return the triangles with every side among their edges: cut out what crosses it, refill."""
    total = len(points)
    keys, back = _keys(sides, total), _keys(sides[:, ::-1], total)
    present = _keys(_half_edges(triangles), total)
    present = present[_among(present, np.r_[keys, back])]
    missing = sides[~(np.isin(keys, present) | np.isin(back, present))]
    if not len(missing):
        return triangles
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
