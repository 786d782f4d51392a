"""The cooling air of a machine in each state: from what was measured of it and its file."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from statistics import fmean

from geomgen.air.cooling.balance import ThroughFlow, solve
from geomgen.air.cooling.deciding import (
    BANDS,
    LEAST_ANGLE,
    LEAST_AT_EXIT,
    LEAST_AT_MOUTHS,
    CoolingBand,
    cooling_band,
    rise_at_fins,
    through_exit,
)
from geomgen.air.cooling.exit_sizing import ExitNeed, exit_needed
from geomgen.air.cooling.losses import passage
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, CoolingParts, FinDrop
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.formulas import cooling

# Where the slow layer before a mouth can't be told it is taken to eat this share: own choice. The
# band then goes from none of it to all.
UNKNOWN_SLOW = 0.3
# What is taken at least by a layer that may take something: own choice.
LITTLE = 1e-3
SLOW, ANGLE, OUTSIDE, RIM, PULL = (
    "share that the slow layer takes",
    "angle of the air to the mouths",
    "pressure outside the mouths",
    "pressure outside the exit",
    "propeller's pull at the exit",
)
# What the way holds behind its throat is taken for lost, as in a bay without end: own choice.
ENDLESS = 1e9
# Panels may make a little more than 1 of the pressure of air at rest, up to this: own choice.
RESTING = 1.03
METHOD = (
    "balance of the cooling air from the mouths by passage, fins and exit to the pressure outside; "
    "areas, turns and outside pressures as measured, losses by published factors"
)
STATES = ("climb", "level", "glide", "standing")


@dataclass(frozen=True)
class CooledState:
    """The cooling air of a state: what flows, between what it may lie, the exit that it needs.

    `through` has all in [kg/s], [Pa] and [K]; `flows` and `rises` are the bands of the whole flow
    [kg/s] and the rise [K]; `need` is None without heat. `parts` is what the air goes through.
    """

    through: ThroughFlow
    flows: CoolingBand | None
    rises: CoolingBand | None
    need: ExitNeed | None
    parts: CoolingParts


def cooled_states(p: Parameters, measurements: Sequence[Measurement]) -> Iterator[CooledState]:
    """Return the cooling air of each state in which it can be worked out.

    Nothing without [air], and nothing of a state where a mouth, the exit or the outside of one was
    not measured; ParameterError where a figure is out of range.
    """
    told = {m.id: m for m in measurements}
    for name in _asked(p, told):
        figures = dict(told[f"air.{name}"].further)
        if not _lacking(told, figures):
            yield _cooled(p, told, figures, name)


def _asked(p: Parameters, told: Mapping[str, Measurement]) -> list[str]:
    """Return the states whose outside was measured, of a machine that has mouths and [air]."""
    if p.air is None or not p.scoops:
        return []
    return [name for name in STATES if f"air.{name}" in told]


def _lacking(told: Mapping[str, Measurement], figures: Mapping[str, float]) -> str:
    """Return in words what was not measured and without which there is no figure; else nothing."""
    exit_, mouths = _exit(told), _scoops(told)
    if exit_ is None or not exit_.value:
        return "the exit's way was not measured" if exit_ else "the pod has no exit"
    if "rim" not in figures:
        return "the pressure outside the exit was not measured"
    if not mouths:
        return "no mouth was measured"
    for part in mouths:
        for id_, what in (
            ("inlet.area", "mouth"), ("duct.throat_area", "throat"), ("duct.turn_angle", "turn"),
        ):  # fmt: skip
            one = told.get(f"{id_}.{part}")
            if one is None or one.value is None or (what != "turn" and not one.value):
                return f"the {what} of {part} was not measured"
        outside = {f"{what} {_side(part, figures)}" for what in ("pressure", "angle")}
        if figures["ram"] and not outside <= figures.keys():
            return f"the air outside {part} was not measured"
    return ""


def _exit(told: Mapping[str, Measurement]) -> Measurement | None:
    return told.get("exit.way") or told.get("exit.area")


def _cooled(
    p: Parameters, told: Mapping[str, Measurement], figures: Mapping[str, float], name: str
) -> CooledState:
    parts, state = _parts(p, told, figures, name), _state(p, figures, name)
    through = solve(parts, state)
    need = exit_needed(parts, state) if state.heat > 0 else None
    if not through.flow > 0:
        return CooledState(through, None, None, need, parts)
    sides = [_side(mouth.name, figures) for mouth in parts.mouths]
    bands = _bands(figures, bool(_guessed(told, figures)), sides, state.ram)
    rises = cooling_band(parts, state, bands, rise_at_fins) if state.heat > 0 else None
    flows = cooling_band(parts, state, bands, through_exit)
    return CooledState(through, flows, rises, need, parts)


def _bands(
    figures: Mapping[str, float], guessed: bool, sides: Sequence[str], ram: float
) -> dict[str, tuple[float, float]]:
    """Return how far each input may be off, as factors [1].

    Never less than what the panels say of pressures outside mouths and exit and of angles, and what
    the slow layers' own bands say; one that could not be told may take nothing or all. `ram` is in
    [Pa].
    """
    bands = dict(BANDS)
    for side in sides:
        if f"most slow {side}" in figures:
            best = _least(figures[f"slow {side}"], figures[f"most slow {side}"])
            low, high = bands[SLOW]
            least, most = (figures[f"{end} slow {side}"] for end in ("least", "most"))
            if best:
                bands[SLOW] = (min(low, least / best), max(high, most / best))
    if guessed:
        bands[SLOW] = (0.0, max(bands[SLOW][1], 1.0 / UNKNOWN_SLOW))
    for side in sides:
        share = figures.get(f"pressure {side}", 0.0)
        off = figures.get(f"pressure off {side}", 0.0) / max(abs(share), LEAST_AT_MOUTHS)
        bands[OUTSIDE] = _widened(bands[OUTSIDE], off)
        angle = max(figures.get(f"angle {side}", 0.0), LEAST_ANGLE)
        bands[ANGLE] = _widened(bands[ANGLE], figures.get(f"angle off {side}", 0.0) / angle)
    least = max(abs(figures["rim"]), LEAST_AT_EXIT * ram)
    off = figures.get("rim off", 0.0) / least if least else 0.0
    return bands | {name: _widened(bands[name], off) for name in (RIM, PULL)}


def _widened(band: tuple[float, float], off: float) -> tuple[float, float]:
    return min(band[0], 1.0 - off), max(band[1], 1.0 + off)


def _least(slow: float, most: float) -> float:
    """Return the share [1] that a slow layer takes, a little of one that may take more than none.

    A share of nought has no factor that leads to what it may take at most.
    """
    return max(slow, LITTLE) if most > 0.0 else slow


def _guessed(told: Mapping[str, Measurement], figures: Mapping[str, float]) -> list[str]:
    """Return the mouths whose slow layer could not be told; standing still there is none."""
    if not figures["ram"]:
        return []
    return [part for part in _scoops(told) if f"slow {_side(part, figures)}" not in figures]


def _state(p: Parameters, figures: Mapping[str, float], name: str) -> AirState:
    assert p.air is not None
    speeds = {
        "climb": p.flight.climb_speed,
        "level": p.flight.level_speed,
        "glide": p.air.glide_speed or p.flight.climb_speed,
        "standing": 0.0,
    }
    heat = p.cooling.heat_fraction * p.powerplant.power
    pulled = [value for key, value in figures.items() if key.startswith("pull ")]
    return AirState(
        name,
        speeds[name],
        heat * (p.air.glide_heat if name == "glide" else 1.0),
        p.cooling.air_rise,
        p.flight.air_density,
        cooling.air_temperature(p.flight.sound_speed),
        pull=figures["rim"] if name == "standing" else 0.0,
        mouth_pull=fmean(pulled) if pulled else 0.0,
    )


def _parts(
    p: Parameters, told: Mapping[str, Measurement], figures: Mapping[str, float], name: str
) -> CoolingParts:
    """Return mouths, fins and exit as measured."""
    exit_ = _exit(told)
    assert p.air is not None
    assert exit_ is not None
    assert exit_.value is not None
    density, heat = p.flight.air_density, p.cooling.heat_fraction * p.powerplant.power
    ram = figures["ram"] * density
    fins = FinDrop(
        (cooling.mass_flow(heat, p.cooling.air_rise),),
        (p.cooling.baffle_drop,),
        p.air.drop_exponent,
        density,
    )
    return CoolingParts(
        tuple(_mouth(p, told, figures, part, name) for part in _scoops(told)),
        fins,
        AirExit(exit_.value, p.air.discharge, _resting(figures["rim"] / ram if ram else 0.0)),
        p.air.leakage,
    )


def _resting(pressure: float) -> float:
    """Return a pressure coefficient, that of air at rest where panels make a little more of it."""
    return 1.0 if 1.0 < pressure < RESTING else pressure


def _scoops(told: Mapping[str, Measurement]) -> list[str]:
    start = "inlet.area."
    return [id_.removeprefix(start) for id_ in told if id_.startswith(start)]


def _mouth(
    p: Parameters,
    told: Mapping[str, Measurement],
    figures: Mapping[str, float],
    part: str,
    state: str,
) -> AirMouth:
    area, throat, turn = (
        told[f"{id_}.{part}"].value or 0.0
        for id_ in ("inlet.area", "duct.throat_area", "duct.turn_angle")
    )
    side = _side(part, figures)
    losses = passage(area, angle=turn, throat=throat, end=throat, spread=0.0, bay=ENDLESS)
    scoop = next((s for s in p.scoops if part in _parts_of(s.name)), None)
    lip = 0.0
    if scoop is not None:
        lip = scoop.lip_radius * (scoop.width + scoop.height) / (2 * scoop.width * scoop.height)
    slow = figures.get(f"slow {side}")
    if slow is None:
        slow = 0.0 if state == "standing" else UNKNOWN_SLOW
    slow = _least(slow, figures.get(f"most slow {side}", slow))
    pressure = _resting(figures.get(f"pressure {side}", 0.0))
    # Standing still no air comes along.
    angle = 0.0 if state == "standing" else figures[f"angle {side}"]
    return AirMouth(part, area, losses, pressure=pressure, angle=angle, slow=slow, lip=lip)


def _parts_of(scoop: str) -> tuple[str, ...]:
    """Return the names that a scoop's parts may have."""
    return tuple(f"scoop_{scoop}{side}" for side in ("", "_right", "_left"))


def _side(part: str, figures: Mapping[str, float]) -> str:
    """Return the name of the mouth that was looked at for a part: the right one for both."""
    right = part.removesuffix("_left") + "_right" if part.endswith("_left") else part
    return right if any(key.endswith(f" {right}") for key in figures) else part


def cooling_figures(p: Parameters, measurements: Sequence[Measurement]) -> Iterator[Measurement]:
    """Return the flow [kg/s] and the rise [K] of the cooling air in each state.

    Where the air about the machine could not be worked out no rise is measured, and it is said.
    """
    told = {m.id: m for m in measurements}
    asked = _asked(p, told)
    if p.air is not None and p.scoops and not asked:
        outside = told.get("exit.pressure")
        why = (outside.note if outside else "") or "the air about the machine was not worked out"
        for name in STATES:
            yield Measurement(f"cooling.air_rise.{name}", "", WHAT, None, "K", METHOD, note=why)
    for name in asked:
        figures = dict(told[f"air.{name}"].further)
        why = _lacking(told, figures)
        if not why:
            try:
                each = _cooled(p, told, figures, name)
                yield from _said(each, _guessed(told, figures), told[f"air.{name}"].note)
                continue
            except ParameterError as error:
                why = str(error)
        yield Measurement(f"cooling.air_rise.{name}", "", WHAT, None, "K", METHOD, note=why)


def _said(each: CooledState, guessed: Sequence[str], unseen: str) -> Iterator[Measurement]:
    """Return flow and rise; where something is `unseen` in the air outside none passes plainly."""
    name, through = each.through.state.name, each.through
    said = "; ".join(through.words)
    # The band is that of the air through the fins, the figure all that goes through.
    whole = through.flow / each.flows.best if each.flows else 1.0
    off = _off(each.flows, inf)
    yield Measurement(
        f"cooling.mass_flow.{name}", "", "cooling air that goes through", through.flow, "kg/s",
        METHOD, None if off is None else off * whole, said, note=unseen,
    )  # fmt: skip
    taken = f"not told, taken to eat {UNKNOWN_SLOW:.0%} (own choice), between nothing and all"
    notes = [*_notes(each), *(f"slow layer before {part} {taken}" for part in guessed)]
    rise = _off(each.rises, through.state.allowed)
    if unseen:
        notes.append(unseen)
        rise = inf if (through.rise or 0.0) <= through.state.allowed else rise
    yield Measurement(
        f"cooling.air_rise.{name}", "", WHAT, through.rise, "K", METHOD,
        rise, said,
        note="; ".join(notes), broken=through.rise is None,
    )  # fmt: skip


WHAT = "how much the cooling air warms up at the fins"


def _off(band: CoolingBand | None, limit: float) -> float | None:
    """Return how far a figure may be off towards its limit; without end where the band has none."""
    if band is None:
        return None
    if band.best > limit:
        return band.best - band.low
    return inf if band.high is None else band.high - band.best


def _notes(each: CooledState) -> Iterator[str]:
    if each.need is not None:
        yield each.need.words
    if each.rises is not None and each.rises.by:
        yield f"most is decided by the {each.rises.by[0].name}"
