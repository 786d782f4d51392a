"""The balance against the rules of thumb: what each says of the exit, and where they part."""

from dataclasses import dataclass, replace
from math import inf, log

from geomgen.air.cooling.balance import ThroughFlow, solve
from geomgen.air.cooling.exit_sizing import exit_needed, flow_needed
from geomgen.air.cooling.losses import PressureLoss
from geomgen.air.cooling.parts import AirMouth, AirState, CoolingParts, FinDrop
from geomgen.sizing.formulas.cooling import GAMMA, GAS, exit_area, exit_estimate
from geomgen.units import both

# So large a mouth that its air comes in without loss: the estimate knows no passages.
WIDE = 1e8


@dataclass(frozen=True)
class RuleExit:
    """An exit by one rule: `area` [mm2], None when it has none, and what flows through it."""

    rule: str
    area: float | None
    through: ThroughFlow | None


@dataclass(frozen=True)
class PartingStep:
    """The exit [mm2] needed once one thing more is counted; None when none is large enough."""

    counted: str
    area: float | None


@dataclass(frozen=True)
class RulesCompared:
    """Exits by rule, the steps from the estimate to the balance, and the step that decides."""

    exits: tuple[RuleExit, ...]
    steps: tuple[PartingStep, ...]
    words: tuple[str, ...]


def compare(
    parts: CoolingParts, state: AirState, *, ratio: float, recovery: float, drop: float
) -> RulesCompared:
    """Return the exits that rule, estimate and balance ask for in a state, and why they differ.

    `ratio` [1] is exit over mouths by the rule of thumb; `recovery` [1] and `drop` [Pa] are what
    the estimate by heat and pressure takes for the mouths and the fins, whatever flows.
    """
    estimate = exit_estimate(
        heat=state.heat,
        rise=state.allowed,
        density=state.density,
        speed=state.speed,
        sound_speed=(GAMMA * GAS * state.temperature) ** 0.5,
        recovery=recovery,
        drop=drop,
        exit_pressure=parts.exit.pressure,
    )
    need = exit_needed(parts, state)
    areas = {
        f"{ratio:g} of the mouths": exit_area(parts.mouth_area, ratio),
        "heat and pressure": estimate.area,
        "the balance": need.area,
    }
    exits = tuple(
        RuleExit(rule, area, _through(parts, state, area)) for rule, area in areas.items()
    )
    steps = _steps(parts, state, estimate.area, recovery, drop)
    return RulesCompared(exits, steps, (*_said(exits), *_parting(steps)))


def _through(parts: CoolingParts, state: AirState, area: float | None) -> ThroughFlow | None:
    if area is None:
        return None
    return solve(replace(parts, exit=replace(parts.exit, area=area)), state)


def _steps(
    parts: CoolingParts, state: AirState, estimated: float | None, recovery: float, drop: float
) -> tuple[PartingStep, ...]:
    """Return the exits needed as one thing after the other is counted, the estimate first."""
    flow = flow_needed(replace(parts, leakage=0.0), state)
    # What the estimate takes: one wide mouth that catches so much, and a drop that is what it is.
    free = PressureLoss("none", 1.0, WIDE, "")
    mouth = AirMouth("estimate", WIDE, (free,), pressure=0.0, caught=recovery, lip=1.0)
    warm = 1.0 + state.allowed / (2.0 * state.temperature)
    fixed = FinDrop((flow,), (drop / warm,), 2.0, state.density)
    exit_ = replace(parts.exit, discharge=1.0)
    now = CoolingParts((mouth,), fixed, exit_)
    calm = replace(state, pull=0.0, mouth_pull=0.0)
    found = [PartingStep("heat and pressure as estimated", estimated)]

    def counted(name: str, later: CoolingParts, asked: AirState) -> CoolingParts:
        found.append(PartingStep(name, exit_needed(later, asked).area))
        return later

    # The estimate lets the warm air out at the speed that cold air would have.
    now = counted("the warm air's own speed at the exit", now, calm)
    now = counted("the fins' drop at this flow", replace(now, fins=parts.fins), calm)
    wide = tuple(replace(m, area=WIDE, losses=(free,), slow=0.0, lip=1.0) for m in parts.mouths)
    now = counted("what the mouths catch", replace(now, mouths=wide), calm)
    slowed = tuple(replace(w, slow=m.slow) for w, m in zip(wide, parts.mouths, strict=True))
    now = counted("the slow layer", replace(now, mouths=slowed), calm)
    now = counted("the passages' losses", replace(now, mouths=parts.mouths), calm)
    now = counted("the propeller's pull", now, state)
    now = counted("leakage past the fins", replace(now, leakage=parts.leakage), state)
    counted("the exit's discharge coefficient", replace(now, exit=parts.exit), state)
    return tuple(found)


def _said(exits: tuple[RuleExit, ...]) -> tuple[str, ...]:
    said = []
    for each in exits:
        if each.area is None or each.through is None:
            said.append(f"by {each.rule}: no exit is large enough")
        else:
            said.append(
                f"by {each.rule}: an exit of {both(each.area, 'area')}; {each.through.words[0]}"
            )
    return tuple(said)


def _parting(steps: tuple[PartingStep, ...]) -> tuple[str, ...]:
    """Return which thing counted parts estimate and balance most."""
    first, last = steps[0].area, steps[-1].area
    if first is None and last is None:
        return ("estimate and balance agree: no exit is large enough",)
    worst, most = (steps[0], steps[0]), 0.0
    for before, after in zip(steps, steps[1:], strict=False):
        if before.area is None and after.area is None:
            continue
        none = before.area is None or after.area is None
        size = inf if none else abs(log((after.area or 1.0) / (before.area or 1.0)))
        if size > most:
            worst, most = (before, after), size
    before, after = worst
    if before.area is None:
        return (f"what decides: {after.counted}; without it no exit is large enough",)
    if after.area is None:
        return (f"what decides: {after.counted}; with it no exit is large enough",)
    return (
        f"what decides between estimate and balance: {after.counted}; with it the exit needed is "
        f"{after.area / before.area:.2f} times as large",
    )
