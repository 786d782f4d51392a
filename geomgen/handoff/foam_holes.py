"""Alignment holes of the pod's templates: one pair for as many of them as can share it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

# The two holes of a pair stand at least this far apart [mm]; looked for on so many places.
APART = 60.0
PLACES = 24
# A pair that fewer templates share is not worth drilling.
LEAST = 2


@dataclass(frozen=True)
class Pair:
    """Two holes on one buttock line: its value and the two waterlines [mm]."""

    buttock_line: float
    low: float
    high: float


def pairs(sections: Sequence[shapely.Polygon | None], clear: float) -> list[Pair | None]:
    """Return for each section (None: there is none) its pair of holes, None where none fits.

    `clear` [mm] is left from the middle of a hole to the outline. Neighbours share a pair as far as
    it goes; where it leaves them the next pair begins with the last section that had the old one.
    """
    rooms = [None if s is None else s.buffer(-clear) for s in sections]
    found: list[Pair | None] = [None] * len(rooms)
    waiting = [i for i, room in enumerate(rooms) if room is not None and not room.is_empty]
    while waiting:
        pair, members = _best(rooms, waiting)
        if pair is None or len(members) < LEAST:
            break
        for i in members:
            found[i] = pair
        waiting = [i for i in waiting if i not in members]
    return found


def _best(
    rooms: Sequence[shapely.Geometry | None], waiting: Sequence[int]
) -> tuple[Pair | None, set[int]]:
    """Return the pair that most of the waiting sections can share, widest apart among equals."""
    inside = [rooms[i] for i in waiting]
    x0, y0, x1, y1 = shapely.total_bounds(inside)
    ys = np.linspace(x0, x1, PLACES)
    zs = np.linspace(y0, y1, 2 * PLACES)
    grid_y, grid_z = np.meshgrid(ys, zs, indexing="ij")
    held = np.array([shapely.contains_xy(room, grid_y, grid_z) for room in inside])
    best: tuple[int, float, Pair | None, set[int]] = (0, 0.0, None, set())
    for j, y in enumerate(ys):
        line = held[:, j, :]
        both = np.einsum("sa,sb->ab", line.astype(int), line.astype(int))
        gap = np.abs(zs[:, None] - zs[None, :])
        both = np.where(gap >= APART, both, 0)
        most = int(both.max())
        if most == 0:
            continue
        a, b = np.argwhere(both == most)[int(np.argmax(gap[both == most]))]
        low, high = sorted((int(a), int(b)))
        if (most, float(zs[high] - zs[low])) > best[:2]:
            members = {waiting[int(s)] for s in np.nonzero(line[:, low] & line[:, high])[0]}
            pair = Pair(float(y), float(zs[low]), float(zs[high]))
            best = (most, float(zs[high] - zs[low]), pair, members)
    return best[2], best[3]
