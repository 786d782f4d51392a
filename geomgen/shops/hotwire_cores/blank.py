"""The blank that a core is cut from: a square-cornered block that holds it, and the core's volume.

The templates stand upright across the span, so that a core of a swept panel or one with dihedral is
askew in its block: the block is longer than the core's edges by what the ends are off square.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.plain import Vec3
from geomgen.parameters.records.shops import Cores, SparCap
from geomgen.shops.hotwire_cores.outline import Guide, Outline, OutlineSide, heights, trough
from geomgen.shops.hotwire_cores.sections import CoreSection
from geomgen.shops.product import Place

# Foam left above and below the core [mm]; fore and aft the block ends where run-in and run-out do.
MARGIN = 10.0
FINE = 2000


@dataclass(frozen=True)
class Blank:
    """A core's blank: length along the panel, width and height [mm]; volumes [mm3].

    `along` is the edge that it lies along, leading or trailing; `leading` and `trailing` are the
    lengths of the core's edges between the templates [mm]. `rise` and `sweep` are how much that
    edge rises and runs aft along the span [deg]: so far off square are the core's ends, which
    stand upright in flight.
    """

    size: Place
    volume: float
    core: float
    along: str
    leading: float
    trailing: float
    rise: float
    sweep: float


def blank_of(
    cores: Sequence[Outline], guides: Sequence[Guide], ends: Sequence[CoreSection], shop: Cores
) -> Blank:
    """Return the blank of a core with an outline at each end, troughs taken out of its volume.

    It lies along the leading or the trailing edge, whichever makes the smaller block, and holds the
    wire's whole way, run-in and run-out with it, the cuts of both ends, and a margin above and
    below.
    """
    points = np.concatenate(
        [in_flight(way.ring, end) for way, end in zip(guides, ends, strict=True)]
    )
    ways = {
        "leading": _way(ends[0].nose, ends[1].nose),
        "trailing": _way(ends[0].tail, ends[1].tail),
    }
    sizes = {edge: _block(points, way, shop.kerf) for edge, way in ways.items()}
    along = min(sizes, key=lambda edge: math.prod(sizes[edge]))
    aft, out, up = ways[along]
    span = abs(float(out))
    rise, sweep = (math.degrees(math.atan2(float(way), span)) for way in (up, aft))
    long = {edge: float(np.linalg.norm(way)) for edge, way in ways.items()}
    volume = ruled_volume(
        [_level(core, section.angle) for core, section in zip(cores, ends, strict=True)], span
    )
    taken = sum(0.5 * span * sum(_trough_area(core, cap) for core in cores) for cap in shop.caps)
    size = sizes[along]
    return Blank(
        *(size, math.prod(size), volume - taken, along),
        *(long["leading"], long["trailing"], rise, sweep),
    )


def _way(a: Vec3, b: Vec3) -> Floats:
    return np.asarray(np.array(b) - np.array(a))


def in_flight(ring: Floats, section: CoreSection) -> Floats:
    """Return points (n, 2) [mm] of a section's chord frame in space (n, 3) [mm]."""
    turned = ring @ _turn(section.angle)
    x, y, z = section.nose
    return np.stack([x + turned[:, 0], np.full(len(ring), y), z + turned[:, 1]], axis=-1)


def _block(points: Floats, way: Floats, kerf: float) -> Place:
    """Return length, width, height [mm] of the block along a way that holds points (n, 3).

    Its width lies level; each end loses half a kerf when it is cut off at its template.
    """
    along = way / np.linalg.norm(way)
    level = np.cross((0.0, 0.0, 1.0), along)
    level /= np.linalg.norm(level)
    axes = np.stack([along, level, np.cross(along, level)])
    length, width, height = np.ptp(points @ axes.T, axis=0).tolist()
    return (length + kerf, width, height + 2 * MARGIN)


def _turn(angle: float) -> Floats:
    """Return the matrix that takes points of a chord's frame, from the right, into flight."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([[c, -s], [s, c]])


def _level(core: Outline, angle: float) -> tuple[Floats, Floats]:
    """Return upper and lower side (FINE, 2) at equal shares of their length, as in flight."""
    upper, lower = (_even(side) @ _turn(angle) for side in (core.upper, core.lower))
    return upper, lower


def _even(side: OutlineSide) -> Floats:
    run = np.r_[0.0, np.cumsum(np.hypot(*np.diff(side.points, axis=0).T))]
    at = np.linspace(0, run[-1], FINE)
    return np.stack([np.interp(at, run, side.points[:, i]) for i in (0, 1)], axis=-1)


def ruled_volume(ends: Sequence[tuple[Floats, Floats]], span: float) -> float:
    """Return the volume [mm3] between two outlines joined by straight lines over a span [mm].

    Its section's area is a square polynomial along the span, so that Simpson's rule is exact
    (closed form). Each end is upper and lower side, with as many points on both ends.
    """
    rings = [np.concatenate([upper, lower[::-1]]) for upper, lower in ends]
    areas = [
        float(shapely.Polygon(ring).area)
        for ring in (rings[0], 0.5 * (rings[0] + rings[1]), rings[1])
    ]
    return span / 6 * (areas[0] + 4 * areas[1] + areas[2])


def _trough_area(core: Outline, cap: SparCap) -> float:
    bottom, _ = trough(core, cap, 0.0)
    side = core.upper if cap.side == "upper" else core.lower
    return float(np.trapezoid(np.abs(heights(side, bottom[:, 0]) - bottom[:, 1]), bottom[:, 0]))
