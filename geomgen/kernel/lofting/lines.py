"""The lines of a body laid through its control stations: crown, keel, breadth, fullness.

All lines of a body share one parameter `v` along it, so that a row of constant `v` lies in one
plane across the axis. At a round end the parameter runs like an angle and the station starts with
zero slope: the end comes out round and tangent to the plane across the axis.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BSpline
from scipy.optimize import brentq

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.fairest import (
    FREE,
    Band,
    blended,
    fairest,
    flat_knots,
    looks,
    natural,
    on_knots,
    past,
)

End = Literal["round", "flat"]

# A line may leave the range of its two neighbours by this share of the body's depth ...
SLACK = 0.004
# A conic's weight counts against this: a slack of 0.02, a third of a percent of a section's area.
WEIGHT_SCALE = 5.0
# ... and, where a crest or a trough lies between them, by this share of the step beside it.
CREST = 0.25
# The end of a body is met within this [mm]: splines give it back to the last digits only.
ROUNDING = 1e-6
NAMES = ("crown", "keel", "half_breadth", "breadth_height", "weight_upper", "weight_lower")
# These keep the shape of their values: no crest between two stations.
SHAPELY = ("breadth_height", "weight_upper", "weight_lower")


@dataclass(frozen=True)
class Stations:
    """Control stations of a body, arrays of one length (n,) [mm]; weights of the conics [1].

    `half_breadth` is half of the full width. A weight is rho / (1 - rho), so 1/sqrt(2) for an
    ellipse. A round end has crown = keel = breadth height and no breadth there.
    """

    x: Floats
    crown: Floats
    keel: Floats
    half_breadth: Floats
    breadth_height: Floats
    weight_upper: Floats
    weight_lower: Floats
    nose: End = "round"
    tail: End = "flat"
    centre: float = 0.0

    def depth(self) -> float:
        """Return the largest depth or breadth [mm]."""
        return float(max(np.max(self.crown - self.keel), 2 * np.max(self.half_breadth)))


@dataclass(frozen=True)
class Held:
    """A line that was held back between two stations [mm], and by how much in its own units.

    Drawn fair through its stations it would have left what its neighbours allow by that much.
    """

    line: str
    start: float
    end: float
    by: float


@dataclass(frozen=True)
class Lines:
    """C2 cubic splines over the common parameter `v`, and its range; what was held back."""

    station: BSpline
    curves: dict[str, BSpline]
    v_range: tuple[float, float]
    nose: End
    tail: End
    centre: float
    held: tuple[Held, ...] = ()

    @cached_property
    def slopes(self) -> dict[str, BSpline]:
        """The derivatives of the curves and of the station, by the parameter."""
        curves = {**self.curves, "station": self.station}
        return {name: curve.derivative() for name, curve in curves.items()}

    def at_station(self, x: float) -> float:
        """Return the parameter v where the station is `x` [mm] (extrapolated a little way)."""
        low, high = self.v_range
        span = high - low
        a = low if self.nose == "round" else low - 0.2 * span
        b = high if self.tail == "round" else high + 0.2 * span
        start, end = float(self.station(a)), float(self.station(b))
        if not start - ROUNDING <= x <= end + ROUNDING:
            raise GeometryError(f"station {x:.1f} mm is not on the body", step="lines")
        if not start < x < end:
            return a if x <= start else b
        return float(brentq(lambda v: float(self.station(v)) - x, a, b, xtol=1e-13))

    def section(self, x: float, points: int = 32) -> Floats:
        """Return the right-hand half section at `x` [mm] from crown to keel, (k, 2) y, z."""
        v = np.array([self.at_station(x)])
        upper = quadrant(self, "upper", np.linspace(1, 0, points), v)[0][:, 0, 1:]
        lower = quadrant(self, "lower", np.linspace(0, 1, points), v)[0][:, 0, 1:]
        return np.vstack([upper, lower[1:]])


def weight_of(rho: float) -> float:
    """Return the conic's middle weight for the fullness `rho` [1], 0 < rho < 1.

    A conic's shape factor (general geometry): 1/2 is a parabola, sqrt(2) - 1 an ellipse.

    >>> round(weight_of(2**0.5 - 1), 6)
    0.707107
    """
    return rho / (1.0 - rho)


def common_parameter(x: Floats, nose: End, tail: End) -> Floats:
    """Return the parameter v [rad or 1] of each station (n,) [mm].

    It is an angle towards a round end, else the share of the length.

    >>> common_parameter(np.array([0.0, 50.0, 100.0]), "round", "round").round(4).tolist()
    [0.0, 1.5708, 3.1416]
    """
    share = (x - x[0]) / (x[-1] - x[0])
    if nose == "round" and tail == "round":
        return np.asarray(np.arccos(np.clip(1 - 2 * share, -1, 1)))
    if nose == "round":
        return np.asarray(np.arccos(np.clip(1 - share, -1, 1)))
    if tail == "round":
        return np.asarray(np.arcsin(np.clip(share, 0, 1)))
    return np.asarray(share)


def station_share(v: Floats, nose: End, tail: End) -> Floats:
    """Return the share of the length [1] at parameters (n,): `common_parameter` the other way.

    >>> station_share(np.array([0.0, np.pi / 2]), "round", "flat").round(9).tolist()
    [0.0, 1.0]
    """
    if nose == "round" and tail == "round":
        return np.asarray((1 - np.cos(v)) / 2)
    if nose == "round":
        return np.asarray(1 - np.cos(v))
    return np.asarray(np.sin(v) if tail == "round" else v)


def allowed_band(y: Floats, slack: float, crest: float = CREST) -> tuple[Floats, Floats]:
    """Return, for each interval of `y` (n,), the least and largest value [mm] allowed in it (n-1,).

    Between two stations a line keeps to the range of the two, but for a slack; only where it rises
    into the interval and falls out of it (or the other way) a crest may lie inside, and may pass
    the two by a share `crest` of the larger step beside it.
    """
    step = np.diff(y)
    before, after = np.r_[step[0], step[:-1]], np.r_[step[1:], step[-1]]
    beside = np.maximum(np.abs(before), np.abs(after))
    give = slack + np.where(before * after < 0, crest * beside, 0.0)
    return np.minimum(y[:-1], y[1:]) - give, np.maximum(y[:-1], y[1:]) + give


def bands_of(stations: Stations) -> dict[str, Band]:
    """Return the band of each line: its values at the stations and what is allowed between."""
    depth = stations.depth()
    found = {}
    for name in NAMES:
        y = np.asarray(getattr(stations, name), dtype=float)
        scale = WEIGHT_SCALE if name.startswith("weight") else depth
        low, high = allowed_band(y, SLACK * scale, 0.0 if name in SHAPELY else CREST)
        # At a point crown, keel and breadth may not pass to the other side of the axis.
        for place, beside, end in ((0, 1, stations.nose), (-1, -2, stations.tail)):
            nearer, farther = sorted((y[place], y[beside]))
            if end == "round" and name in ("crown", "half_breadth"):
                low[place] = max(low[place], nearer)
            if end == "round" and name == "keel":
                high[place] = min(high[place], farther)
        found[name] = Band(y, low, high)
    return found


def lay(stations: Stations, part: str = "body") -> Lines:
    """Lay the lines through `stations`: each the fairest that stays within what is allowed.

    Stations must rise. Whatever they are, lines are laid; how fair they came out, a check of
    fairness says.

    >>> n = np.linspace(0.0, 100.0, 5); one = np.ones(5)
    >>> tube = Stations(n, 9 * one, -9 * one, 9 * one, 0 * one, one / 2**0.5, one / 2**0.5, "flat")
    >>> lines = lay(tube)
    >>> round(float(lines.curves["crown"](0.3)), 9)
    9.0
    """
    v = common_parameter(stations.x, stations.nose, stations.tail)
    bands = bands_of(stations)
    station = _station(stations, v, None)
    plain = {name: natural(v, bands[name].y, (None, None)) for name in NAMES}
    wrong = _wrong(plain, v, bands) | _crossed(plain, v)
    if not wrong.any() and _rises(station, v):
        return _lines(station, plain, v, stations)
    held = _held(plain, v, bands, stations)
    for extra in _more_knots(wrong):
        knots = flat_knots(v, extra)
        curves = _courses(plain, knots, v, bands)
        if curves is None or _crossed(curves, v).any():
            continue
        station = _station(stations, v, knots)
        if _rises(station, v):
            return _lines(station, curves, v, stations, held)
    ends = (stations.nose == "round", stations.tail == "round")
    laid = blended(knots, v, [bands[name].y for name in NAMES], ends)
    station = _station(stations, v, knots)
    if not _rises(station, v):
        raise GeometryError(
            "the stations are spaced so unevenly that the lines fold back",
            part=part,
            step="laying the lines",
            look_at=[f"{part}.stations"],
        )
    return _lines(station, dict(zip(NAMES, laid, strict=True)), v, stations, held)


def _lines(
    station: BSpline,
    curves: dict[str, BSpline],
    v: Floats,
    s: Stations,
    held: tuple[Held, ...] = (),
) -> Lines:
    return Lines(station, curves, (float(v[0]), float(v[-1])), s.nose, s.tail, s.centre, held)


def _held(
    plain: dict[str, BSpline], v: Floats, bands: dict[str, Band], s: Stations
) -> tuple[Held, ...]:
    """Return where plain splines leave their bands by more than another slack, the worst first."""
    found = []
    for name, band in bands.items():
        slack = SLACK * (WEIGHT_SCALE if name.startswith("weight") else s.depth())
        by = past(plain[name], v, band)
        found += [
            (by[i] / slack, Held(name, float(s.x[i]), float(s.x[i + 1]), float(by[i])))
            for i in np.nonzero(by > slack)[0]
        ]
    return tuple(held for _, held in sorted(found, key=lambda pair: -pair[0]))


def _station(s: Stations, v: Floats, knots: Floats | None) -> BSpline:
    """Return the station over the parameter: through the stations, or near the true course of it.

    On more knots it is held to the course between the stations too, so that it can't fold.
    """
    ends = (0.0 if s.nose == "round" else None, 0.0 if s.tail == "round" else None)
    plain = natural(v, s.x, ends)
    if knots is None or _rises(plain, v):
        return plain if knots is None else on_knots(plain, knots)
    at = np.unique(knots)
    return natural(at, s.x[0] + station_share(at, s.nose, s.tail) * (s.x[-1] - s.x[0]), ends)


def _rises(station: BSpline, v: Floats) -> bool:
    return bool(np.all(np.diff(station(np.linspace(v[0], v[-1], 400))) > 0))


def _more_knots(wrong: NDArray[np.bool_]) -> Iterator[NDArray[np.int64]]:
    """Yield how many knots to add in each interval (n-1,): few where needed, then more, then all.

    With three more in every interval no line hangs on its neighbours any longer.
    """
    beside = wrong | np.r_[wrong[1:], False] | np.r_[False, wrong[:-1]]
    if wrong.any():
        yield np.where(wrong, 1, 0)
        yield np.where(wrong, FREE, 0)
        yield np.where(beside, FREE, 0)
    yield np.full(len(wrong), FREE)


def _courses(
    plain: dict[str, BSpline], knots: Floats, v: Floats, bands: dict[str, Band]
) -> dict[str, BSpline] | None:
    """Return every line on the same knots, each within its band; None where one can't be."""
    found = {}
    for name, curve in plain.items():
        held = np.max(past(curve, v, bands[name])) <= 0.0
        course = on_knots(curve, knots) if held else fairest(knots, v, bands[name])
        if course is None:
            return None
        found[name] = course
    return found


def _wrong(curves: dict[str, BSpline], v: Floats, bands: dict[str, Band]) -> NDArray[np.bool_]:
    """Return in which intervals a line leaves its band, (n-1,)."""
    found = np.zeros(len(v) - 1, dtype=bool)
    for name in NAMES:
        found |= past(curves[name], v, bands[name]) > 0
    return found


def _crossed(curves: dict[str, BSpline], v: Floats) -> NDArray[np.bool_]:
    """Return in which intervals crown, breadth line and keel are out of order, or no breadth is.

    At the stations themselves the file answers for the order.
    """
    at = looks(v)[:, 1:-1]
    height = curves["breadth_height"](at)
    apart = np.minimum(curves["crown"](at) - height, height - curves["keel"](at))
    return np.asarray((np.minimum(apart, curves["half_breadth"](at)) <= 0.0).any(axis=1))


def quadrant(
    lines: Lines, which: Literal["upper", "lower"], u: Floats, v: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return points [mm] and both derivatives of a right-hand quadrant, each (k, m, 3).

    `u` (k,) runs from the breadth line (0) to crown or keel (1); `v` is (m,) or (k, m).
    """
    # At equal parameters all of the round has one value of each curve.
    vv = v[None] if v.ndim == 1 else v
    edge = "crown" if which == "upper" else "keel"
    curve, slope = lines.curves, lines.slopes
    weight = f"weight_{which}"
    s = u[:, None]
    b0, b1, b2 = (1 - s) ** 2, 2 * s * (1 - s), s**2
    d0, d1, d2 = -2 * (1 - s), 2 - 4 * s, 2 * s
    w, dw = curve[weight](vv), slope[weight](vv)
    total, total_u, total_v = b0 + b1 * w + b2, d0 + d1 * w + d2, b1 * dw

    def blend(first: str, last: str | None) -> tuple[Floats, Floats, Floats]:
        a0, e0 = curve[first](vv), slope[first](vv)
        a1, e1 = (curve[last](vv), slope[last](vv)) if last else (a0, e0)
        a2, e2 = (a1, e1) if last else (0.0, 0.0)
        n = b0 * a0 + b1 * w * a1 + b2 * a2
        nu = d0 * a0 + d1 * w * a1 + d2 * a2
        nv = b0 * e0 + b1 * (w * e1 + dw * a1) + b2 * e2
        return n / total, (nu - n / total * total_u) / total, (nv - n / total * total_v) / total

    y, yu, yv = blend("half_breadth", None)
    z, zu, zv = blend("breadth_height", edge)
    xs, xv = (np.broadcast_to(each(vv), y.shape) for each in (lines.station, slope["station"]))
    points = np.stack([xs, y + lines.centre, z], axis=-1)
    return points, np.stack([0 * xs, yu, zu], axis=-1), np.stack([xv, yv, zv], axis=-1)
