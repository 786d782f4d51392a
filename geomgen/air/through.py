"""The cooling air of a machine in each state: from what was measured of it and its file."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from geomgen.air.cooling.balance import ThroughFlow, solve
from geomgen.air.cooling.deciding import CoolingBand, cooling_band, rise_at_fins, through_exit
from geomgen.air.cooling.exit_sizing import ExitNeed, exit_needed
from geomgen.air.cooling.losses import passage
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, CoolingParts, FinDrop
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.formulas import cooling

# Where the slow layer before a mouth can't be told it is taken to eat this share: own choice.
UNKNOWN_SLOW = 0.3
# What the way holds behind its throat is taken for lost, as in a bay without end: own choice.
ENDLESS = 1e9
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
    """Return the cooling air of each state that was measured; none where air can't go through."""
    told = {m.id: m for m in measurements}
    if p.air is None:
        return
    for name in STATES:
        outside = told.get(f"air.{name}")
        if outside is None:
            continue
        figures = dict(outside.further)
        parts = _parts(p, told, figures, name)
        if parts is None:
            continue
        yield _cooled(parts, _state(p, figures, name))


def _cooled(parts: CoolingParts, state: AirState) -> CooledState:
    through = solve(parts, state)
    need = exit_needed(parts, state) if state.heat > 0 else None
    if not through.flow > 0:
        return CooledState(through, None, None, need, parts)
    rises = cooling_band(parts, state, figure=rise_at_fins) if state.heat > 0 else None
    flows = cooling_band(parts, state, figure=through_exit)
    return CooledState(through, flows, rises, need, parts)


def _state(p: Parameters, figures: Mapping[str, float], name: str) -> AirState:
    assert p.air is not None
    speeds = {
        "climb": p.flight.climb_speed,
        "level": p.flight.level_speed,
        "glide": p.air.glide_speed or p.flight.climb_speed,
        "standing": 0.0,
    }
    heat = p.cooling.heat_fraction * p.powerplant.power
    return AirState(
        name,
        speeds[name],
        heat * (p.air.glide_heat if name == "glide" else 1.0),
        p.cooling.air_rise,
        p.flight.air_density,
        cooling.air_temperature(p.flight.sound_speed),
        pull=figures["rim"] if name == "standing" else 0.0,
        mouth_pull=figures.get("mouths", 0.0) if name == "standing" else 0.0,
    )


def _parts(
    p: Parameters, told: Mapping[str, Measurement], figures: Mapping[str, float], name: str
) -> CoolingParts | None:
    """Return mouths, fins and exit as measured; None where one is missing."""
    assert p.air is not None
    exit_ = told.get("exit.way") or told.get("exit.area")
    mouths = [m for m in (_mouth(p, told, figures, part, name) for part in _scoops(told)) if m]
    if exit_ is None or not exit_.value or "rim" not in figures or not mouths:
        return None
    density, heat = p.flight.air_density, p.cooling.heat_fraction * p.powerplant.power
    ram = figures["ram"] * density
    fins = FinDrop(
        (cooling.mass_flow(heat, p.cooling.air_rise),),
        (p.cooling.baffle_drop,),
        p.air.drop_exponent,
        density,
    )
    pressure = figures["rim"] / ram if ram else 0.0
    return CoolingParts(
        tuple(mouths),
        fins,
        AirExit(exit_.value, p.air.discharge, min(pressure, 1.0)),
        p.air.leakage,
    )


def _scoops(told: Mapping[str, Measurement]) -> list[str]:
    start = "inlet.area."
    return [id_.removeprefix(start) for id_ in told if id_.startswith(start)]


def _mouth(
    p: Parameters,
    told: Mapping[str, Measurement],
    figures: Mapping[str, float],
    part: str,
    state: str,
) -> AirMouth | None:
    area = told[f"inlet.area.{part}"].value
    throat, turn = told.get(f"duct.throat_area.{part}"), told.get(f"duct.turn_angle.{part}")
    if not area or throat is None or not throat.value or turn is None or turn.value is None:
        return None
    right = part.removesuffix("_left") + "_right" if part.endswith("_left") else part
    side = right if f"pressure {right}" in figures else part
    losses = passage(
        area, angle=turn.value, throat=throat.value, end=throat.value, spread=0.0, bay=ENDLESS
    )
    scoop = next((s for s in p.scoops if part.startswith(f"scoop_{s.name}")), None)
    lip = 0.0
    if scoop is not None:
        lip = scoop.lip_radius * (scoop.width + scoop.height) / (2 * scoop.width * scoop.height)
    slow = figures.get(f"slow {side}")
    if slow is None:
        slow = 0.0 if state == "standing" else UNKNOWN_SLOW
    pressure = min(1.0, figures.get(f"pressure {side}", 0.0))
    return AirMouth(part, area, losses, pressure=pressure, slow=slow, lip=lip)


def cooling_figures(p: Parameters, measurements: Sequence[Measurement]) -> Iterator[Measurement]:
    """Return the flow [kg/s] and the rise [K] of the cooling air in each state."""
    try:
        states = list(cooled_states(p, measurements))
    except ParameterError as error:
        yield Measurement("cooling.air_rise.climb", "", WHAT, None, "K", METHOD, note=str(error))
        return
    for each in states:
        name, through = each.through.state.name, each.through
        said = "; ".join(through.words)
        yield Measurement(
            f"cooling.mass_flow.{name}", "", "cooling air that goes through", through.flow, "kg/s",
            METHOD, _off(each.flows), said,
        )  # fmt: skip
        rise = through.rise
        notes = [*_notes(each), *_guessed(measurements, name)]
        yield Measurement(
            f"cooling.air_rise.{name}", "", WHAT, rise, "K", METHOD,
            _off(each.rises), said, note="; ".join(notes), broken=rise is None,
        )  # fmt: skip


WHAT = "how much the cooling air warms up at the fins"


def _guessed(measurements: Sequence[Measurement], name: str) -> Iterator[str]:
    """Return a word for each mouth whose slow layer could not be told."""
    if name == "standing":
        return
    for m in measurements:
        if m.id.startswith("inlet.slow_layer.") and m.value is None:
            taken = f"{UNKNOWN_SLOW:.0%} (own choice)"
            yield f"slow layer before {m.part} not told, taken to eat {taken}"


def _off(band: CoolingBand | None) -> float | None:
    """Return how far a figure may be off; None where it has no end."""
    if band is None or band.high is None:
        return None
    return max(band.high - band.best, band.best - band.low)


def _notes(each: CooledState) -> Iterator[str]:
    if each.need is not None:
        yield each.need.words
    if each.rises is not None and each.rises.by:
        yield f"most is decided by the {each.rises.by[0].name}"
