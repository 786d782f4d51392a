"""What a propeller's suction does to the pressure ahead of it: an actuator disc, lightly loaded."""

from math import hypot, pi, sqrt

from geomgen.air.cooling.parts import check


def disc_speed(thrust: float, radius: float, density: float, speed: float) -> float:
    """Return the speed [m/s] that a disc adds at itself.

    thrust [N], radius [mm], density [kg/m3], flight speed [m/s].
    Equation: T = 2 rho A (V + u) u. Source: momentum theory. Status: DERIVED.

    >>> round(disc_speed(500.0, 700.0, 1.225, 0.0), 2)
    11.51
    """
    check("propeller", "thrust", thrust, 0.0, 1e5)
    check("propeller", "radius", radius, 0.0, 1e4, open_below=True)
    check("propeller", "density", density, 0.1, 2.0)
    check("propeller", "speed", speed, 0.0, 200.0)
    area = pi * (radius / 1000.0) ** 2
    return (-speed + sqrt(speed**2 + 2.0 * thrust / (density * area))) / 2.0


def pull(thrust: float, radius: float, density: float, speed: float, ahead: float) -> float:
    """Return the change of pressure [Pa] on the disc's axis at a distance `ahead` [mm] of it.

    As `disc_speed`; what is below nought sucks.
    Equations: u(x) = u (1 + x / sqrt(x^2 + R^2)), x = -ahead; rho/2 (V^2 - (V + u(x))^2).
    Range: ahead of the disc, inside its stream; off the axis and behind a body it is less.
    Source: vortex cylinder and Bernoulli's equation. Status: DERIVED.

    >>> [round(pull(500.0, 700.0, 1.225, 0.0, x), 1) for x in (0.0, 700.0)]
    [-81.2, -7.0]
    """
    check("propeller", "distance ahead", ahead, 0.0, 1e6)
    added = disc_speed(thrust, radius, density, speed) * (1.0 - ahead / hypot(ahead, radius))
    return density / 2.0 * (speed**2 - (speed + added) ** 2)
