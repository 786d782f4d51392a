"""The lines of a body laid through its control stations: crown, keel, breadth, fullness.

All lines of a body share one parameter `v` along it, so that a row of constant `v` lies in one
plane across the axis. At a round end the parameter runs like an angle and the station starts with
zero slope: the end comes out round and tangent to the plane across the axis.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BSpline, PchipInterpolator, make_interp_spline
from scipy.optimize import brentq

from geomgen.errors import GeometryError

Floats = NDArray[np.float64]
End = Literal["round", "flat"]

# A line may leave the range of its two neighbours by this share of the body's depth ...
SLACK = 0.004
# A conic's weight counts against this: a slack of 0.02, a third of a percent of a section's area.
WEIGHT_SCALE = 5.0
# ... and, where a crest or a trough lies between them, by this share of the step beside it.
CREST = 0.25
SPOKEN = {
    "half_breadth": "breadth",
    "weight_upper": "fullness_upper",
    "weight_lower": "fullness_lower",
}
NAMES = ("crown", "keel", "half_breadth", "breadth_height", "weight_upper", "weight_lower")


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
class Lines:
    """C2 cubic splines over the common parameter `v`, and its range."""

    station: BSpline
    curves: dict[str, BSpline]
    v_range: tuple[float, float]
    nose: End
    tail: End
    centre: float

    def at_station(self, x: float) -> float:
        """Return the parameter v where the station is `x` [mm] (extrapolated a little way)."""
        low, high = self.v_range
        span = high - low
        a = low if self.nose == "round" else low - 0.2 * span
        b = high if self.tail == "round" else high + 0.2 * span
        start, end = float(self.station(a)), float(self.station(b))
        if not start <= x <= end:
            raise GeometryError(f"station {x:.1f} mm is not on the body", step="lines")
        return float(brentq(lambda v: float(self.station(v)) - x, a, b, xtol=1e-13))

    def section(self, x: float, points: int = 32) -> Floats:
        """Return the section at station `x`, right-hand half from crown to keel, (k, 2) y, z."""
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
    """Return the parameter v of each station (n,): an angle towards a round end, else x itself.

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


def _spline(v: Floats, y: Floats, ends: tuple[str, str]) -> BSpline:
    if len(v) == 2:
        return make_interp_spline(v, np.asarray(y), k=1)
    order = {"clamped": (1, 0.0), "natural": (2, 0.0)}
    left, right = [order[ends[0]]], [order[ends[1]]]
    return make_interp_spline(v, y, k=3, bc_type=(left, right))


def _cubic(v: Floats, y: Floats, ends: tuple[str, str]) -> BSpline:
    """Interpolate with a C2 cubic; two stations with flat ends need one more point between."""
    if len(v) == 2:
        mid = 0.5 * (v[0] + v[1])
        v, y = np.array([v[0], mid, v[1]]), np.array([y[0], 0.5 * (y[0] + y[1]), y[1]])
    return _spline(v, y, ends)


def allowed_band(y: Floats, slack: float) -> tuple[Floats, Floats]:
    """Return, for each interval of `y` (n,), the lowest and highest value allowed in it (n-1,).

    Between two stations a line keeps to the range of the two, but for a slack; only where it rises
    into the interval and falls out of it (or the other way) a crest may lie inside, and may pass
    the two by a share of the larger step beside it.
    """
    step = np.diff(y)
    before, after = np.r_[step[0], step[:-1]], np.r_[step[1:], step[-1]]
    beside = np.maximum(np.abs(before), np.abs(after))
    give = slack + np.where(before * after < 0, CREST * beside, 0.0)
    return np.minimum(y[:-1], y[1:]) - give, np.maximum(y[:-1], y[1:]) + give


def overshoot(curve: BSpline, v: Floats, y: Floats, slack: float) -> Floats:
    """Return how far `curve` leaves the allowed band in each interval, (n-1,) in units of y."""
    low, high = allowed_band(y, slack)
    share = np.linspace(0, 1, 33)
    values = curve(v[:-1, None] + share[None, :] * np.diff(v)[:, None])
    above = values.max(axis=1) - high
    below = low - values.min(axis=1)
    return np.asarray(np.maximum(0.0, np.maximum(above, below)))


def lay(stations: Stations, part: str = "body") -> Lines:
    """Lay the lines through `stations`; where a line would bulge, guide it between its stations.

    Raises GeometryError, naming the stations, when a line still leaves what its neighbours allow.

    >>> n = np.linspace(0.0, 100.0, 5); one = np.ones(5)
    >>> tube = Stations(n, 9 * one, -9 * one, 9 * one, 0 * one, one / 2**0.5, one / 2**0.5, "flat")
    >>> lines = lay(tube)
    >>> round(float(lines.curves["crown"](0.3)), 9)
    9.0
    """
    v = common_parameter(stations.x, stations.nose, stations.tail)
    clamped = {"round": "clamped", "flat": "natural"}
    x_ends = (clamped[stations.nose], clamped[stations.tail])
    natural = ("natural", "natural")
    depth = stations.depth()
    data = {name: np.asarray(getattr(stations, name), dtype=float) for name in NAMES}
    scale = {name: (WEIGHT_SCALE if name.startswith("weight") else depth) for name in NAMES}
    v_all, added = v, {name: values for name, values in data.items()}
    for _ in range(3):
        curves = {name: _cubic(v_all, added[name], natural) for name in NAMES}
        wrong = _wrong(curves, v, data, scale)
        if not wrong:
            break
        v_all, added = _guide(v, data, curves, wrong)
    if wrong:
        name, place = wrong[0]
        raise GeometryError(
            f"the {SPOKEN.get(name, name)} line bulges between stations {stations.x[place]:.1f} mm "
            f"and {stations.x[place + 1]:.1f} mm beyond what its neighbours allow",
            part=part,
            step="laying the lines",
            look_at=[f"{part}.stations", "add a station there or move its neighbours"],
        )
    station = _cubic(v, stations.x, x_ends)
    if np.any(np.diff(station(np.linspace(v[0], v[-1], 400))) <= 0):
        raise GeometryError(
            "the stations are spaced so unevenly that the lines fold back",
            part=part,
            step="laying the lines",
            look_at=[f"{part}.stations"],
        )
    return Lines(
        station, curves, (float(v[0]), float(v[-1])), stations.nose, stations.tail, stations.centre
    )


def _wrong(
    curves: dict[str, BSpline], v: Floats, data: dict[str, Floats], scale: dict[str, float]
) -> list[tuple[str, int]]:
    found = []
    for name in NAMES:
        past = overshoot(curves[name], v, data[name], SLACK * scale[name])
        found += [(name, int(i)) for i in np.nonzero(past > 0)[0]]
    return found


def _guide(
    v: Floats, data: dict[str, Floats], curves: dict[str, BSpline], wrong: list[tuple[str, int]]
) -> tuple[Floats, dict[str, Floats]]:
    """Add two points in every interval: on the spline where it is fair, else on a monotone one."""
    thirds = np.concatenate([v[:-1] + np.diff(v) / 3, v[:-1] + 2 * np.diff(v) / 3])
    order = np.argsort(np.r_[v, thirds], kind="stable")
    bad = {name for name, _ in wrong}
    added = {}
    for name, y in data.items():
        source = PchipInterpolator(v, y) if name in bad else curves[name]
        added[name] = np.r_[y, source(thirds)][order]
    return np.r_[v, thirds][order], added


def quadrant(
    lines: Lines, which: Literal["upper", "lower"], u: Floats, v: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return points and both derivatives of a right-hand quadrant, each (k, m, 3).

    `u` (k,) runs from the breadth line (0) to crown or keel (1); `v` is (m,) or (k, m).
    """
    vv = np.broadcast_to(v, (len(u), v.shape[-1])) if v.ndim == 1 else v
    edge = "crown" if which == "upper" else "keel"
    curve = lines.curves
    half, height = curve["half_breadth"], curve["breadth_height"]
    top, weight, x = curve[edge], curve[f"weight_{which}"], lines.station
    s = u[:, None]
    b0, b1, b2 = (1 - s) ** 2, 2 * s * (1 - s), s**2
    d0, d1, d2 = -2 * (1 - s), 2 - 4 * s, 2 * s
    w, dw = weight(vv), weight.derivative()(vv)
    total, total_u, total_v = b0 + b1 * w + b2, d0 + d1 * w + d2, b1 * dw

    def blend(p0: BSpline, p1: BSpline, p2: BSpline | None) -> tuple[Floats, Floats, Floats]:
        a0, a1 = p0(vv), p1(vv)
        e0, e1 = p0.derivative()(vv), p1.derivative()(vv)
        a2 = p2(vv) if p2 is not None else 0.0
        e2 = p2.derivative()(vv) if p2 is not None else 0.0
        n = b0 * a0 + b1 * w * a1 + b2 * a2
        nu = d0 * a0 + d1 * w * a1 + d2 * a2
        nv = b0 * e0 + b1 * (w * e1 + dw * a1) + b2 * e2
        return n / total, (nu - n / total * total_u) / total, (nv - n / total * total_v) / total

    y, yu, yv = blend(half, half, None)
    z, zu, zv = blend(height, top, top)
    xs, xv = x(vv), x.derivative()(vv)
    points = np.stack([xs, y + lines.centre, z], axis=-1)
    return points, np.stack([0 * xs, yu, zu], axis=-1), np.stack([xv, yv, zv], axis=-1)
