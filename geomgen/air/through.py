"""The cooling air of a machine in each state: from what was measured of it and its file."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from geomgen.air.cooling.balance import ThroughFlow, solve
from geomgen.air.cooling.deciding import FlowBand, flow_band
from geomgen.air.cooling.exit_sizing import ExitNeed, exit_needed
from geomgen.air.cooling.losses import passage
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, CoolingParts, FinDrop
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.formulas import cooling

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

    `flow` has all in [kg/s], [Pa] and [K]; `need` is None without heat.
    """

    through: ThroughFlow
    band: FlowBand | None
    need: ExitNeed | None


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
    band = flow_band(parts, state) if through.flow > 0 else None
    need = exit_needed(parts, state) if state.heat > 0 else None
    return CooledState(through, band, need)


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
        tuple(mouths), fins, AirExit(exit_.value, p.air.discharge, min(pressure, 1.0)), p.air.leakage
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
    lip = scoop.lip_radius / (2 * scoop.width * scoop.height / (scoop.width + scoop.height)) if scoop else 0.0
    if state != "standing" and f"slow {side}" not in figures:
        return None
    return AirMouth(
        part,
        area,
        losses,
        pressure=min(1.0, figures.get(f"pressure {side}", 0.0)),
        slow=figures.get(f"slow {side}", 0.0),
        lip=lip,
    )


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
        off = _off(each)
        yield Measurement(
            f"cooling.mass_flow.{name}", "", "cooling air that goes through", through.flow, "kg/s",
            METHOD, off, said,
        )  # fmt: skip
        rise = through.rise
        yield Measurement(
            f"cooling.air_rise.{name}", "", WHAT, rise, "K", METHOD,
            _rise_off(each), said, note="; ".join(_notes(each)), broken=rise is None,
        )  # fmt: skip


WHAT = "how much the cooling air warms up at the fins"


def _off(each: CooledState) -> float | None:
    if each.band is None:
        return None
    return max(each.band.high - each.band.best, each.band.best - each.band.low)


def _rise_off(each: CooledState) -> float | None:
    if each.band is None or each.through.rise is None or each.band.low <= 0:
        return None
    best = each.through.rise
    ends = [best * each.band.best / end for end in (each.band.low, each.band.high)]
    return max(abs(end - best) for end in ends)


def _notes(each: CooledState) -> Iterator[str]:
    if each.need is not None:
        yield each.need.words
    if each.band is not None and each.band.by:
        most = each.band.by[0]
        yield f"most is decided by the {most.name}"
