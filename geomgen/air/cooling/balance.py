"""The balance: the flow at which the mouths give what fins and exit let through.

Air of one density up to the fins, warmed at them, at pressures that change its density by nothing
else; low speed. Source: energy and mass balance and Bernoulli's equation, DERIVED, with the
losses of `losses`.
"""

from dataclasses import dataclass
from math import sqrt

from scipy.optimize import brentq

from geomgen.air.cooling.losses import entry
from geomgen.air.cooling.parts import AirMouth, AirState, CoolingParts
from geomgen.sizing.formulas.cooling import HEAT_CAPACITY

# Flows are found this near [1], as near as numbers go: a wide mouth's own flow is a small
# difference of large pressures.
NEAR = 1e-15
# Less air [kg/s] than this is none: own choice.
NONE = 1e-6
# Words speak of whole kelvins.
HALF_A_KELVIN = 0.5
# Air flows out through a mouth against its passage's losses and its own dynamic pressure.
OUT_OF_A_MOUTH = 1.0


@dataclass(frozen=True)
class MouthFlow:
    """What goes through one mouth: flow [kg/s], below nought outwards, and its speed [m/s].

    `caught` [Pa] is the pressure that it catches, over the free stream's.
    """

    name: str
    flow: float
    speed: float
    caught: float

    @property
    def words(self) -> str:
        """What the air does there, in words."""
        if self.flow < 0:
            return f"{self.name}: {-self.flow:.3f} kg/s flow out of it, backwards"
        if self.flow == 0:
            return f"{self.name}: nothing flows through it"
        return f"{self.name}: {self.flow:.3f} kg/s come in at {self.speed:.1f} m/s"


@dataclass(frozen=True)
class ThroughFlow:
    """The cooling air in one state.

    `flow` [kg/s] leaves at the exit, nought when it would not go aft at all; `bay` and `behind`
    [Pa] are the pressures ahead of and behind the fins, `outside` [Pa] that outside the exit, all
    over the free stream's. `rise` [K] is that of the air through the fins, None without flow;
    `margin` [K] what is left of the allowed. `exit_speed` [m/s] is the mean over the exit.
    """

    state: AirState
    flow: float
    mouths: tuple[MouthFlow, ...]
    bay: float
    behind: float
    outside: float
    rise: float | None
    margin: float | None
    exit_speed: float
    words: tuple[str, ...]


def mouth_flow(mouth: AirMouth, state: AirState, bay: float) -> MouthFlow:
    """Return what goes through a mouth into a bay at a pressure [Pa] over the free stream's.

    Inwards: caught - bay = rho/2 (losses v^2 + entry (v - V)^2), the last only where the mouth
    draws air in faster than it comes, V along its axis; what is lost of the head across that is
    not caught. A sharp lip loses all of both, by momentum (DERIVED); a rounded one of the first by
    its factor at rest (own choice). Outwards against what it catches.
    """
    caught = mouth.total * state.ram + state.mouth_pull
    resistance, half = mouth.resistance, state.density / 2
    speed = 0.0
    if bay < caught:
        brought = mouth.speed_ratio() * state.speed
        speed = _inwards((caught - bay) / half, resistance, entry(mouth.lip), brought)
    elif bay > caught:
        speed = -sqrt((bay - caught) / half / (resistance + OUT_OF_A_MOUTH))
    return MouthFlow(mouth.name, state.density * speed * mouth.area * 1e-6, speed, caught)


def _inwards(driving: float, losses: float, lip: float, brought: float) -> float:
    """Return the speed [m/s] at which losses v^2 + lip (v - brought)^2 is the driving [m2/s2]."""
    free = sqrt(driving / losses)
    if free <= brought or lip == 0:
        return free
    both = losses + lip
    root = (lip * brought) ** 2 - both * (lip * brought**2 - driving)
    return (lip * brought + sqrt(root)) / both


def fins_drop(parts: CoolingParts, state: AirState, flow: float) -> float:
    """Return the drop [Pa] at the fins of a whole flow [kg/s], the air there half warmed up.

    The drop goes with one over the density; what leaks by is left out of the flow.
    """
    through = flow * (1.0 - parts.leakage)
    if through <= 0:
        return 0.0
    warm = 1.0 + state.heat / (2.0 * HEAT_CAPACITY * state.temperature * through)
    return parts.fins.at(through) * parts.fins.density / state.density * warm


def exit_drop(parts: CoolingParts, state: AirState, flow: float) -> float:
    """Return the pressure [Pa] that pushes a whole flow [kg/s], warmed and mixed, out of the exit.

    Equation: flow^2 / (2 rho (Cd A)^2), rho of the warm air.
    """
    opening = parts.exit.discharge * parts.exit.area * 1e-6
    # Written so that it has no hole at no flow, where the air would warm up without end.
    warmed = flow**2 + flow * state.heat / (HEAT_CAPACITY * state.temperature)
    return warmed / (2.0 * state.density * opening**2)


def solve(parts: CoolingParts, state: AirState) -> ThroughFlow:
    """Return the cooling air of a state; its flow is the one root there is.

    More flow needs more pressure in the bay, and more pressure lets less in: one root.

    >>> from geomgen.air.cooling.parts import AirExit, FinDrop
    >>> from geomgen.air.cooling.losses import passage
    >>> way = passage(2e4, angle=40.0, throat=1.9e4, end=2.6e4, spread=14.0, bay=2e5)
    >>> parts = CoolingParts((AirMouth("left", 2e4, way, caught=0.9),),
    ...     FinDrop((0.3,), (150.0,)), AirExit(2.4e4, 0.9, -0.1))
    >>> found = solve(parts, AirState("climb", 25.0, heat=13000.0, allowed=60.0))
    >>> print(found.words[0])
    climb: 0.327 kg/s of air warm up by 40 K, of 60 K allowed
    """
    outside = parts.exit.pressure * state.ram + state.pull

    def bay(flow: float) -> float:
        return outside + exit_drop(parts, state, flow) + fins_drop(parts, state, flow)

    def miss(flow: float) -> float:
        pressure = bay(flow)
        return sum(mouth_flow(mouth, state, pressure).flow for mouth in parts.mouths) - flow

    if miss(NONE) <= 0:
        return _stalled(parts, state, outside)
    most = 1e-3
    while miss(most) > 0:
        most *= 4.0
    flow = float(brentq(miss, NONE, most, xtol=1e-24, rtol=NEAR))
    return _through(parts, state, flow, bay(flow), outside)


def _through(
    parts: CoolingParts, state: AirState, flow: float, bay: float, outside: float
) -> ThroughFlow:
    """Return a flow with all that follows from it."""
    mouths = tuple(mouth_flow(mouth, state, bay) for mouth in parts.mouths)
    mixed = state.heat / (HEAT_CAPACITY * flow)
    rise = mixed / (1.0 - parts.leakage)
    warm = state.density * state.temperature / (state.temperature + mixed)
    margin = state.allowed - rise
    said = f"{state.name}: {flow:.3f} kg/s of air warm up by {rise:.0f} K, "
    said += f"of {state.allowed:.0f} K allowed"
    words = [said if margin > -HALF_A_KELVIN else f"{said}: {-margin:.0f} K too warm"]
    words += [each.words for each in mouths if each.flow <= 0]
    behind = bay - fins_drop(parts, state, flow)
    speed = flow / (warm * parts.exit.area * 1e-6)
    return ThroughFlow(state, flow, mouths, bay, behind, outside, rise, margin, speed, tuple(words))


def _stalled(parts: CoolingParts, state: AirState, outside: float) -> ThroughFlow:
    """Return that no air goes aft: it would come in at the exit."""
    mouths = tuple(mouth_flow(mouth, state, outside) for mouth in parts.mouths)
    caught = max(each.caught for each in mouths)
    words = f"{state.name}: no air goes aft: {outside:.0f} Pa outside the exit, "
    if any(each.flow < 0 for each in mouths):
        words += "and what comes in at one mouth goes out at another"
    else:
        words += f"and the mouths catch {caught:.0f} Pa at most"
    rise = None if state.heat > 0 else 0.0
    return ThroughFlow(state, 0.0, mouths, outside, outside, outside, rise, None, 0.0, (words,))
