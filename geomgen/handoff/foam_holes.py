"""Alignment holes of a foam stack: one pair for as many slabs as can share it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geomgen.handoff.flat_areas import shared

# The two holes of a pair stand at least this far apart [mm]; small slabs make do with less.
APART = (60.0, 25.0)
# Holes stand on whole multiples of this [mm], for a tape.
STEP = 5.0


@dataclass(frozen=True)
class Pair:
    """Two holes on one buttock line: its value and the two waterlines [mm]."""

    buttock_line: float
    low: float
    high: float

    def words(self) -> str:
        """Return where the holes are.

        >>> Pair(25.0, 735.0, 825.0).words()
        'BL 25, WL 735 and 825'
        """
        return f"BL {self.buttock_line:g}, WL {self.low:g} and {self.high:g}"

    def inside(self, room: shapely.Geometry) -> bool:
        """Return whether both holes lie in an area."""
        places = [(self.buttock_line, self.low), (self.buttock_line, self.high)]
        return all(room.contains(shapely.Point(place)) for place in places)


def room_for(faces: Sequence[shapely.Polygon], clear: float, half: bool) -> shapely.Geometry:
    """Return where holes may stand on all of a slab's templates.

    `clear` [mm] is left from the middle of a hole to every outline; on `half` templates, to the
    centre plane too.
    """
    rooms = [face.buffer(-clear) for face in faces if not face.is_empty]
    if not rooms or any(room.is_empty for room in rooms):
        return shapely.Polygon()
    _, z0, y1, z1 = shapely.total_bounds(rooms)
    if half:
        rooms.append(shapely.box(clear, z0, max(clear, y1), z1))
    return shared(rooms)


def pairs(rooms: Sequence[shapely.Geometry]) -> list[Pair | None]:
    """Return the pair of holes of each slab from its room, None where none fits.

    The first pair is the one that most slabs can share, widest apart among equals; then the slabs
    that are left are asked again.
    """
    found: list[Pair | None] = [None] * len(rooms)
    for apart in APART:
        waiting = [i for i, room in enumerate(rooms) if found[i] is None and not room.is_empty]
        while waiting:
            pair, members = _best([rooms[i] for i in waiting], apart)
            if pair is None:
                break
            for k in members:
                found[waiting[k]] = pair
            waiting = [i for i in waiting if found[i] is None]
    return found


def _best(rooms: Sequence[shapely.Geometry], apart: float) -> tuple[Pair | None, list[int]]:
    """Return the pair that most rooms hold, and the numbers of those rooms."""
    y0, z0, y1, z1 = shapely.total_bounds(rooms)
    ys, zs = _marks(y0, y1), _marks(z0, z1)
    if not len(ys) or not len(zs):
        return None, []
    grid_y, grid_z = np.meshgrid(ys, zs, indexing="ij")
    held = np.array([shapely.contains_xy(room, grid_y, grid_z) for room in rooms], dtype=float)
    gap = np.abs(zs[:, None] - zs[None, :])
    best: tuple[float, float] = (0.0, 0.0)
    pair, members = None, np.zeros(0, dtype=int)
    for j, y in enumerate(ys):
        line = held[:, j, :]
        both = np.where(gap >= apart, line.T @ line, 0.0)
        most = float(both.max())
        widest = float(gap[both == most].max())
        if most > 0 and (most, widest) > best:
            best = (most, widest)
            low, high = np.argwhere((both == most) & (gap == widest))[0]
            pair = Pair(float(y), *sorted((float(zs[low]), float(zs[high]))))
            members = np.nonzero(line[:, low] * line[:, high])[0]
    return pair, [int(k) for k in members]


def _marks(low: float, high: float) -> NDArray[np.float64]:
    return np.asarray(np.arange(np.ceil(low / STEP), np.floor(high / STEP) + 1) * STEP)
