"""The envelope: mass over the centre's station, all loadings with their limits; SVG of the page."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

# The drawing's own units; room left of and below the axes.
WIDE, HIGH, LEFT, BELOW, TOP, RIGHT = 640.0, 340.0, 64.0, 46.0, 18.0, 20.0
STEPS = 6


@dataclass(frozen=True)
class MassPoint:
    """One loading: station [mm], mass [kg], its name, whether the file names it."""

    station: float
    mass: float
    name: str
    named: bool = False


@dataclass(frozen=True)
class Envelope:
    """All loadings, and the limits that are known: stations [mm] and mass [kg].

    `neutral` is the estimated neutral point with its band [mm].
    """

    points: tuple[MassPoint, ...]
    forward: float | None = None
    aft: float | None = None
    heaviest: float | None = None
    neutral: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class Tick:
    """A line of the grid: where it is in the drawing, and its figure."""

    at: float
    text: str


@dataclass(frozen=True)
class DrawnEnvelope:
    """The envelope in the drawing's own units, for the template."""

    points: tuple[tuple[float, float, str, bool], ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    forward: float | None
    aft: float | None
    heaviest: float | None
    neutral: tuple[float, float, float] | None
    wide: float = WIDE
    high: float = HIGH
    left: float = LEFT
    right: float = WIDE - RIGHT
    top: float = TOP
    bottom: float = HIGH - BELOW


def drawn(envelope: Envelope) -> DrawnEnvelope | None:
    """Return the envelope in the drawing's units; None where there is no loading.

    >>> made = drawn(Envelope((MassPoint(1500.0, 200.0, "a"), MassPoint(1600.0, 260.0, "b"))))
    >>> made.points[0][0] < made.points[1][0], made.points[0][1] > made.points[1][1]
    (True, True)
    """
    if not envelope.points:
        return None
    limits = [envelope.forward, envelope.aft, *(envelope.neutral or ())]
    stations = [p.station for p in envelope.points] + [x for x in limits if x is not None]
    masses = [p.mass for p in envelope.points]
    if envelope.heaviest is not None:
        masses.append(envelope.heaviest)
    x0, x1, dx = axis_scale(stations)
    y0, y1, dy = axis_scale(masses)

    def across(value: float) -> float:
        return round(LEFT + (value - x0) / (x1 - x0) * (WIDE - LEFT - RIGHT), 2)

    def up(value: float) -> float:
        return round(HIGH - BELOW - (value - y0) / (y1 - y0) * (HIGH - BELOW - TOP), 2)

    point = envelope.neutral
    return DrawnEnvelope(
        tuple((across(p.station), up(p.mass), p.name, p.named) for p in envelope.points),
        tuple(Tick(across(v), f"{v:g}") for v in axis_ticks(x0, x1, dx)),
        tuple(Tick(up(v), f"{v:g}") for v in axis_ticks(y0, y1, dy)),
        None if envelope.forward is None else across(envelope.forward),
        None if envelope.aft is None else across(envelope.aft),
        None if envelope.heaviest is None else up(envelope.heaviest),
        None if point is None else (across(point[0]), across(point[1]), across(point[2])),
    )


def axis_scale(values: Sequence[float], least: float = 1.0) -> tuple[float, float, float]:
    """Return both ends of an axis and its step, round figures with room about all values.

    `least` is half the shortest stretch, as the values [any unit].
    """
    middle = (min(values) + max(values)) / 2
    half = max((max(values) - min(values)) / 2, 0.01 * abs(middle), least)
    low, high = middle - half, middle + half
    raw = 2 * half / STEPS
    size = 10 ** floor(log10(raw))
    step = next(m * size for m in (1, 2, 5, 10) if m * size >= raw)
    return (floor(low / step) - 0.5) * step, (ceil(high / step) + 0.5) * step, step


def axis_ticks(low: float, high: float, step: float) -> list[float]:
    """Return the places of the grid between both ends of an axis [any unit]."""
    first = ceil(low / step)
    return [k * step for k in range(first, floor(high / step) + 1)]
