"""The states of flight as plain figures: speed, lift, thrust, and the cooling air to begin with."""

from math import pi

from geomgen.kernel.plain import FlightState
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.formulas.cooling import mass_flow

# Standard gravity [m/s2].
GRAVITY = 9.80665
CLIMB, LEVEL, GLIDE, STANDING = "climb", "level", "glide", "standing"


def flight_states(p: Parameters) -> tuple[FlightState, ...]:
    """Return climb, level flight, glide, and standing with the propeller turning.

    None without [air].
    Speeds in [m/s], lift and thrust in [N], density in [kg/m3]. The lift of all is the weight: the
    climb and the glide are taken for flat.
    """
    if p.air is None:
        return ()
    density, lift = p.flight.air_density, p.air.mass * GRAVITY
    heat = p.cooling.heat_fraction * p.powerplant.power
    through = mass_flow(heat, p.cooling.air_rise) / density if p.scoops else 0.0
    climb, level = p.flight.climb_speed, p.flight.level_speed
    useful = p.air.propeller_efficiency * p.powerplant.power
    glide = p.air.glide_speed or climb
    return (
        FlightState(CLIMB, climb, lift, useful / climb, density, through),
        FlightState(LEVEL, level, lift, useful / level, density, through),
        FlightState(GLIDE, glide, lift, 0.0, density, p.air.glide_heat * through),
        FlightState(STANDING, 0.0, 0.0, static_thrust(p), density, through),
    )


def static_thrust(p: Parameters) -> float:
    """Return the thrust [N] standing still: T = (2 rho A P^2)^(1/3), of the power's useful share.

    Source: momentum theory of an ideal propeller. Status: DERIVED.
    """
    assert p.air is not None
    disc = pi * (p.propeller.diameter / 2000.0) ** 2
    power = p.air.static_merit * p.powerplant.power
    return float((2.0 * p.flight.air_density * disc * power**2) ** (1.0 / 3.0))
