"""Cooling air: a rule of thumb for the inlet, the exit by ratio, and the exit by heat and pressure.

None of this replaces a test with temperatures read at the cylinder heads.
"""

from dataclasses import dataclass
from math import sqrt

from geomgen import units

# The rule's own constant, bhp per (ft^2 ft/s); common practice, source not checked.
RULE = 2.2
# Dry air: specific heat [J/(kg K)], gas constant [J/(kg K)], ratio of specific heats [1].
HEAT_CAPACITY = 1005.0
GAS = 287.05
GAMMA = 1.4

HORSEPOWER = units.DIMENSIONS["power"].factors["bhp"]
FOOT_PER_SECOND = units.DIMENSIONS["speed"].factors["ft/s"]
SQUARE_FOOT = units.DIMENSIONS["area"].factors["ft^2"]


def inlet_area(power: float, speed: float) -> float:
    """Return the inlet area [mm2] for a shaft power [W] at a climb speed [m/s].

    Equation: A [ft^2] = P [bhp] / (2.2 V [ft/s]). The speed goes in as ft/s; knots or mph fed in
    as they stand are the error that builders make.
    Range: air-cooled piston engines of small aeroplanes in the climb; ValueError for a speed that
    is not positive.
    Source: inlet rule of thumb, source not checked. Status: PRACTICE.

    >>> area = inlet_area(40 * HORSEPOWER, 50 * 1852 / 3600)
    >>> units.both(area, "area")
    '31.02 in^2 / 200.2 cm^2'
    """
    if speed <= 0:
        raise ValueError(f"the climb speed must be above zero, not {speed} m/s")
    square_feet = (power / HORSEPOWER) / (RULE * speed / FOOT_PER_SECOND)
    return square_feet * SQUARE_FOOT


def inlet_band(power: float, speed: float, band: float) -> tuple[float, float] | None:
    """Return the inlet areas [mm2] at the fast and the slow end of a speed band [m/s].

    None when the band reaches down to standstill: the rule then has no upper end.
    Source and status: as `inlet_area`.

    >>> [round(area / 100, 1) for area in inlet_band(29828, 25.7, 2.06) or ()]
    [185.5, 217.8]
    """
    if band >= speed:
        return None
    return inlet_area(power, speed + band), inlet_area(power, speed - band)


def exit_area(inlet: float, ratio: float) -> float:
    """Return the exit area [mm2] as a ratio [1] of the inlet area [mm2].

    Equation: Ae = ratio x A.
    Source: common practice says 0.8, builders' own figures run from 1 to 1.3. Status: PRACTICE,
    disputed; compare with `exit_estimate`.

    >>> exit_area(20000.0, 0.8)
    16000.0
    """
    return ratio * inlet


def ram_pressure(density: float, speed: float) -> float:
    """Return the ram (dynamic) pressure [Pa] at an air density [kg/m3] and a speed [m/s].

    Equation: q = rho V^2 / 2. Range: well below the speed of sound.
    Source: Bernoulli's equation. Status: DERIVED.

    >>> round(ram_pressure(1.225, 25.0), 1)
    382.8
    """
    return density * speed**2 / 2


def mass_flow(heat: float, rise: float) -> float:
    """Return the air [kg/s] that carries a heat [W] away when it warms up by `rise` [K].

    Equation: mdot = Q / (cp dT), cp = 1005 J/(kg K).
    Source: energy balance of dry air. Status: DERIVED.

    >>> round(mass_flow(18000.0, 60.0), 4)
    0.2985
    """
    return heat / (HEAT_CAPACITY * rise)


def air_temperature(sound_speed: float) -> float:
    """Return the air's temperature [K] from its speed of sound [m/s].

    Equation: T = a^2 / (gamma R), gamma 1.4, R 287.05 J/(kg K).
    Source: speed of sound of an ideal gas. Status: DERIVED.

    >>> round(air_temperature(340.29), 1)
    288.1
    """
    return sound_speed**2 / (GAMMA * GAS)


@dataclass(frozen=True)
class ExitEstimate:
    """The exit by heat and pressure.

    `flow` [kg/s], `ram` [Pa], `left` [Pa] is what remains to drive the air out, `speed_ratio` [1]
    the exit speed over the flight speed, `area` [mm2]; the last two are None when nothing is left.
    `words` says it in a sentence.
    """

    flow: float
    ram: float
    left: float
    speed_ratio: float | None
    area: float | None
    words: str


def exit_estimate(
    *,
    heat: float,
    rise: float,
    density: float,
    speed: float,
    sound_speed: float,
    recovery: float,
    drop: float,
    exit_pressure: float,
) -> ExitEstimate:
    """Return the exit area that engine heat and pressure need, independent of the inlet rule.

    Equations: mdot = Q / (cp dT); Ve/V = sqrt(Cp recovered - dp/q - Cp exit); Ae = mdot/(rho Ve),
    rho that of the warmed air at the same pressure, rho T/(T + dT).
    heat [W], rise [K], density [kg/m3], speed [m/s], sound_speed [m/s], recovery [1], drop [Pa],
    exit_pressure [1].
    Range: low speed; a first estimate, as good as the drop and the heat that go in.
    Source: energy balance and Bernoulli's equation. Status: DERIVED.

    >>> estimate = exit_estimate(heat=18000.0, rise=60.0, density=1.225, speed=25.0,
    ...     sound_speed=340.29, recovery=0.7, drop=400.0, exit_pressure=-0.1)
    >>> estimate.area is None
    True
    >>> print(estimate.words)
    the ram pressure can't push this flow: at 25.0 m/s q is 382.8 Pa, of which inlet and exit \
make 306.2 Pa, and the baffles take 400.0 Pa: 93.8 Pa too much
    """
    ram = ram_pressure(density, speed)
    flow = mass_flow(heat, rise)
    driving = (recovery - exit_pressure) * ram
    left = driving - drop
    if left <= 0:
        words = (
            f"the ram pressure can't push this flow: at {speed:.1f} m/s q is {ram:.1f} Pa, of "
            f"which inlet and exit make {driving:.1f} Pa, and the baffles take {drop:.1f} Pa: "
            f"{-left:.1f} Pa too much"
        )
        return ExitEstimate(flow, ram, left, None, None, words)
    ratio = sqrt(left / ram)
    temperature = air_temperature(sound_speed)
    warm = density * temperature / (temperature + rise)
    area = flow / (warm * ratio * speed) * 1e6
    words = (
        f"engine heat and pressure need an exit of {units.both(area, 'area')}: {flow:.3f} kg/s "
        f"of air leave at {ratio:.2f} of the flight speed (q {ram:.1f} Pa, {left:.1f} Pa of it "
        "left to drive the air out)"
    )
    return ExitEstimate(flow, ram, left, ratio, area, words)
