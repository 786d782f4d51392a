"""The open cells of a way through a space with walls, and the potential that falls along it.

The heat equation at rest is solved by conjugate gradients: 1 where the stream comes from, 0 where
it goes to.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import LinearOperator, cg

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.airways.grid_walls import AirGrid, Owners
from geomgen.kernel.plain import Vec3

# How exactly the potential is solved, in so many steps at most.
EXACT, STEPS = 1e-5, 4000


@dataclass(frozen=True)
class Ways:
    """Neighbouring cells (k,) `a` and `b` along axis `axis` (k,) between which nothing stands."""

    a: Ints
    b: Ints
    axis: Ints

    def some(self, which: Bools) -> "Ways":
        """Return those of the pairs (k,) that are picked."""
        return Ways(self.a[which], self.b[which], self.axis[which])


@dataclass(frozen=True)
class OpenWay:
    """The cells (n,) of a way by their number in the grid, its neighbours, the potential (n,).

    `first` and `last` (n,) say which cells the stream comes from and goes to, `span` between which
    potentials it is looked at.
    """

    grid: AirGrid
    cells: Ints
    ways: Ways
    fall: Floats
    first: Bools
    last: Bools
    span: tuple[float, float] = (0.0, 1.0)

    # Kept, for the surfaces of hundreds of potentials are asked for.
    @cached_property
    def lower(self) -> Floats:
        """Return the lower potential (k,) [1] of each pair of neighbours."""
        return np.asarray(np.minimum(self.fall[self.ways.a], self.fall[self.ways.b]))

    @cached_property
    def upper(self) -> Floats:
        """Return the higher potential (k,) [1] of each pair of neighbours."""
        return np.asarray(np.maximum(self.fall[self.ways.a], self.fall[self.ways.b]))

    @cached_property
    def shares(self) -> Floats:
        """Return of each way (k,) how square it stands to the surface of equal potential there [1].

        By Cauchy's formula the sum of these shares over all ways that a surface cuts is its area.
        """
        return _shares(self.ways, self.fall)

    def middles(self, which: Ints) -> Floats:
        """Return the middles (k, 3) [mm] of some of the cells."""
        places = np.stack(np.unravel_index(self.cells[which], self.grid.counts), axis=1)
        return np.asarray(np.array(self.grid.low) + self.grid.step * (places + 0.5))

    def parted_without(self, shut: Bools) -> bool:
        """Return whether no way leads from the first cells to the last where some are `shut`."""
        left = self.ways.some(~shut)
        piece = _pieces(left, len(self.cells))
        return not np.intersect1d(piece[self.first], piece[self.last]).size


def open_way(
    grid: AirGrid,
    walls: Sequence[Owners],
    space: Bools,
    source: Bools,
    sink: Bools,
    in_material: Callable[[Vec3], bool],
    rooms: Sequence[Bools] = (),
) -> OpenWay | None:
    """Return the way from `source` to `sink` within `space`, shaped as the grid; None if shut.

    `in_material` says of a point [mm] whether it lies inside a body: no way leads through one.
    Where there are `rooms`, two cells are neighbours only within one of them.
    """
    ways = _open_ways(walls, space, rooms)
    first, last = (source & space).ravel(), (sink & space & ~source).ravel()
    ways, cells = _between(grid, ways, first, last, in_material)
    if not len(cells):
        return None
    dark: Bools = np.sum(np.unravel_index(cells, grid.counts), axis=0) % 2 == 0
    fall = _potential(ways, first[cells], last[cells], dark)
    return OpenWay(grid, cells, ways, fall, first[cells], last[cells])


def barring(walls: Sequence[Owners], space: Bools, source: Bools, sink: Bools) -> tuple[int, ...]:
    """Return the numbers of bodies without any one of which there would be a way, small ones first.

    `walls`, `space` and both ends as for `open_way`; of the way through a body too.
    """
    first, last = (source & space).ravel(), (sink & space & ~source).ravel()
    piece = _pieces(_open_ways(walls, space, ()), space.size)
    begun, goal = np.unique(piece[first]), np.unique(piece[last])
    if not (len(begun) and len(goal)):
        return ()
    a, b, owner = _walled(walls, space)
    ends = [(np.full(len(some) - 1, some[0]), some[1:]) for some in (begun, goal)]
    found = []
    for body in np.unique(owner):
        own = owner == body
        rows = [(piece[a[own]], piece[b[own]]), *ends]
        one, other = (np.concatenate(side) for side in zip(*rows, strict=True))
        joined = _hung_together(one, other, int(piece.max()) + 1)
        if joined[begun[0]] == joined[goal[0]]:
            found.append((int(own.sum()), int(body)))
    return tuple(body for _, body in sorted(found))


def _walled(walls: Sequence[Owners], space: Bools) -> tuple[Ints, Ints, Ints]:
    """Return neighbours (k,) that a wall parts, and the number of the body that it is of."""
    number = np.arange(space.size).reshape(space.shape)
    found = []
    for axis, owners in enumerate(walls):
        low, high = _pair(axis)
        shut = (owners > 0) & space[low] & space[high]
        found.append((number[low][shut], number[high][shut], owners[shut].astype(np.int64)))
    a, b, owner = (np.concatenate(rows) for rows in zip(*found, strict=True))
    return a, b, owner


def middle_of(grid: AirGrid, cells: Ints) -> Vec3:
    """Return the mean of the middles of cells, by their number in the grid [mm]."""
    places = np.stack(np.unravel_index(cells, grid.counts), axis=1).mean(axis=0)
    x, y, z = (low + grid.step * (place + 0.5) for low, place in zip(grid.low, places, strict=True))
    return float(x), float(y), float(z)


def _pieces(ways: Ways, count: int) -> Ints:
    return _hung_together(ways.a, ways.b, count)


def _hung_together(a: Ints, b: Ints, count: int) -> Ints:
    """Return the number (count,) of the piece that each belongs to, pairs (k,) hanging together."""
    ones = np.ones(len(a), dtype=np.int8)
    graph = sparse.coo_matrix((ones, (a, b)), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1])


def _open_ways(walls: Sequence[Owners], space: Bools, rooms: Sequence[Bools]) -> Ways:
    number = np.arange(space.size).reshape(space.shape)
    found: list[tuple[Ints, Ints, Ints]] = []
    for axis, owners in enumerate(walls):
        low, high = _pair(axis)
        free = (owners == 0) & space[low] & space[high]
        if rooms:
            free &= np.any([room[low] & room[high] for room in rooms], axis=0)
        a, b = number[low][free], number[high][free]
        found.append((a, b, np.full(len(a), axis)))
    a, b, along = (np.concatenate(rows) for rows in zip(*found, strict=True))
    return Ways(a, b, along)


def _pair(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Return what picks the first and the second cell of all pairs along an axis."""
    low, high = [slice(None)] * 3, [slice(None)] * 3
    low[axis], high[axis] = slice(0, -1), slice(1, None)
    return tuple(low), tuple(high)


def _between(
    grid: AirGrid, ways: Ways, first: Bools, last: Bools, in_material: Callable[[Vec3], bool]
) -> tuple[Ways, Ints]:
    """Return the ways that hang together with both ends, renumbered, and their cells."""
    count = first.size
    piece = _pieces(ways, count)
    both = np.intersect1d(piece[first], piece[last])
    # No way of the grid leads through a skin: what hangs together is all air or all material.
    air = [k for k in both if not in_material(middle_of(grid, np.nonzero(piece == k)[0][:1]))]
    inside = np.isin(piece, air)
    cells = np.nonzero(inside)[0]
    new = np.full(count, -1)
    new[cells] = np.arange(len(cells))
    kept = ways.some(inside[ways.a])
    return Ways(new[kept.a], new[kept.b], kept.axis), cells


def _potential(ways: Ways, first: Bools, last: Bools, dark: Bools) -> Floats:
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


def _shares(ways: Ways, fall: Floats) -> Floats:
    steps = fall[ways.a] - fall[ways.b]
    square, along = np.zeros(len(steps)), np.zeros(len(steps))
    for axis in range(3):
        own = ways.axis == axis
        slope = np.zeros(len(fall))
        for end in (ways.a, ways.b):
            slope += np.bincount(end[own], steps[own], len(fall))
        there = slope[ways.a] + slope[ways.b]
        along[own] = np.abs(there[own])
        square += there**2
    return np.asarray(along / np.maximum(np.sqrt(square), np.finfo(float).tiny))
