"""The narrowest place of a way through a space with walls, whatever its shape.

A potential that falls from where the stream comes from to where it goes is laid through the cells
of the way (`open_way`); each surface of equal
potential parts the one end from the other, so that the whole stream has to pass through it. The
least area among them is given. The true least section is no larger, but for the grid's coarseness;
in straight ducts, at sharp holes and in gaps round a plate the two are the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.airways.grid_walls import AirGrid, Owners
from geomgen.kernel.airways.open_way import OpenWay, Ways, middle_of
from geomgen.kernel.plain import Vec3

# So many surfaces are looked at.
LEVELS = 400
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


def least_surface(way: OpenWay, walls: Sequence[Owners]) -> Narrowest:
    """Return the surface of equal potential with the least area.

    The bound is half a step along the border of that surface, and `SLANT` of its area.
    """
    levels, areas = _areas(way)
    cut = cut_at(way, float(levels[int(np.argmin(areas))]))
    passed = way.ways.some(cut)
    area = float(way.shares[cut].sum()) * way.grid.step**2
    middle = middle_of(way.grid, way.cells[np.concatenate([passed.a, passed.b])])
    length, beside = _border(way.grid, walls, passed, way.cells)
    bound = 0.5 * way.grid.step * length + SLANT * area
    return Narrowest(area, bound, middle, beside)


def cut_at(way: OpenWay, level: float) -> Bools:
    """Return which of the pairs of neighbours the surface of a potential [1] parts."""
    return np.asarray((way.lower < level) & (way.upper >= level))


def levels_of(way: OpenWay, count: int) -> Floats:
    """Return potentials [1], `count` evenly spaced, as many with as many cells between each two."""
    low, high = way.span
    inner = way.fall[(way.fall > low) & (way.fall < high)]
    even = np.linspace(0.0, 1.0, count + 2)[1:-1]
    spaced = low + (high - low) * even
    return np.unique(np.concatenate([spaced, np.quantile(inner, even)] if len(inner) else [spaced]))


def low_levels(way: OpenWay, count: int) -> Floats:
    """Return potentials [1] of the surfaces whose area is less than beside them, least first."""
    levels, area = _areas(way)
    beside = np.r_[np.inf, area, np.inf]
    low = np.nonzero((area <= beside[:-2]) & (area < beside[2:]))[0]
    return levels[low[np.argsort(area[low], kind="stable")][:count]]


def _areas(way: OpenWay) -> tuple[Floats, Floats]:
    """Return potentials and the areas of their surfaces, in cells' sides."""
    levels = levels_of(way, LEVELS)
    begin, end = (np.searchsorted(levels, ends, "right") for ends in (way.lower, way.upper))
    more, less = (np.bincount(at, way.shares, len(levels) + 1) for at in (begin, end))
    return levels, np.cumsum(more - less)[:-1]


def _border(
    grid: AirGrid, walls: Sequence[Owners], passed: Ways, cells: Ints
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
