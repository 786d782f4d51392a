"""The exit that a state needs: so large that the air warms up by what is allowed and no more."""

from dataclasses import dataclass
from math import sqrt

from scipy.optimize import brentq

from geomgen.air.cooling.balance import fins_drop, mouth_flow
from geomgen.air.cooling.parts import AirState, CoolingParts
from geomgen.errors import ParameterError
from geomgen.sizing.formulas.cooling import HEAT_CAPACITY
from geomgen.units import both


@dataclass(frozen=True)
class ExitNeed:
    """The exit `area` [mm2] of a state, None when none is large enough.

    `flow` [kg/s] is what takes the heat away; `given` [Pa] what the mouths leave of their pressure
    in the bay at it, `left` [Pa] what of that drives the air out behind the fins.
    """

    area: float | None
    flow: float
    given: float
    left: float
    words: str


def flow_needed(parts: CoolingParts, state: AirState) -> float:
    """Return the flow [kg/s] through the whole exit that keeps to the allowed rise at the fins."""
    if state.heat <= 0:
        raise ParameterError(f"state {state.name}: no heat to take away", written=f"{state.heat} W")
    return state.heat / (HEAT_CAPACITY * state.allowed * (1.0 - parts.leakage))


def pressure_given(parts: CoolingParts, state: AirState, flow: float) -> float:
    """Return the pressure [Pa] in the bay, over the free stream's, at which a flow [kg/s] comes in.

    All mouths share it; some may let air out at it.
    """

    def miss(pressure: float) -> float:
        return sum(mouth_flow(mouth, state, pressure).flow for mouth in parts.mouths) - flow

    most = max(mouth_flow(mouth, state, 0.0).caught for mouth in parts.mouths)
    step = 1.0
    while miss(most - step) < 0:
        step *= 4.0
    return float(brentq(miss, most - step, most, xtol=1e-9))


def exit_needed(parts: CoolingParts, state: AirState) -> ExitNeed:
    """Return the exit area that would be right for a state; the exit's own area is not read.

    Equation: A = flow / (Cd sqrt(2 rho left)), rho of the warm air.
    """
    flow = flow_needed(parts, state)
    given = pressure_given(parts, state, flow)
    fins = fins_drop(parts, state, flow)
    outside = parts.exit.pressure * state.ram + state.pull
    left = given - fins - outside
    if left <= 0:
        words = (
            f"{state.name}: no exit is large enough: {flow:.3f} kg/s leave {given:.0f} Pa in the "
            f"bay, {outside:.0f} Pa stand outside the exit, and the fins take {fins:.0f} Pa: "
            f"{-left:.0f} Pa too much"
        )
        return ExitNeed(None, flow, given, left, words)
    mixed = state.heat / (HEAT_CAPACITY * flow)
    warm = state.density * state.temperature / (state.temperature + mixed)
    area = flow / (parts.exit.discharge * sqrt(2.0 * warm * left)) * 1e6
    words = (
        f"{state.name}: {flow:.3f} kg/s need an exit of {both(area, 'area')}, with {left:.0f} Pa "
        "left behind the fins to drive them out"
    )
    return ExitNeed(area, flow, given, left, words)
