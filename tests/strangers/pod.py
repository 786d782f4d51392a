"""Pods: smooth lines, and the control stations that someone takes off them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from strangers.dice import Dice

Line = Callable[[float], float]
# Both kinds of closed end; an open one is an opening.
TAILS = ("open", "flat", "round")
ELLIPSE = 2**0.5 - 1


@dataclass(frozen=True)
class Pod:
    """The lines of a pod [mm] as functions of the station, and the rows taken off them."""

    start: float
    end: float
    widest: float
    crown: Line
    keel: Line
    breadth: Line
    height: Line
    thrust: float
    wall: float
    nose: str
    tail: str
    rows: list[dict[str, Any]]

    @property
    def length(self) -> float:
        """Return the length [mm]."""
        return self.end - self.start

    def at(self, share: float) -> float:
        """Return the station at a share of the length [mm]."""
        return self.start + share * self.length

    def table(self) -> dict[str, Any]:
        """Return the table of the file, plain numbers."""
        return {"wall": self.wall, "nose": self.nose, "tail": self.tail, "stations": self.rows}

    def neighbours(self, station: float) -> list[dict[str, Any]]:
        """Return the control stations ahead of and behind a station [mm]."""
        after = next(i for i, row in enumerate(self.rows) if row["station"] >= station)
        return self.rows[max(after - 1, 0) : after + 1]

    def section(self, station: float, count: int = 121) -> np.ndarray:
        """Return points (k, 2) y, z [mm] of the section, taken as elliptical quadrants."""
        turn = np.linspace(0, 2 * np.pi, count)
        middle = self.height(station)
        up, down = self.crown(station) - middle, middle - self.keel(station)
        z = np.where(np.sin(turn) > 0, up, down) * np.sin(turn)
        y = self.breadth(station) / 2 * np.cos(turn)
        return np.stack([y, middle + z], axis=-1)


def line(
    ends: tuple[float, float, float],
    at: tuple[float, float, float],
    nose: tuple[float, float],
    tail: tuple[float, str],
) -> Line:
    """Return a line from nose over its extreme to the tail, smooth all along.

    `ends` are the values at `at`: nose, extreme, tail. `nose` is the exponent ahead of the extreme
    and the root (2: round), `tail` the exponent behind it and the kind of end.
    """
    (first, most, last), (start, middle, end) = ends, at

    def value(x: float) -> float:
        if x <= middle:
            u = min(max((x - start) / (middle - start), 0.0), 1.0)
            return first + (most - first) * (1 - (1 - u) ** nose[0]) ** (1 / nose[1])
        w = min(max((x - middle) / (end - middle), 0.0), 1.0)
        fall = (1 - w ** tail[0]) ** (0.5 if tail[1] == "round" else 1.0)
        return last + (most - last) * fall

    return value


def pod(d: Dice, kind: str, nose: str) -> Pod:
    """Return a pod with a kind of tail and of nose."""
    length, depth = d.between(2050, 3200), d.between(880, 1200)
    breadth, wall = d.between(540, 760), _wall(d)
    start = d.pick([0.0, d.exactly(200, 1500), -d.exactly(200, 1500)], [5, 3, 2])
    top = d.pick([d.exactly(1300, 1900), d.exactly(400, 700), 0.0], [5, 3, 2])
    bottom, end = top - depth, start + length
    widest = start + d.between(0.36, 0.48) * length
    round_nose, round_tail = nose == "round", kind == "round"
    tip = bottom + d.between(0.34, 0.5) * depth
    thrust = top - d.between(0.32, 0.48) * depth
    last = (0.0, 0.0) if round_tail else (d.between(0.36, 0.56), d.between(0.34, 0.5))
    middle = thrust + d.between(-0.03, 0.03) * depth
    exponents = (d.exactly(2.0, 2.5), 2.0 if round_nose else 1.0)
    behind = (d.exactly(2.0, 2.6) if round_tail else d.exactly(1.7, 2.4), kind)
    blunt = (0.0, 0.0) if round_nose else (d.between(0.3, 0.5), d.between(0.3, 0.6))

    def shaped(first: float, most: float, aft: float) -> Line:
        off = widest + d.exactly(-0.03, 0.03) * length
        return line((first, most, aft), (start, off, end), exponents, behind)

    crown = shaped(tip + blunt[0] * (top - tip), top, min(middle + last[0] * depth / 2, top - 20))
    keel = shaped(
        tip - blunt[0] * (tip - bottom), bottom, max(middle - last[0] * depth / 2, bottom + 20)
    )
    wide = shaped(blunt[1] * breadth, breadth, last[1] * breadth)
    share = (d.exactly(0.42, 0.55), d.exactly(0.45, 0.52))

    def height(x: float) -> float:
        t = (x - start) / length
        low = keel(x)
        return low + (share[0] + (share[1] - share[0]) * t) * (crown(x) - low)

    lines = (crown, keel, wide, height)
    rows = stations(d, lines, (start, widest, end), (round_nose, round_tail))
    return Pod(start, end, widest, *lines, thrust, wall, nose, kind, rows)


def _wall(d: Dice) -> float:
    thin = d.pick([d.exactly(1.5, 4), d.exactly(4, 9), d.exactly(10, 22)], [6, 3, 1])
    return d.between(0.4, 45) if d.wide else round(thin, 1)


def stations(
    d: Dice,
    lines: tuple[Line, Line, Line, Line],
    ends: tuple[float, float, float],
    rounds: tuple[bool, bool],
) -> list[dict[str, Any]]:
    """Return the control stations: from 3 to 14, the fullest section among them."""
    crown, keel, wide, height = lines
    fullness = (_fullness(d), _fullness(d))
    plain = d.chance(0.3)
    rows = []
    places = _places(d, *ends)
    for i, x in enumerate(places):
        point = (i == 0 and rounds[0]) or (i == len(places) - 1 and rounds[1])
        row: dict[str, Any] = {"station": x}
        if point:
            z = round(height(x))
            row |= {"crown": z, "keel": z, "breadth": 0.0, "breadth_height": z}
        else:
            row |= {
                "crown": crown(x) + d.jitter(3),
                "keel": keel(x) + d.jitter(3),
                "breadth": wide(x) + d.jitter(4),
                "breadth_height": height(x) + d.jitter(4),
            }
        if not plain:
            t = (x - ends[0]) / (ends[2] - ends[0])
            off = d.exactly(0.01, 0.04)
            for key, shape in zip(("fullness_upper", "fullness_lower"), fullness, strict=True):
                row[key] = float(np.clip(shape(t) + d.jitter(off), 0.31, 0.84))
        if d.wide and d.chance(0.3):
            row["fullness_upper"] = d.exactly(0.3, 0.85)
        rows.append(row)
    return rows


def _places(d: Dice, start: float, widest: float, end: float) -> list[float]:
    count = d.pick(range(3, 15), [1, 2, 4, 5, 6, 6, 5, 4, 3, 2, 1, 1])
    bent = d.exactly(1.0, 1.4)
    share = np.linspace(0, 1, count) ** bent
    gap = np.diff(share)
    share[1:-1] += [d.jitter(0.35) * min(a, b) for a, b in zip(gap, gap[1:], strict=False)]
    middle = (widest - start) / (end - start)
    share[1 + int(np.argmin(np.abs(share[1:-1] - middle)))] = middle
    places = sorted(start + share * (end - start))
    kept = [places[0]]
    for x in places[1:-1]:
        if x - kept[-1] > 0.02 * (end - start) and end - x > 0.02 * (end - start):
            kept.append(x)
    return [float(x) for x in [*kept, places[-1]]]


def _fullness(d: Dice) -> Line:
    nose, tail = d.exactly(0.40, 0.46), d.exactly(0.40, 0.48)
    middle = d.exactly(0.40, 0.56)
    if d.wide:
        nose, tail, middle = (d.exactly(0.32, 0.82) for _ in range(3))

    def value(t: float) -> float:
        straight = nose + (tail - nose) * t
        return float(straight + (middle - (nose + tail) / 2) * np.sin(np.pi * t))

    return value
