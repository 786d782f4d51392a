"""Targets of the cooling air's way out: by the ratio to the inlet, and by heat and pressure."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from geomgen.sizing.air_targets import COOLING, NO_SCOOPS, needed_inlet, power_and_speed
from geomgen.sizing.declaring import declared
from geomgen.sizing.formulas import cooling
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Conversion, Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters


@declared(
    COOLING,
    {
        "exit.area": "The least open area at and ahead of the rim, in planes. A cone or a slanting "
        "wall beside the rim can leave less: see exit.way. Limit: rules.exit_to_inlet, less its "
        "band, x the inlet needed (common practice, disputed)."
    },
)
def _exits(p: "Parameters") -> tuple[Target, ...]:
    exit_ = _exit(p)
    what = "least area from the engine to the free air behind the rim"
    return (exit_, replace(exit_, id="exit.way", what=what, notices=()))


def _exit(p: "Parameters") -> Target:
    ratio, spread = limit(p.rules.exit_to_inlet), limit(p.rules.exit_to_inlet_band)
    share = ratio.value * (1 - spread.value)
    band = cooling.inlet_band(p.powerplant.power, p.flight.climb_speed, p.flight.climb_speed_band)
    return Target(
        "exit.area",
        "least area of the exit",
        "at least",
        "mm2",
        low=cooling.exit_area(needed_inlet(p), share),
        formula="rules.exit_to_inlet x (1 - rules.exit_to_inlet_band) x inlet needed",
        inputs=(
            ("exit to inlet", f"{ratio.value:g}"),
            ("its band", f"{spread.value:g}"),
            *power_and_speed(p),
        ),
        band=None if band is None else (band[0] * share, band[1] * share),
        source=ratio.source,
        notices=_closed(p),
        severity="fail" if p.scoops else "warn",
    )


def _closed(p: "Parameters") -> tuple[str, ...]:
    """Return a notice where the file leaves the cooling air no way out."""
    if p.pod.tail == "open":
        return ()
    return (
        f'NO EXIT: pod.tail is "{p.pod.tail}", which closes the aft end; the cooling air leaves '
        'through an open one (pod.tail = "open"), with or without an [exit]',
    )


def _heat_of_way(p: "Parameters") -> Conversion:
    return Conversion(
        "exit.way",
        "mm2",
        "exit.area_by_heat",
        "least area of the exit, against that needed by engine heat and pressure",
        "mm2",
        lambda area: area,
        "",
    )


@declared(
    COOLING,
    {
        "exit.area_by_heat": "exit.way once more, against the exit that engine heat and pressure "
        "need, from [cooling]. Fails if it is short by more than cooling.spread, warns if short by "
        "less; fails too where the ram pressure can't push the air out at all. Limit: energy "
        "balance and Bernoulli's equation."
    },
    _heat_of_way,
)
def _by_heat(p: "Parameters") -> Iterator[Target]:
    estimate, spread = estimate_of(p), p.cooling.spread
    area = estimate.area
    rule = cooling.exit_area(needed_inlet(p), p.rules.exit_to_inlet.value)
    yield Target(
        "exit.area_by_heat",
        "least area of the exit, against that needed by engine heat and pressure",
        "at least",
        "mm2",
        low=None if area is None else area * (1 - spread),
        formula="(1 - cooling.spread) x flow / (density of the warm air x speed at the exit)",
        inputs=(
            ("estimate", estimate.words),
            ("spread of heat and warming", f"{spread:g}"),
            *(
                ()
                if area is None
                else (("as a multiple of the area by rules.exit_to_inlet", f"{area / rule:.2f}"),)
            ),
        ),
        band=None if area is None else (area * (1 - spread), area * (1 + spread)),
        source="energy balance and Bernoulli's equation; its inputs are the file's, or own choice",
        severity="fail" if p.scoops else "warn",
        wanted=area,
        hopeless="" if area is not None else f"{estimate.words}; check cooling.baffle_drop",
    )


def estimate_of(p: "Parameters") -> cooling.ExitEstimate:
    """Return the exit by heat and pressure, see `cooling.exit_estimate`."""
    return cooling.exit_estimate(
        heat=p.cooling.heat_fraction * p.powerplant.power,
        rise=p.cooling.air_rise,
        density=p.flight.air_density,
        speed=p.flight.climb_speed,
        sound_speed=p.flight.sound_speed,
        recovery=p.cooling.recovery,
        drop=p.cooling.baffle_drop,
        exit_pressure=p.cooling.exit_pressure,
    )


@declared(
    COOLING,
    {
        "exit.to_inlet_ratio": "Exit over inlet, as measured. Limit: rules.exit_to_inlet, less its "
        "band (common practice, disputed); above it, plus its band, warns."
    },
)
def _ratio(p: "Parameters") -> Iterator[Target]:
    ratio, spread = limit(p.rules.exit_to_inlet), limit(p.rules.exit_to_inlet_band)
    yield Target(
        "exit.to_inlet_ratio",
        "exit area over inlet area",
        "at least",
        "1",
        low=ratio.value * (1 - spread.value),
        usual=ratio.value * (1 + spread.value),
        formula="rules.exit_to_inlet x (1 - rules.exit_to_inlet_band); warns above "
        "rules.exit_to_inlet x (1 + rules.exit_to_inlet_band)",
        inputs=(("exit to inlet", f"{ratio.value:g}"), ("its band", f"{spread.value:g}")),
        source=ratio.source,
        severity="fail" if p.scoops else "warn",
        notices=() if p.scoops else (NO_SCOOPS,),
    )


EXIT = (_exits, _ratio, _by_heat)
