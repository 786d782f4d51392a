"""The air of a machine gathered from what was measured of it and worked out of that."""

from collections.abc import Iterator, Mapping, Sequence
from math import isfinite, sqrt

from geomgen.air.cooling.deciding import CoolingBand
from geomgen.air.cooling.pressure_steps import pressure_steps
from geomgen.air.cooling.rules_of_thumb import compare
from geomgen.air.mouth_places import mouth_places, wanted_mouth
from geomgen.air.record import (
    Band,
    CoolingInState,
    Deciding,
    ExitByRule,
    FlownState,
    MachineAir,
    MouthInState,
    NeutralBeside,
    PressureLine,
    RulesBeside,
    StepTaken,
    WantedMouth,
)
from geomgen.air.through import STATES, UNKNOWN_SLOW, CooledState, cooled_states
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters

LINES = ("crown", "side", "keel")
# Of what decides the rise the first few are told: own choice.
TOLD = 3
RULED = "climb"
STATED = tuple(f"air.{name}" for name in STATES)
UNBALANCED = (
    "the cooling air is not balanced: no mouth with its passage, or no exit with the pressure "
    "outside it, was measured"
)


def machine_air(
    p: Parameters,
    measurements: Sequence[Measurement],
    neutral: NeutralBeside | None = None,
    wanted: WantedMouth | None = None,
) -> MachineAir | None:
    """Return the air of a machine; None where none was measured. `neutral` is told beside it.

    Places are looked for a `wanted` mouth, without one for the file's largest.
    """
    told = {m.id: m for m in measurements}
    found = [told[f"air.{name}"] for name in STATES if f"air.{name}" in told]
    if not found:
        return None
    notes = list(_notes(measurements))
    try:
        cooled = {each.through.state.name: each for each in cooled_states(p, measurements)}
    except ParameterError as error:
        cooled = {}
        notes.append(f"the cooling air is not balanced: {error}")
    else:
        if not cooled:
            notes.append(UNBALANCED)
    states = tuple(_state(p, m, told, cooled) for m in found)
    mouth = wanted or wanted_mouth(p)
    way = told.get("exit.way") or told.get("exit.area")
    left = told.get("pod.separation")
    said = "" if left is None else left.where
    if left is not None and left.value is not None and left.where.startswith("on the"):
        said = f"STA {left.value:.0f} mm {said}"
    return MachineAir(
        states,
        None if way is None else way.value,
        _rules(p, cooled),
        neutral,
        said,
        tuple(notes),
        found[0].where,
        dict(found[0].further).get("rim station"),
        mouth,
        () if mouth is None else mouth_places(p, measurements, mouth),
    )


def _notes(measurements: Sequence[Measurement]) -> Iterator[str]:
    """Return what is not seen in any state, what of slow layers, and what is taken for them."""
    yield from dict.fromkeys(m.note for m in measurements if m.id in STATED and m.note)
    start = "inlet.slow_layer."
    lost = {m.part: m.note for m in measurements if m.id.startswith(start) and m.value is None}
    for part, note in lost.items():
        if part.endswith("_left") and lost.get(part.removesuffix("_left") + "_right") == note:
            continue
        taken = f"taken to eat {UNKNOWN_SLOW:.0%} of the pressure there (own choice)"
        yield f"slow layer before {part} not told, {taken}: {note}"


def _state(
    p: Parameters,
    measured: Measurement,
    told: Mapping[str, Measurement],
    cooled: Mapping[str, CooledState],
) -> FlownState:
    name, figures = measured.id.removeprefix("air."), dict(measured.further)
    ram = figures["ram"]
    rim, off = figures.get("rim"), figures.get("rim off", 0.0)
    whole = ram * p.flight.air_density
    return FlownState(
        name,
        sqrt(2.0 * ram),
        measured.value or 0.0,
        measured.error_bound or 0.0,
        figures.get("thrust", 0.0),
        tuple(_lines(figures)),
        tuple(_mouths(figures, told)),
        (rim / whole, off / whole) if rim is not None and whole else None,
        None if rim is None else (rim, off),
        _cooling(cooled[name]) if name in cooled else None,
    )


def _lines(figures: Mapping[str, float]) -> Iterator[PressureLine]:
    for line in LINES:
        rows: list[tuple[float, ...]] = []
        while f"{line} station {len(rows) + 1}" in figures:
            at = len(rows) + 1
            rows.append(
                tuple(
                    figures[f"{line} {what} {at}"] for what in ("station", "waterline", "pressure")
                )
            )
        if rows:
            stations, waterlines, pressures = zip(*rows, strict=True)
            ends = (figures.get(f"{line} leaves"), figures.get(f"{line} stays"))
            yield PressureLine(line, stations, waterlines, pressures, *ends)


def _mouths(
    figures: Mapping[str, float], told: Mapping[str, Measurement]
) -> Iterator[MouthInState]:
    start = "height "
    for name in (key.removeprefix(start) for key in figures if key.startswith(start)):
        if f"pressure {name}" not in figures:
            continue
        place = told.get(f"inlet.pressure.{name}")
        turn = told.get(f"duct.turn_angle.{name}")
        yield MouthInState(
            name,
            figures[f"pressure {name}"],
            figures[f"height {name}"],
            figures[f"gap {name}"],
            place.points[0][0] if place is not None and place.points else None,
            _band(figures, f"caught {name}"),
            _band(figures, f"layer {name}"),
            figures.get(f"speed {name}"),
            figures.get(f"angle {name}"),
            None if turn is None else turn.value,
            figures.get(f"mouth station {name}"),
        )


def _band(figures: Mapping[str, float], what: str) -> Band | None:
    if what not in figures:
        return None
    return figures[f"least {what}"], figures[what], figures[f"most {what}"]


def _cooling(each: CooledState) -> CoolingInState:
    through, need = each.through, each.need
    by = each.rises.by if each.rises is not None else ()
    words = through.words if through.rise is None else through.words[1:]
    if need is not None and need.area is None:
        words = (*words, need.words)
    return CoolingInState(
        through.flow,
        _ends(each.flows),
        through.rise,
        _ends(each.rises),
        through.state.allowed,
        None if need is None else need.area,
        words,
        tuple(Deciding(i.name, _finite(i.more), _finite(i.less)) for i in by[:TOLD]),
        tuple(_steps(each)),
    )


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _ends(band: CoolingBand | None) -> tuple[float, float | None] | None:
    return None if band is None else (band.low, band.high)


def _steps(each: CooledState) -> Iterator[tuple[str, tuple[StepTaken, ...]]]:
    """Return where the pressure goes on the way through each mouth; of mirror images the right."""
    names = [flow.name for flow in each.through.mouths if flow.flow > 0]
    for name in names:
        if name.endswith("_left") and name.removesuffix("_left") + "_right" in names:
            continue
        steps = pressure_steps(each.parts, each.through, name)
        yield name, tuple(StepTaken(s.name, s.taken, s.source) for s in steps)


def _rules(p: Parameters, cooled: Mapping[str, CooledState]) -> RulesBeside | None:
    each = cooled.get(RULED)
    if each is None or each.need is None:
        return None
    found = compare(
        each.parts,
        each.through.state,
        ratio=p.rules.exit_to_inlet.value,
        recovery=p.cooling.recovery,
        drop=p.cooling.baffle_drop,
    )
    exits = tuple(
        ExitByRule(
            one.rule,
            one.area,
            None if one.through is None else one.through.flow,
            None if one.through is None else one.through.rise,
        )
        for one in found.exits
    )
    steps = tuple((step.counted, step.area) for step in found.steps)
    return RulesBeside(exits, steps, found.words[-1:])
