"""Is a line fair? Changes of the sign of its curvature, and bumps, that its stations don't ask for.

A station asks for a sign when it stands off the chord of its neighbours (the second divided
difference) by more than `FIRM`: less is within what a drawing is read to. Looked at from station to
station first; where that says nothing, from stations further off. A bump is a short wave of the
curvature, three extremes in turn within `WAVE`; its height is told over a batten (a cubic) that
leaves the line a little before it and meets it again a little behind.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.interpolate import BSpline, CubicHermiteSpline, make_lsq_spline
from scipy.ndimage import maximum_filter1d
from scipy.signal import find_peaks

from geomgen.arrays import Floats

# Flatter than this curvature [1/mm], a radius of 50 m, is straight and has no sign.
STRAIGHT = 2e-5
# Nor has what is less than a share of the most curved place so near [mm]: the spline rings a little
# where a straight run meets an arc, less with each knot.
RINGING = ((0.15, 60.0), (0.05, 120.0))
# A station off its neighbours' chord by more than this [mm] asks for its sign, chords at least
# so long to each side [mm].
FIRM = 0.6
REACHES = (0.0, 100.0, 200.0)
# A bump is at most so long [mm] and at least so high [mm].
WAVE = 200.0
HEIGHT = 0.15
# Distance of the knots [mm] of the spline that the curvature is taken from, of its samples, and
# what is left out at both ends.
KNOT, SAMPLE, END = 20.0, 2.0, 12.0
# A run of points ends where the next is further than this [mm].
GAP = 40.0
DEGREE = 5
SWING = 5e-5
# A batten reaches over a wave's ends by this share of it.
BATTEN = 0.25

Kind = Literal["change", "bump"]


@dataclass(frozen=True)
class Curved:
    """A line with its curvature: stations and heights (n, 2) [mm], length (n,), curvature (n,).

    Curvature [1/mm] is positive where the line is full to the outside.
    """

    points: Floats
    length: Floats
    curvature: Floats


@dataclass(frozen=True)
class Unfair:
    """An unasked change of sign, or a bump, at a station [mm]; `height` [mm] of a bump."""

    kind: Kind
    station: float
    words: str
    height: float = 0.0


def runs(points: Floats) -> list[Floats]:
    """Return the points (n, 2) [mm] in runs without a gap."""
    step = np.hypot(*np.diff(points, axis=0).T)
    parts = np.split(points, np.nonzero(step > GAP)[0] + 1)
    return [part for part in parts if len(part) > 2 * DEGREE and _long(part)]


def _long(part: Floats) -> bool:
    return float(np.hypot(*(part[-1] - part[0]))) > 4 * END


def curved(points: Floats, outward: float) -> Curved:
    """Return the curvature of a run of points (n, 2) [mm] in the order of their stations.

    `outward` is 1 where the outside is on the side of larger heights, else -1. The points are
    fitted by a spline with a knot every `KNOT` mm, so that noise of some thousandths is smoothed.

    >>> t = np.linspace(0.0, 3.0, 400)
    >>> arc = curved(np.stack([-100 * np.cos(t), 100 * np.sin(t)], axis=-1), 1.0)
    >>> round(float(arc.curvature.mean()), 5)
    0.01
    """
    s = np.r_[0.0, np.cumsum(np.hypot(*np.diff(points, axis=0).T))]
    spline = _fitted(s, points)
    at = np.linspace(END, s[-1] - END, max(int((s[-1] - 2 * END) / SAMPLE), 8))
    first, second = spline(at, 1), spline(at, 2)
    bend = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    curvature = -outward * bend / np.hypot(*first.T) ** 3
    return Curved(spline(at), at, curvature)


def _fitted(s: Floats, points: Floats) -> BSpline:
    """Return the spline, with a knot only where there are points between it and the last."""
    inner = np.linspace(0, s[-1], max(int(s[-1] / KNOT), 1) + 1)[1:-1]
    filled = np.diff(np.searchsorted(s, np.r_[0.0, inner, s[-1]])) >= 2
    inner = inner[filled[:-1] & filled[1:]]
    knots = np.r_[[0.0] * (DEGREE + 1), inner, [s[-1]] * (DEGREE + 1)]
    return make_lsq_spline(s, points, knots, DEGREE)


def asked_signs(stations: Floats, outward: float) -> list[tuple[float, float]]:
    """Return station [mm] and sign of each control point (k, 2) that asks for one.

    >>> asked_signs(np.array([[0.0, 0.0], [100.0, 5.0], [200.0, 0.0], [300.0, 0.1]]), 1.0)
    [(100.0, 1.0), (200.0, -1.0)]
    """
    x, y = stations.T
    found = []
    for i in range(1, len(x) - 1):
        for reach in REACHES:
            a = next((j for j in range(i - 1, -1, -1) if x[i] - x[j] >= reach), 0)
            b = next((j for j in range(i + 1, len(x)) if x[j] - x[i] >= reach), len(x) - 1)
            off = y[i] - (y[a] + (y[b] - y[a]) * (x[i] - x[a]) / (x[b] - x[a]))
            if abs(off) > FIRM:
                found.append((float(x[i]), float(np.sign(off) * outward)))
                break
    return found


def sign_changes(line: Curved) -> list[tuple[float, float]]:
    """Return station [mm] and new sign of each change of the curvature's sign."""
    size = np.abs(line.curvature)
    least = np.full(len(size), STRAIGHT)
    for share, reach in RINGING:
        least = np.maximum(least, share * maximum_filter1d(size, 2 * int(reach / SAMPLE) + 1))
    sign = np.where(size > least, np.sign(line.curvature), 0.0)
    firm = np.nonzero(sign)[0]
    found = []
    for a, b in zip(firm[:-1], firm[1:], strict=True):
        if sign[a] != sign[b]:
            found.append((float((line.points[a, 0] + line.points[b, 0]) / 2), float(sign[b])))
    return found


def bumps(line: Curved) -> list[tuple[float, float, float, float]]:
    """Return first and last station, station of the top and height [mm] of each short wave.

    The height is negative for a hollow.
    """
    k = line.curvature
    peaks = np.r_[find_peaks(k, prominence=SWING)[0], find_peaks(-k, prominence=SWING)[0]]
    peaks = np.sort(peaks)
    found: list[tuple[float, float, float, float]] = []
    for a, b, c in zip(peaks[:-2], peaks[1:-1], peaks[2:], strict=True):
        span = line.length[c] - line.length[a]
        if span > WAVE or (k[b] - k[a]) * (k[b] - k[c]) <= 0:
            continue
        height = _over_batten(line, line.length[a], line.length[b], line.length[c])
        height = float(np.copysign(height, k[b] - k[a]))
        if abs(height) < HEIGHT:
            continue
        x = line.points[:, 0]
        one = (float(x[a]), float(x[c]), float(x[b]), height)
        if found and found[-1][1] > one[0]:
            # Waves that overlap are one bump and its run-outs.
            if abs(height) > abs(found[-1][3]):
                found[-1] = one
        else:
            found.append(one)
    return found


def _over_batten(line: Curved, start: float, top: float, end: float) -> float:
    """Return how far [mm] a line leaves a batten laid from before `start` to behind `end`."""
    more = BATTEN * (end - start)
    low = max(start - more, float(line.length[0]))
    high = min(end + more, float(line.length[-1]))
    slope = np.gradient(line.points, line.length, axis=0)

    def at(values: Floats, s: float) -> Floats:
        return np.array([np.interp(s, line.length, column) for column in values.T])

    batten = CubicHermiteSpline(
        [low, high],
        [at(line.points, low), at(line.points, high)],
        [at(slope, low), at(slope, high)],
    )
    tangent = at(slope, top)
    off = at(line.points, top) - batten(top)
    return float(abs(tangent[0] * off[1] - tangent[1] * off[0]) / np.hypot(*tangent))


def unfair(lines: list[Curved], stations: Floats, outward: float) -> list[Unfair]:
    """Return what `stations` (k, 2) [mm] do not ask for on a line, by station."""
    asked = asked_signs(stations, outward)
    turns = _asked_turns(asked, stations[:, 0])
    found: list[Unfair] = []
    for line in lines:
        for low, high, top, height in bumps(line):
            if not any(low <= a and b <= high for a, b, _ in turns):
                words = "bump" if height > 0 else "hollow"
                found.append(
                    Unfair("bump", top, f"{words} of about {abs(height):.1f} mm", abs(height))
                )
        for x, sign in sign_changes(line):
            match = next((t for t in turns if t[0] <= x <= t[1] and t[2] == sign), None)
            if match is not None:
                turns.remove(match)
            else:
                words = "hollow to full" if sign > 0 else "full to hollow"
                found.append(Unfair("change", x, words))
    return sorted(found, key=lambda one: one.station)


def _asked_turns(asked: list[tuple[float, float]], x: Floats) -> list[tuple[float, float, float]]:
    """Return between which stations a change to which sign is asked for, a station to spare."""
    found = []
    for (a, before), (b, after) in zip(asked[:-1], asked[1:], strict=True):
        if before != after:
            i, j = int(np.searchsorted(x, a)), int(np.searchsorted(x, b))
            found.append((float(x[max(i - 1, 0)]), float(x[min(j + 1, len(x) - 1)]), after))
    return found
