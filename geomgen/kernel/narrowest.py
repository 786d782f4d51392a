"""The narrowest place of a way through a space with walls, whatever its shape.

A potential that falls from where the stream comes from to where it goes is laid through the cells
of the way (the heat equation at rest, solved by conjugate gradients); each surface of equal
potential parts the one end from the other, so that the whole stream has to pass through it. The
least area among them is given. The true least section is no larger, but for the grid's coarseness;
in straight ducts, at sharp holes and in gaps round a plate the two are the same.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import LinearOperator, cg

from geomgen.kernel.grid_walls import Bools, Grid, Owners
from geomgen.kernel.mesh_record import Floats, Ints
from geomgen.kernel.plain import Vec3

# So many surfaces are looked at; how exactly the potential is solved, in so many steps at most.
LEVELS = 400
EXACT, STEPS = 1e-5, 4000
# Beside walls that stand aslant in the grid the surface's own slant is not well known: by so much
# of the area at most, in all ducts that were tried (own choice).
SLANT = 0.1


@dataclass(frozen=True)
class Narrowest:
    """The least area [mm2] of a way, how far the grid may be off [mm2], its middle [mm].

    `beside` are the numbers of the bodies that stand at its border, most of the border first.
    An area of 0 is a way that is shut: `at` is then None, and nothing stands beside.
    """

    area: float
    bound: float
    at: Vec3 | None
    beside: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Ways:
    """Neighbouring cells (k,) `a` and `b` along axis `axis` (k,) between which nothing stands."""

    a: Ints
    b: Ints
    axis: Ints

    def some(self, which: Bools) -> "_Ways":
        return _Ways(self.a[which], self.b[which], self.axis[which])


def narrowest(
    grid: Grid,
    walls: Sequence[Owners],
    space: Bools,
    source: Bools,
    sink: Bools,
    in_material: Callable[[Vec3], bool],
) -> Narrowest:
    """Return the least area that parts `source` from `sink` within `space`, all shaped as the grid.

    `in_material` says of a point [mm] whether it lies inside a body: no way leads through one.
    The bound is half a step along the border of that surface, and `SLANT` of its area.
    """
    ways = _open_ways(walls, space)
    first, last = (source & space).ravel(), (sink & space & ~source).ravel()
    ways, cells = _between(grid, ways, first, last, in_material)
    if not len(cells):
        return Narrowest(0.0, 0.0, None)
    dark: Bools = np.sum(np.unravel_index(cells, grid.counts), axis=0) % 2 == 0
    fall = _potential(ways, first[cells], last[cells], dark)
    ways = ways.some(fall[ways.a] != fall[ways.b])
    shares = _shares(ways, fall)
    level = _least_level(ways, fall, shares)
    cut = (np.minimum(fall[ways.a], fall[ways.b]) < level) & (
        np.maximum(fall[ways.a], fall[ways.b]) >= level
    )
    passed = ways.some(cut)
    area = float(shares[cut].sum()) * grid.step**2
    middle = _middle(grid, cells[np.concatenate([passed.a, passed.b])])
    length, beside = _border(grid, walls, passed, cells)
    return Narrowest(area, 0.5 * grid.step * length + SLANT * area, middle, beside)


def _open_ways(walls: Sequence[Owners], space: Bools) -> _Ways:
    number = np.arange(space.size).reshape(space.shape)
    found: list[tuple[Ints, Ints, Ints]] = []
    for axis, owners in enumerate(walls):
        low, high = _pair(axis)
        free = (owners == 0) & space[low] & space[high]
        a, b = number[low][free], number[high][free]
        found.append((a, b, np.full(len(a), axis)))
    a, b, along = (np.concatenate(rows) for rows in zip(*found, strict=True))
    return _Ways(a, b, along)


def _pair(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Return what picks the first and the second cell of all pairs along an axis."""
    low, high = [slice(None)] * 3, [slice(None)] * 3
    low[axis], high[axis] = slice(0, -1), slice(1, None)
    return tuple(low), tuple(high)


def _between(
    grid: Grid, ways: _Ways, first: Bools, last: Bools, in_material: Callable[[Vec3], bool]
) -> tuple[_Ways, Ints]:
    """Return the ways that hang together with both ends, renumbered, and their cells."""
    count = first.size
    ones = np.ones(len(ways.a), dtype=np.int8)
    graph = sparse.coo_matrix((ones, (ways.a, ways.b)), shape=(count, count))
    _, piece = connected_components(graph, directed=False)
    both = np.intersect1d(piece[first], piece[last])
    # No way of the grid leads through a skin: what hangs together is all air or all material.
    air = [k for k in both if not in_material(_middle(grid, np.nonzero(piece == k)[0][:1]))]
    inside = np.isin(piece, air)
    cells = np.nonzero(inside)[0]
    new = np.full(count, -1)
    new[cells] = np.arange(len(cells))
    kept = ways.some(inside[ways.a])
    return _Ways(new[kept.a], new[kept.b], kept.axis), cells


def _potential(ways: _Ways, first: Bools, last: Bools, dark: Bools) -> Floats:
    """Return the potential (n,) of cells: 1 at the first, 0 at the last, at rest between them.

    Cells have neighbours of the other shade only, as on a chessboard, `dark` (n,) or not: the light
    ones follow from the dark ones, for which half the steps of conjugate gradients do.
    """
    count, ones = len(first), np.ones(2 * len(ways.a))
    rows, columns = np.r_[ways.a, ways.b], np.r_[ways.b, ways.a]
    beside = sparse.coo_matrix((ones, (rows, columns)), shape=(count, count)).tocsr()
    free = ~(first | last)
    root = 1.0 / np.sqrt(np.maximum(np.asarray(beside.sum(axis=1)).ravel(), 1.0))
    given = root * np.asarray(beside[:, first].sum(axis=1)).ravel()
    one, other = free & dark, free & ~dark
    to_one = sparse.diags(root[one]) @ beside[one][:, other] @ sparse.diags(root[other])
    to_other = to_one.T.tocsr()
    alone = LinearOperator(to_one.shape[:1] * 2, lambda x: x - to_one @ (to_other @ x), dtype=float)
    start = 0.5 / root[one]
    due = given[one] + to_one @ given[other]
    solved, _ = cg(alone, due, x0=start, rtol=EXACT, maxiter=STEPS)
    fall = np.where(first, 1.0, 0.0)
    fall[one] = np.clip(root[one] * solved, 0.0, 1.0)
    fall[other] = np.clip(root[other] * (given[other] + to_other @ solved), 0.0, 1.0)
    return fall


def _shares(ways: _Ways, fall: Floats) -> Floats:
    """Return of each way (k,) how square it stands to the surface of equal potential there.

    By Cauchy's formula the sum of these shares over all ways that a surface cuts is its area.
    """
    steps = fall[ways.a] - fall[ways.b]
    slope = np.zeros((3, len(fall)))
    for axis in range(3):
        own = ways.axis == axis
        for end in (ways.a, ways.b):
            slope[axis] += np.bincount(end[own], steps[own], len(fall))
    there = slope[:, ways.a] + slope[:, ways.b]
    size = np.sqrt((there**2).sum(axis=0))
    along = np.abs(there[ways.axis, np.arange(len(ways.axis))])
    return np.asarray(along / np.maximum(size, np.finfo(float).tiny))


def _least_level(ways: _Ways, fall: Floats, shares: Floats) -> float:
    """Return the potential whose surface has the least area."""
    inner = fall[(fall > 0.0) & (fall < 1.0)]
    even = np.linspace(0.0, 1.0, LEVELS + 2)[1:-1]
    levels = np.unique(np.concatenate([even, np.quantile(inner, even)] if len(inner) else [even]))
    begin = np.searchsorted(levels, np.minimum(fall[ways.a], fall[ways.b]), "right")
    end = np.searchsorted(levels, np.maximum(fall[ways.a], fall[ways.b]), "right")
    change = np.bincount(begin, shares, len(levels) + 1) - np.bincount(end, shares, len(levels) + 1)
    area = np.cumsum(change)[:-1]
    return float(levels[int(np.argmin(area))])


def _middle(grid: Grid, cells: Ints) -> Vec3:
    places = np.stack(np.unravel_index(cells, grid.counts), axis=1).mean(axis=0)
    x, y, z = (low + grid.step * (place + 0.5) for low, place in zip(grid.low, places, strict=True))
    return float(x), float(y), float(z)


def _border(
    grid: Grid, walls: Sequence[Owners], passed: _Ways, cells: Ints
) -> tuple[float, tuple[int, ...]]:
    """Return the length [mm] of a surface's border, and who stands along it, the most first.

    The length is that of the cells' sides: of a slanting border up to 1.4 times its own.
    """
    count = np.zeros(1 + max(int(own.max(initial=0)) for own in walls))
    for axis in range(3):
        full = np.pad(walls[axis], [(1, 1) if k == axis else (0, 0) for k in range(3)])
        across = passed.axis != axis
        for end in (passed.a, passed.b):
            beside = np.array(np.unravel_index(cells[end[across]], grid.counts))
            for _ in (0, 1):
                owner = full[tuple(beside)]
                # Either cell of a pair may stand at the wall: each counts for half.
                count += 0.5 * np.bincount(owner, minlength=len(count))
                beside[axis] += 1
    length = float(count[1:].sum()) * grid.step
    ranked = np.argsort(-count, kind="stable")
    return length, tuple(int(k) for k in ranked if k > 0 and count[k] > 0.0)
