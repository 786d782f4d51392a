"""The air ahead of mouths: pressure and speed on the skin, the slow layer that it brings along."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from math import inf
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from geomgen.air.paneling.machine import Outside
from geomgen.air.potential.flow import Flow
from geomgen.air.potential.hidden import spread_over
from geomgen.air.slow_layer.bands import LayerBand, band
from geomgen.air.slow_layer.joints import beside, off_another
from geomgen.air.slow_layer.streamlines import Streamline, SweptSurface, upstreams
from geomgen.errors import ParameterError
from geomgen.kernel.plain import Opening, Vec3, vec
from geomgen.measurements.outside_air.askew import askew
from geomgen.measurements.outside_air.left_skin import LeftAhead, left_along, tripped
from geomgen.measurements.outside_air.mouth_stand import MouthStand
from geomgen.measurements.outside_air.skin import VISCOSITY

STARTS = {
    "begins where the air stands": "the air was followed back to where it comes to rest",
    "begins at the border of the surface": "the air was followed back to the edge of the skin",
    "begins where it was cut off": "the air was followed back as far as it could be",
    "too long: given up": "the way of the air is too long to be followed to its start",
}
# How far ahead of a mouth its skin is looked at, in heights of the mouth: own choice.
AHEAD = 2.0
# A line runs along a joint where it is nearer to what stands there than so many of the skin's
# panels are long: the line may be a panel off, and the corner's own layer as wide. Own choice.
BESIDE = 2.0
HELD = "the pressure is taken to rise no further behind that, and all may be slow air (own choice)"
# Panels as near as this to the nearest one are as near as it: own choice.
AS_NEAR = 1.01
# Each way into so many pieces panels are split, to tell how near a line is to them.
PIECES = 16


@dataclass(frozen=True)
class MouthAir:
    """The air ahead of a mouth: `pressure` [1] and `speed` [1] on the skin, its layer, its shares.

    `height` and `gap` [mm] are the mouth's over the skin; `slow` the least, best and largest
    share [1] of the dynamic pressure that the slow layer takes, `thick` the layer's thickness and
    between what it may lie [mm], None where that has no end.
    `angle` [deg] is that between the air along the skin and the way square into the mouth's plane,
    `why` says why nothing is told of the layer; `left` is what of the skin ahead the air has left.
    """

    name: str
    at: Vec3
    pressure: float
    speed: float
    height: float
    gap: float
    thick: float | None
    thick_band: tuple[float, float | None] | None
    slow: tuple[float, float, float] | None
    words: tuple[str, ...]
    angle: float
    left: LeftAhead
    why: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return all as plain values."""
        return asdict(self)


def mouth_air(
    shown: Outside,
    flow: Flow,
    over: SweptSurface,
    mouth: Opening,
    stand: MouthStand | None,
    trip: float | None,
) -> MouthAir | None:
    """Return the air ahead of a mouth on the right; None for one without panels or `stand`.

    `trip` is the station [mm] where the skin stirs the layer. Where the layer has left the skin
    before, pressure and speed are taken to stay what they are there, and it may take all.
    """
    if mouth.name not in shown.mouths or stand is None:
        return None
    middle, halves = _ahead(shown, flow, mouth, stand)
    places = [*middle, *halves]
    lines = dict(zip(places, upstreams(over, shown.panels.spots[places]), strict=True))
    told = {
        place: _at(shown, flow, over, mouth, stand, place, line, trip)
        for place, line in lines.items()
    }
    return _all_across([told[one] for one in middle], [told[one] for one in halves])


def _at(
    shown: Outside,
    flow: Flow,
    over: SweptSurface,
    mouth: Opening,
    stand: MouthStand,
    place: int,
    line: Streamline | ParameterError,
    trip: float | None,
) -> MouthAir:
    """Return the air ahead of a mouth at one of the panels there."""
    speed = float(np.linalg.norm(flow.stream))
    pressure = float(flow.coefficients()[place])
    ratio = float(np.linalg.norm(flow.velocity[place])) / speed
    angle = askew(flow.velocity[place], np.array(mouth.plane.normal))
    spot = shown.panels.spots[place]
    at, height, gap = vec(spot.tolist()), stand.height, stand.gap
    left = None
    try:
        if isinstance(line, ParameterError):
            raise line
        left = left_along(
            line, spot, mouth.plane.origin, speed=speed, viscosity=VISCOSITY, trip=trip
        )
        layer = _layer(shown, over, line, mouth.name, speed, trip)
    except ParameterError as error:
        left = left or LeftAhead(None, why=error.problem)
        return MouthAir(
            *(mouth.name, at, pressure, ratio, height, gap, None, None, None, ()),
            *(angle, left, error.problem),
        )
    if layer.leaves is not None:
        there = float(np.interp(layer.leaves, line.stations, line.ratios))
        # Behind a separation the pressure rises no further.
        pressure, ratio = min(pressure, pressure + ratio**2 - there**2), max(ratio, there)
        layer = replace(layer, words=(*layer.words, HELD))
    low, high = layer.total
    slow = [stand.lost(layer.best, total) for total in (layer.best.total, low, high)]
    return MouthAir(
        *(mouth.name, at, pressure, ratio, height, gap, layer.best.total),
        (low, high if high < inf else None),
        (min(slow), slow[0], max(slow)),
        layer.words,
        *(angle, left),
    )


def _all_across(middle: Sequence[MouthAir], halves: Sequence[MouthAir]) -> MouthAir:
    """Return the worst that is told of a mouth's middle, its bands as wide as those of its halves.

    It draws in air from all of its breadth, and a panel decides on which side of a wake or a joint
    a line runs. Where the layer has left the skin ahead of a half, or nothing is told of it, all
    may be slow air.
    """
    first, told = max(middle, key=_how_bad), [*middle, *halves]
    if first.slow is None:
        return first
    ends = [each.thick_band or (0.0, None) for each in told]
    shares = [each.slow or (0.0, 1.0, 1.0) for each in told]
    high = [end[1] for end in ends if end[1] is not None]
    bounded = len(high) == len(ends)
    loose = [each for each in told if each.thick_band is None or each.thick_band[1] is None]
    least = min(share[0] for share in shares)
    # Of one that may take all nobody knows how much it does: half-way from the least, own choice.
    best = 0.5 * (least + 1.0) if _how_bad(first) == 2 else first.slow[1]
    words = [word for each in (first, *loose) for word in (*each.words, each.why) if word]
    return replace(
        first,
        thick_band=(min(end[0] for end in ends), max(high) if bounded else None),
        slow=(least, best, max(share[2] for share in shares)),
        words=tuple(dict.fromkeys(words)),
        left=_left_across(first.left, [each.left for each in told]),
    )


def _how_bad(mouth: MouthAir) -> int:
    if mouth.thick_band is None:
        return 0
    return 2 if mouth.thick_band[1] is None else 1


def _left_across(first: LeftAhead, every: Sequence[LeftAhead]) -> LeftAhead:
    """Return what the air has left ahead of the middle, and at most of what is ahead of any."""
    worst = max(every, key=lambda left: inf if left.most is None else left.most)
    if first.length is None or first.most is None or worst.most == first.most:
        return first
    if worst.most is None:
        return worst
    return replace(first, most=worst.most, at=first.at or worst.at)


def layer_at(
    shown: Outside, over: SweptSurface, line: Streamline, speed: float, trip: float | None
) -> LayerBand:
    """Return the slow layer at the end of a line over the skin at a speed [m/s].

    `trip` is the station [mm] where the skin stirs it. ParameterError where none is told.
    """
    return _layer(shown, over, line, "", speed, trip)


def in_wake(mouth: MouthAir, parts: Sequence[str]) -> MouthAir:
    """Return the same of a mouth in the wake of parts that have no panels: all may be slow air."""
    if not parts or mouth.slow is None or mouth.thick_band is None:
        return mouth
    least, best, _ = mouth.slow
    said = f"in the wake of {', '.join(parts)}, which is not followed: all may be slow air"
    return replace(
        mouth,
        thick_band=(mouth.thick_band[0], None),
        slow=(least, max(best, 0.5 * (least + 1.0)), 1.0),
        words=(*mouth.words, said),
    )


def _ahead(
    shown: Outside, flow: Flow, mouth: Opening, stand: MouthStand
) -> tuple[list[int], list[int]]:
    """Return the pod's panels that lie ahead of a mouth.

    First those nearest to its middle: two where both are as near, so that no rounding chooses.
    Then those nearest to the middles of its two halves.
    """
    panels, told = shown.panels, np.flatnonzero(shown.panels.of("pod") & ~shown.drawn)
    spots, normals = panels.spots[told], panels.normals[told]
    middle, inward = np.array(mouth.plane.origin), np.array(mouth.plane.normal)
    below = int(np.linalg.norm(spots - middle, axis=1).argmin())
    across = np.cross(inward, normals[below])
    across /= max(float(np.linalg.norm(across)), 1e-9)
    height, half = stand.height, 0.25 * stand.breadth
    # What another part cuts is known less well than what lies a little beside it.
    beside = 0.5 * height * flow.doubtful[told]
    ahead = [middle - AHEAD * height * inward + side * half * across for side in (0.0, -1.0, 1.0)]
    far = [np.linalg.norm(spots - place, axis=1) + beside for place in ahead]
    central = told[np.flatnonzero(far[0] <= AS_NEAR * far[0].min())].tolist()
    return central, [int(told[each.argmin()]) for each in far[1:]]


def mouth_pressure(
    shown: Outside, flow: Flow, mouth: Opening, stand: MouthStand | None
) -> float | None:
    """Return the pressure over the density [m2/s2] ahead of a mouth; None as of `mouth_air`."""
    if mouth.name not in shown.mouths or stand is None:
        return None
    return float(flow.pressure[_ahead(shown, flow, mouth, stand)[0][0]])


def _layer(
    shown: Outside,
    over: SweptSurface,
    line: Streamline,
    mouth: str,
    speed: float,
    trip: float | None,
) -> LayerBand:
    edge = line.edge(speed, VISCOSITY)
    found = band(edge, float(edge.stations[-1]), trip=tripped(line, trip))
    found = replace(
        found, words=(*found.words, STARTS.get(line.words, f"the way of the air {line.words}"))
    )
    if "border" in line.words:
        return off_another(found)
    for part, first, last in _joints(shown, over, line, mouth):
        found = beside(found, edge, first, last, part)
    return found


def _joints(
    shown: Outside, over: SweptSurface, line: Streamline, mouth: str
) -> list[tuple[str, float, float]]:
    """Return whose joints a line runs along, from where to where along it [mm]."""
    panels, reach, found = shown.panels, BESIDE * over.spacing, []
    low, high = line.places.min(axis=0) - reach, line.places.max(axis=0) + reach
    for index, name in enumerate(panels.names):
        of = (panels.body == index) & (panels.corners.max(axis=1) > low).all(axis=1)
        of &= (panels.corners.min(axis=1) < high).all(axis=1)
        if name in ("pod", mouth) or not of.any():
            continue
        points = spread_over(panels.corners[of], PIECES).reshape(-1, 3)
        near = np.flatnonzero(cKDTree(points).query(line.places)[0] < reach)
        if len(near) > 1:
            stations = line.stations[near]
            found.append((name, float(stations[0]), float(stations[-1])))
    return found
