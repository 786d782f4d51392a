"""The blank that a core is cut from, and the volume of the core."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from geomgen.handoff.core_outline import Outline, Side, heights, trough
from geomgen.handoff.core_sections import Section
from geomgen.handoff.product import Place
from geomgen.parameters.shops import SparCap

Floats = NDArray[np.float64]

# Foam left all round the core, through which the wire runs in [mm].
MARGIN = 10.0
FINE = 2000


@dataclass(frozen=True)
class Blank:
    """A core's blank: length along the panel, width and height [mm]; volumes [mm3].

    `rise` and `sweep` are how much the panel rises and runs aft along the span [deg]: so far off
    square are the blank's ends, which stand upright in flight.
    """

    size: Place
    volume: float
    core: float
    rise: float
    sweep: float


def blank_of(cores: Sequence[Outline], ends: Sequence[Section], caps: Sequence[SparCap]) -> Blank:
    """Return the blank of a core with an outline at each end, troughs taken out of its volume.

    It lies along the line between both leading edges and holds both outlines, as they stand in
    flight, and a margin.
    """
    level = [_level(core, section.angle) for core, section in zip(cores, ends, strict=True)]
    points = np.concatenate([np.concatenate(sides) for sides in level])
    width, high = (np.ptp(points, axis=0) + 2 * MARGIN).tolist()
    aft, out, up = np.array(ends[1].nose) - np.array(ends[0].nose)
    span = abs(float(out))
    rise, sweep = (math.degrees(math.atan2(float(way), span)) for way in (up, aft))
    length = math.sqrt(span**2 + float(aft) ** 2 + float(up) ** 2)
    size = (length, width * math.cos(math.radians(sweep)), high * math.cos(math.radians(rise)))
    taken = sum(0.5 * span * sum(_trough_area(core, cap) for core in cores) for cap in caps)
    # A skewed block holds the area of its end times the distance of the planes of both ends.
    return Blank(size, width * high * span, ruled_volume(level, span) - taken, rise, sweep)


def _level(core: Outline, angle: float) -> tuple[Floats, Floats]:
    """Return upper and lower side (FINE, 2) at equal shares of their length, as in flight."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    turn = np.array([[c, -s], [s, c]])
    upper, lower = (_even(side) @ turn for side in (core.upper, core.lower))
    return upper, lower


def _even(side: Side) -> Floats:
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
