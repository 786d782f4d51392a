"""Lift against the angle of attack: slope, neutral point, the angle that a lift needs."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, degrees, radians, sin

from scipy.optimize import brentq

from geomgen.air.potential.loads import drag_and_lift, pressure_loads, wake_loads
from geomgen.air.potential.onsets import AFT, UP
from geomgen.air.potential.solution import Solution
from geomgen.errors import GeometryError

# Slopes are taken over this much [deg] both ways; they are even there. Own choice.
STEP = 0.5
STEEPEST = 30.0


@dataclass(frozen=True)
class Reference:
    """What coefficients are made by: area [mm2] of both sides, chord [mm], moments about [mm]."""

    area: float
    chord: float
    about: tuple[float, float, float]


@dataclass(frozen=True)
class Coefficients:
    """Of lift by the wake and by pressure, of moment nose-up, of induced drag [1].

    `normal` is the pressure's force straight up on the machine, whichever way the stream comes.
    """

    lift: float
    pressure_lift: float
    normal: float
    moment: float
    induced_drag: float


@dataclass(frozen=True)
class AttackSlopes:
    """At an angle of attack: slopes of lift (by the wake) and moment [1/rad], the neutral point.

    `neutral_point` [mm] is the station where the moment does not change with the lift, both by
    pressure; `pressure_slope` [1/rad] is that lift's.
    """

    lift: float
    pressure_slope: float
    moment: float
    neutral_point: float


def stream(speed: float, attack: float) -> dict[str, float]:
    """Return the strengths of the onsets AFT and UP for a speed [m/s] and an attack [deg].

    >>> stream(10.0, 90.0)["up"]
    10.0
    """
    return {AFT.name: speed * cos(radians(attack)), UP.name: speed * sin(radians(attack))}


def coefficients(
    solution: Solution,
    attack: float,
    by: Reference,
    speed: float = 1.0,
    others: Mapping[str, float] | None = None,
) -> Coefficients:
    """Return coefficients at an attack [deg] and a speed [m/s] with other onsets at strengths.

    The solution must hold AFT and UP.
    """
    flow = solution.flow({**(others or {}), **stream(speed, attack)})
    whole = 0.5 * speed**2 * by.area * 1e-6
    loads, behind = pressure_loads(flow, 1.0, by.about), wake_loads(flow, 1.0)
    return Coefficients(
        drag_and_lift(behind.force, flow)[1] / whole,
        drag_and_lift(loads.force, flow)[1] / whole,
        float(loads.force[2]) / whole,
        float(loads.moment[1]) / whole / by.chord,
        behind.induced_drag / whole,
    )


def slopes_at(
    solution: Solution,
    attack: float,
    by: Reference,
    speed: float = 1.0,
    others: Mapping[str, float] | None = None,
) -> AttackSlopes:
    """Return how lift and moment change with the attack [deg] at a speed [m/s]."""
    low, high = (coefficients(solution, attack + s, by, speed, others) for s in (-STEP, STEP))
    over = radians(2 * STEP)
    normal, moment = (high.normal - low.normal) / over, (high.moment - low.moment) / over
    if normal == 0:
        raise GeometryError("the lift does not change with the attack", step="neutral point")
    return AttackSlopes(
        (high.lift - low.lift) / over,
        (high.pressure_lift - low.pressure_lift) / over,
        moment,
        by.about[0] - by.chord * moment / normal,
    )


def attack_for(
    solution: Solution,
    lift: float,
    by: Reference,
    speed: float = 1.0,
    others: Mapping[str, float] | None = None,
) -> float:
    """Return the attack [deg] at which the lift's coefficient, by the wake, is `lift` [1]."""

    def missing(attack: float) -> float:
        return coefficients(solution, degrees(attack), by, speed, others).lift - lift

    ends = radians(STEEPEST)
    if missing(-ends) * missing(ends) > 0:
        raise GeometryError(
            f"no attack within {STEEPEST:.0f} deg gives a lift coefficient of {lift:.2f}",
            step="attack",
        )
    return degrees(float(brentq(missing, -ends, ends, xtol=1e-10)))
