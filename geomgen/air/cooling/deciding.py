"""Which figure decides the flow: each changed by itself, and the band that all of them make."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import copysign, inf, isfinite, sqrt

from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.parts import AirMouth, AirState, CoolingParts
from geomgen.errors import ParameterError

# Pressures outside are off by shares of themselves, but of so much of the ram pressure [1] at
# least, and angles of so many degrees [deg]: own choice.
LEAST_AT_MOUTHS, LEAST_AT_EXIT, LEAST_ANGLE = 0.5, 0.1, 10.0
Asked = tuple[CoolingParts, AirState]
Change = Callable[[CoolingParts, AirState, float], Asked]


def _mouths(parts: CoolingParts, change: Callable[[AirMouth], AirMouth]) -> CoolingParts:
    return replace(parts, mouths=tuple(change(mouth) for mouth in parts.mouths))


def _mouth_areas(parts: CoolingParts, state: AirState, by: float) -> Asked:
    def change(mouth: AirMouth) -> AirMouth:
        losses = tuple(replace(loss, area=loss.area * by) for loss in mouth.losses)
        return replace(mouth, area=mouth.area * by, losses=losses)

    return _mouths(parts, change), state


def _caught(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return _mouths(parts, lambda m: replace(m, caught=min(1.0, m.caught * by))), state


def _slow(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return _mouths(parts, lambda m: replace(m, slow=min(1.0, m.slow * by))), state


def _across(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return _mouths(parts, lambda m: replace(m, across=min(1.0, m.across * by))), state


def _angle(parts: CoolingParts, state: AirState, by: float) -> Asked:
    def change(mouth: AirMouth) -> AirMouth:
        angle = mouth.angle + (by - 1.0) * max(mouth.angle, LEAST_ANGLE)
        return replace(mouth, angle=min(180.0, max(0.0, angle)))

    return _mouths(parts, change), state


def _moved(pressure: float, by: float, least: float) -> float:
    """Return a pressure coefficient [1] moved by a factor less 1 of itself, of `least` at least.

    A factor alone would leave one near nought where it is.

    >>> _moved(-0.8, 1.2, 0.5), _moved(0.0, 1.2, 0.5)
    (-0.96, 0.09999999999999998)
    """
    return min(1.0, pressure + (by - 1.0) * copysign(max(abs(pressure), least), pressure))


def _outside(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return _mouths(
        parts, lambda m: replace(m, pressure=_moved(m.pressure, by, LEAST_AT_MOUTHS))
    ), state


def _losses(parts: CoolingParts, state: AirState, by: float) -> Asked:
    def change(mouth: AirMouth) -> AirMouth:
        losses = tuple(replace(loss, factor=loss.factor * by) for loss in mouth.losses)
        return replace(mouth, losses=losses)

    return _mouths(parts, change), state


def _fins(parts: CoolingParts, state: AirState, by: float) -> Asked:
    drops = tuple(drop * by for drop in parts.fins.drops)
    return replace(parts, fins=replace(parts.fins, drops=drops)), state


def _exit_area(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return replace(parts, exit=replace(parts.exit, area=parts.exit.area * by)), state


def _discharge(parts: CoolingParts, state: AirState, by: float) -> Asked:
    discharge = min(1.0, parts.exit.discharge * by)
    return replace(parts, exit=replace(parts.exit, discharge=discharge)), state


def _exit_pressure(parts: CoolingParts, state: AirState, by: float) -> Asked:
    pressure = _moved(parts.exit.pressure, by, LEAST_AT_EXIT)
    return replace(parts, exit=replace(parts.exit, pressure=pressure)), state


def _leakage(parts: CoolingParts, state: AirState, by: float) -> Asked:
    return replace(parts, leakage=min(0.95, parts.leakage * by)), state


def _state(name: str) -> Change:
    def change(parts: CoolingParts, state: AirState, by: float) -> Asked:
        return parts, replace(state, **{name: getattr(state, name) * by})

    return change


# What may be off, by its name for people.
INPUTS: dict[str, Change] = {
    "area of the mouths": _mouth_areas,
    "share of the dynamic pressure that the mouths catch": _caught,
    "share that the slow layer takes": _slow,
    "head across the mouths that they lose": _across,
    "angle of the air to the mouths": _angle,
    "pressure outside the mouths": _outside,
    "losses of the passages": _losses,
    "drop at the fins": _fins,
    "area of the exit": _exit_area,
    "discharge coefficient of the exit": _discharge,
    "pressure outside the exit": _exit_pressure,
    "propeller's pull at the exit": _state("pull"),
    "leakage past the fins": _leakage,
    "heat": _state("heat"),
    "speed": _state("speed"),
    "density of the air": _state("density"),
}
# How far each may be off, as factors: all own choice, wide where nobody has measured. Of pressures
# outside see also the least above.
BANDS: dict[str, tuple[float, float]] = {
    "area of the mouths": (0.98, 1.02),
    "share of the dynamic pressure that the mouths catch": (0.85, 1.1),
    "share that the slow layer takes": (0.6, 1.5),
    "head across the mouths that they lose": (0.0, 1.0),
    "angle of the air to the mouths": (0.8, 1.2),
    "pressure outside the mouths": (0.8, 1.2),
    "losses of the passages": (0.7, 1.5),
    "drop at the fins": (0.7, 1.4),
    "area of the exit": (0.98, 1.02),
    "discharge coefficient of the exit": (0.85, 1.08),
    "pressure outside the exit": (0.4, 1.6),
    "propeller's pull at the exit": (0.5, 1.3),
    "leakage past the fins": (0.3, 2.0),
    "heat": (0.8, 1.25),
}


@dataclass(frozen=True)
class Influence:
    """What one figure does to what is asked for when it is larger and smaller [%]."""

    name: str
    more: float
    less: float

    @property
    def size(self) -> float:
        """The larger of both, without its sign [%]."""
        return max(abs(self.more), abs(self.less))


@dataclass(frozen=True)
class CoolingBand:
    """A figure [kg/s or K]: its low and high end, and what the parts as given make.

    `high` is None where one of the inputs, at the end of its own band, stops the air altogether
    and the figure is the rise. `by` are the influences that make the band, the largest first.
    """

    low: float
    best: float
    high: float | None
    by: tuple[Influence, ...]


def through_fins(parts: CoolingParts, state: AirState) -> float:
    """Return the flow [kg/s] through the fins."""
    return solve(parts, state).flow * (1.0 - parts.leakage)


def through_exit(parts: CoolingParts, state: AirState) -> float:
    """Return the whole flow [kg/s], with what leaks past the fins."""
    return solve(parts, state).flow


def rise_at_fins(parts: CoolingParts, state: AirState) -> float:
    """Return how much the air warms up at the fins [K], without end where none goes."""
    rise = solve(parts, state).rise
    return inf if rise is None else rise


def influences(
    parts: CoolingParts,
    state: AirState,
    bands: Mapping[str, tuple[float, float]],
    figure: Callable[[CoolingParts, AirState], float] = through_fins,
) -> tuple[Influence, ...]:
    """Return what each input does to a figure between its two factors [1], in %, largest first."""
    best = figure(parts, state)
    if not 0.0 < best < inf:
        raise ParameterError(
            f"state {state.name}: no air goes aft or no heat goes into it, so nothing decides "
            "how much"
        )
    found = []
    for name, (low, high) in bands.items():
        more, less = (figure(*INPUTS[name](parts, state, by)) for by in (high, low))
        found.append(Influence(name, 100.0 * (more / best - 1.0), 100.0 * (less / best - 1.0)))
    return tuple(sorted(found, key=lambda each: -each.size))


def cooling_band(
    parts: CoolingParts,
    state: AirState,
    bands: Mapping[str, tuple[float, float]] = BANDS,
    figure: Callable[[CoolingParts, AirState], float] = through_fins,
) -> CoolingBand:
    """Return the band of the flow through the fins [kg/s], or of another figure.

    Each end is the root of the sum of squares of what the inputs do by themselves that way: they
    are taken not to be off together (own choice).
    """
    each = influences(parts, state, bands, figure)
    best = figure(parts, state)
    down = sqrt(sum(min(i.more, i.less, 0.0) ** 2 for i in each)) / 100.0
    up = sqrt(sum(max(i.more, i.less, 0.0) ** 2 for i in each)) / 100.0
    return CoolingBand(
        best * max(0.0, 1.0 - down), best, best * (1.0 + up) if isfinite(up) else None, each
    )
