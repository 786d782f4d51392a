"""Alignment holes of a foam stack: one pair for as many slabs as can share it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

import numpy as np
import shapely
from numpy.typing import NDArray

from geomgen.drafting.record import Point
from geomgen.shops.flat_areas import shared

# Holes stand on whole multiples of this [mm], for a tape.
STEP = 5.0
# Two holes turn a slab by little only where they stand far apart: no nearer than this share of the
# most that its templates have room for; and never nearer than so much [mm]. Own choice.
SHARE, NEAREST = 0.6, 25.0
# Not both on one buttock line, so that a slab turned end for end shows it [mm].
ASIDE = 15.0
# So many buttock lines and waterlines are tried.
ACROSS, UP = 9, 48


@dataclass(frozen=True)
class Pair:
    """Two holes: buttock line and waterline [mm] of the lower and of the upper one."""

    low: Point
    high: Point

    @property
    def apart(self) -> float:
        """Return how far apart the holes stand [mm]."""
        return dist(self.low, self.high)

    @property
    def holes(self) -> tuple[Point, Point]:
        """Return both holes."""
        return self.low, self.high

    def words(self) -> str:
        """Return where the holes are.

        >>> Pair((25.0, 735.0), (40.0, 825.0)).words()
        'BL 25 WL 735 and BL 40 WL 825'
        """
        return " and ".join(f"BL {y:g} WL {z:g}" for y, z in self.holes)

    def inside(self, room: shapely.Geometry) -> bool:
        """Return whether both holes lie in an area."""
        return all(room.contains(shapely.Point(place)) for place in self.holes)


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

    The first pair is the one that most slabs can share, widest apart among equals; no slab shares
    one that is narrow for it. Then the slabs that are left are asked again, and those whose holes
    can't stand aside of each other last.
    """
    found: list[Pair | None] = [None] * len(rooms)
    for aside in (ASIDE, 0.0):
        waiting = [i for i, room in enumerate(rooms) if found[i] is None and not room.is_empty]
        while waiting:
            pair, members = _best([rooms[i] for i in waiting], aside)
            if pair is None:
                break
            for k in members:
                found[waiting[k]] = pair
            waiting = [i for i in waiting if found[i] is None]
    return found


def _best(rooms: Sequence[shapely.Geometry], aside: float) -> tuple[Pair | None, list[int]]:
    """Return the pair that most rooms hold, and the numbers of those rooms."""
    # What suits the smallest room may stand between the marks of the whole, so its own count too.
    least = min(rooms, key=lambda room: float(room.area))
    boxes = (shapely.total_bounds(rooms), shapely.total_bounds([least]))
    ys = np.unique(np.concatenate([_marks(b[0], b[2], ACROSS) for b in boxes]))
    zs = np.unique(np.concatenate([_marks(b[1], b[3], UP) for b in boxes]))
    if not len(ys) or not len(zs):
        return None, []
    y, z = (grid.ravel() for grid in np.meshgrid(ys, zs, indexing="ij"))
    held = np.array([shapely.contains_xy(room, y, z) for room in rooms])
    apart = np.hypot(y[:, None] - y, z[:, None] - z)
    may = (apart >= NEAREST) & (np.abs(y[:, None] - y) >= aside) & (z[:, None] < z)
    if not aside:
        may |= (apart >= NEAREST) & (z[:, None] == z) & (y[:, None] < y)
    count = np.zeros(apart.shape, dtype=int)
    needs = []
    for own in held:
        both = may & own[:, None] & own
        needs.append(SHARE * float(apart[both].max(initial=0.0)))
        count += both & (apart >= needs[-1])
    if not count.max():
        return None, []
    a, b = divmod(int(np.argmax(count * 2 * apart.max() + apart * (count > 0))), len(y))
    pair = Pair((float(y[a]), float(z[a])), (float(y[b]), float(z[b])))
    members = [
        i
        for i, (own, need) in enumerate(zip(held, needs, strict=True))
        if own[a] and own[b] and apart[a, b] >= need > 0
    ]
    return pair, members


def _marks(low: float, high: float, most: int) -> NDArray[np.float64]:
    """Return at most so many multiples of the step between two values, evenly taken."""
    every = np.arange(np.ceil(low / STEP), np.floor(high / STEP) + 1) * STEP
    if len(every) <= most:
        return np.asarray(every)
    return np.asarray(every[np.unique(np.linspace(0, len(every) - 1, most).round().astype(int))])
