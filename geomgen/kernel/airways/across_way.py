"""Plane sections across a way of the air, where the grid's own surfaces are too coarse to tell.

A surface of equal potential says where a plane lies across the stream and which of its pieces the
stream passes; meshes say how large these are. A section counts only where no way of the grid is
left beside it.
"""

from dataclasses import dataclass, replace

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.airways.least_section import RoughSection, Void
from geomgen.kernel.airways.narrowest import cut_at, levels_of, low_levels
from geomgen.kernel.airways.open_way import OpenWay
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.plain import Plane, Vec3, vec

# So many surfaces of a way are looked at, evenly in potential, and as many evenly in cells; and so
# many of those that are least for the grid, where planes are moved to what stands within a step.
PLACES, LEAST, MOVED = 16, 4, 24
# Heights nearer to each other than this are one [mm].
HEIGHT_STEP = 1e-3


@dataclass(frozen=True)
class Across:
    """A place of a way: point [mm], stream's unit vector, what it passes (n, 3) [mm]."""

    at: Vec3
    stream: Vec3
    passed: Floats


def least_plane(way: OpenWay, void: Void) -> RoughSection | None:
    """Return the least plane section that parts the whole way, of those square to the stream.

    None where none of them is closed all round. The least of all planes is no larger.
    """
    places = places_of(way, levels_of(way, PLACES))
    for place in places_of(way, low_levels(way, LEAST)):
        places += _moved(place, void, way.grid.step)
    found = []
    for place in places:
        section = void.pieces(frame_round(Plane(place.at, place.stream), place.at), place.passed)
        if section is not None:
            found.append(section)
    for section in sorted(found, key=lambda each: each.area):
        if parts(way, section, void.slit):
            return section
    return None


def places_of(way: OpenWay, levels: Floats) -> list[Across]:
    """Return where planes are laid across a way [mm], at surfaces of some potentials [1]."""
    found = []
    for level in levels:
        passed = way.ways.some(cut_at(way, float(level)))
        if not len(passed.a):
            continue
        middles = 0.5 * (way.middles(passed.a) + way.middles(passed.b))
        sign = np.sign(way.fall[passed.a] - way.fall[passed.b])
        stream = np.bincount(passed.axis, sign, 3)
        length = float(np.linalg.norm(stream))
        if length > 0.0:
            found.append(Across(vec(middles.mean(axis=0)), vec(stream / length), middles))
    return found


def _moved(place: Across, void: Void, step: float) -> list[Across]:
    """Return a place, and others along the stream within a step: at what stands there, between."""
    frame = frame_round(Plane(place.at, place.stream), place.at)
    corners = void.corners
    high, across = frame.height(corners), frame.flat(corners)
    room = np.abs(frame.flat(place.passed)).max(axis=0) + step
    near = (np.abs(high) <= step) & np.all(np.abs(across) <= room, axis=1)
    heights = np.unique(np.round(high[near] / HEIGHT_STEP)) * HEIGHT_STEP
    by = np.r_[0.0, 0.5 * (heights[1:] + heights[:-1])]
    stream = np.array(place.stream)
    nearest = by[np.argsort(np.abs(by), kind="stable")][:MOVED]
    return [replace(place, at=vec(np.array(place.at) + d * stream)) for d in nearest]


def parts(way: OpenWay, section: RoughSection, slit: float) -> bool:
    """Return whether no way of the grid leads past a section; slits count as closed [mm]."""
    high = section.frame.height(way.middles(np.arange(len(way.cells))))
    over = (high[way.ways.a] >= 0.0) != (high[way.ways.b] >= 0.0)
    first, second = way.ways.a[over], way.ways.b[over]
    a, b = way.middles(first), way.middles(second)
    share = high[first] / (high[first] - high[second])
    crossing = section.frame.flat(a + share[:, None] * (b - a))
    region = section.region.buffer(slit + section.blur)
    shapely.prepare(region)
    shut = np.zeros(len(over), dtype=bool)
    shut[over] = shapely.contains_xy(region, crossing)
    return way.parted_without(shut)
