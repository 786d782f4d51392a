"""Pressure along the pod over the pod's own outline, one scale of stations; SVG of the page."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.pages.mass_diagram import Tick, axis_scale, axis_ticks

# The drawing's own units: its breadth, room beside and above, the curves' height, room below them.
WIDE, LEFT, RIGHT, TOP, CURVES, BETWEEN, BELOW = 640.0, 64.0, 20.0, 18.0, 240.0, 34.0, 26.0
# A curve is broken where panels are missing: a step so many times its neighbours, own choice.
BREAK = 1.9
# Names of marks: breadth of a letter, room beside, foot above the bottom, height of a row.
LETTER, BESIDE, FOOT, ROW = 6.0, 5.0, 6.0, 14.0


@dataclass(frozen=True)
class PressureCurve:
    """A line along the pod: its name, stations and waterlines [mm], pressure coefficients [1].

    `leaves` is the station [mm] where the air leaves the skin along it.
    """

    name: str
    stations: Sequence[float]
    waterlines: Sequence[float]
    pressures: Sequence[float]
    leaves: float | None = None


@dataclass(frozen=True)
class MarkedStation:
    """A station [mm] that is marked, with its name."""

    name: str
    station: float


@dataclass(frozen=True)
class DrawnCurve:
    """A line in the drawing's units: SVG paths of its pressures and of itself on the pod.

    `leaves` are the places on both where the air leaves the skin; none where it does not.
    """

    name: str
    pressures: str
    outline: str
    leaves: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class DrawnMark:
    """A marked station: across, its name, where the name's foot stands."""

    at: float
    text: str
    foot: float


@dataclass(frozen=True)
class DrawnPressures:
    """All in the drawing's units, for the template; `bottom` ends the curves, `high` all."""

    curves: tuple[DrawnCurve, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    nought: float
    mouths: tuple[DrawnMark, ...]
    places: tuple[tuple[float, float, str, str], ...]
    bottom: float
    pod: tuple[float, float]
    high: float
    state: str
    wide: float = WIDE
    left: float = LEFT
    right: float = WIDE - RIGHT
    top: float = TOP


def drawn_pressures(
    curves: Sequence[PressureCurve],
    mouths: Sequence[MarkedStation] = (),
    places: Sequence[tuple[str, str, float, float]] = (),
    state: str = "",
    between: tuple[float, float] = (0.0, 0.0),
) -> DrawnPressures | None:
    """Return the curves in the drawing's units; None where there is nothing to draw.

    `places` are marked on both: their own name, the line's, station [mm], pressure coefficient
    [1]. The scale reaches over `between` [1] at least.

    >>> made = drawn_pressures([PressureCurve("crown", (0.0, 900.0), (700.0, 800.0), (1.0, -0.2))])
    >>> made.curves[0].pressures
    'M64.00,35.14L620.00,240.86'
    """
    told = [curve for curve in curves if len(curve.stations) > 1]
    if not told:
        return None
    stations = [x for curve in told for x in curve.stations]
    x0, x1 = min(stations), max(stations)
    # The open end lies a little aft of the last panel's middle.
    end = x1 + 0.05 * (x1 - x0)
    y0, y1, dy = axis_scale([0.0, *between, *(c for curve in told for c in curve.pressures)], 0.1)
    _, _, dx = axis_scale(stations)
    scale, bottom = (WIDE - LEFT - RIGHT) / (x1 - x0), TOP + CURVES
    waterlines = [z for curve in told for z in curve.waterlines]
    z1, pod = max(waterlines), bottom + BETWEEN

    def across(value: float) -> float:
        return round(LEFT + (value - x0) * scale, 2)

    def up(value: float) -> float:
        return round(bottom - (value - y0) / (y1 - y0) * CURVES, 2)

    def over(value: float) -> float:
        return round(pod + (z1 - value) * scale, 2)

    ends = (pod, over(min(waterlines)))
    return DrawnPressures(
        tuple(
            DrawnCurve(
                curve.name,
                _path(curve, [(across(x), up(c)) for x, c in _pairs(curve, curve.pressures)]),
                _path(curve, [(across(x), over(z)) for x, z in _pairs(curve, curve.waterlines)]),
                tuple(
                    (across(curve.leaves), show(float(np.interp(curve.leaves, *line))))
                    for show, line in (
                        (up, (curve.stations, curve.pressures)),
                        (over, (curve.stations, curve.waterlines)),
                    )
                    if curve.leaves is not None
                ),
            )
            for curve in told
        ),
        tuple(Tick(across(v), f"{v:g}") for v in axis_ticks(x0, x1, dx)),
        tuple(Tick(up(v), f"{round(v, 6):g}") for v in axis_ticks(y0, y1, dy)),
        up(0.0),
        tuple(_marks([(across(m.station), m.name) for m in mouths if x0 <= m.station <= end])),
        tuple(
            spot
            for name, line, x, c in places
            for spot in (
                (across(x), up(c), "", f"{name}: {line}, STA {x:.0f} mm: {c:.2f}"),
                (across(x), over(_on(told, line, x)), name, f"{name}: {line}, STA {x:.0f} mm"),
            )
        ),
        bottom,
        ends,
        ends[1] + BELOW,
        state,
    )


def _on(curves: Sequence[PressureCurve], line: str, station: float) -> float:
    """Return the waterline [mm] of a line at a station [mm]."""
    curve = next(each for each in curves if each.name == line)
    return float(np.interp(station, curve.stations, curve.waterlines))


def _marks(named: Sequence[tuple[float, str]]) -> Iterator[DrawnMark]:
    """Return marks with their names at the left of them, above those that they would run into.

    >>> [mark.foot for mark in _marks([(100.0, "cheek"), (110.0, "chin"), (400.0, "exit")])]
    [252.0, 238.0, 252.0]
    """
    ends = [-np.inf] * (1 + len(named))
    for at, name in sorted(named):
        start = at - BESIDE - LETTER * len(name)
        row = next(k for k, end in enumerate(ends) if end < start)
        ends[row] = at
        yield DrawnMark(at, name, TOP + CURVES - FOOT - ROW * row)


def _pairs(curve: PressureCurve, values: Sequence[float]) -> Iterator[tuple[float, float]]:
    return zip(curve.stations, values, strict=True)


def _path(curve: PressureCurve, points: Sequence[tuple[float, float]]) -> str:
    """Return an SVG path through points, broken where the line is."""
    broken = _breaks(curve.stations)
    return "".join(
        f"{'M' if at == 0 or at in broken else 'L'}{x:.2f},{y:.2f}"
        for at, (x, y) in enumerate(points)
    )


def _breaks(stations: Sequence[float]) -> set[int]:
    """Return before which points a line is broken.

    >>> _breaks([0.0, 10.0, 25.0, 85.0, 100.0])
    {3}
    """
    steps = [after - before for before, after in zip(stations, stations[1:], strict=False)]
    return {
        at + 1
        for at, step in enumerate(steps)
        if (beside := steps[max(at - 1, 0) : at] + steps[at + 1 : at + 2])
        and step > BREAK * max(beside)
    }
