"""Tip speed of a propeller, and the chord that the gap to the trailing edge is counted in."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, pi


def rotational_tip_speed(diameter: float, rpm: float) -> float:
    """Return the tip's speed round the shaft [m/s] of a diameter [mm] at a rotation [rpm].

    Equation: U = pi D n, n in revolutions a second.
    Source: kinematics of a point on a circle. Status: DERIVED.

    >>> round(rotational_tip_speed(1400.0, 2500.0), 2)
    183.26
    """
    return pi * diameter / 1000 * rpm / 60


def helical_tip_speed(diameter: float, rpm: float, speed: float) -> float:
    """Return the tip's speed through the air [m/s] with the flight speed [m/s] across its path.

    Equation: W = sqrt((pi D n)^2 + V^2). Diameter [mm], rotation [rpm].
    Source: kinematics of a helix; the inflow that the propeller itself makes is left out.
    Status: DERIVED.

    >>> round(helical_tip_speed(1400.0, 2500.0, 25.0), 2)
    184.96
    """
    return hypot(rotational_tip_speed(diameter, rpm), speed)


def tip_mach(diameter: float, rpm: float, speed: float, sound_speed: float) -> float:
    """Return the Mach number [1] of the tip.

    Equation: M = sqrt((pi D n)^2 + V^2) / a. Diameter [mm], rotation [rpm], speeds [m/s].
    Source: definition of the Mach number. Status: DERIVED.

    >>> round(tip_mach(1400.0, 2500.0, 25.0, 340.29), 4)
    0.5435
    """
    return helical_tip_speed(diameter, rpm, speed) / sound_speed


def chord_at(rows: Sequence[tuple[float, float]], buttock_line: float) -> float:
    """Return the chord [mm] at a buttock line [mm] between rows of (buttock line, chord) [mm].

    Straight between rows; outside of them the nearest one counts.
    Source: plane geometry of straight-tapered panels. Status: DERIVED.

    >>> chord_at([(0.0, 1500.0), (4000.0, 900.0)], 1000.0)
    1350.0
    """
    at = abs(buttock_line)
    if at <= rows[0][0]:
        return rows[0][1]
    for (inner, chord), (outer, next_chord) in pairwise(rows):
        if inner <= at <= outer and outer > inner:
            return chord + (next_chord - chord) * (at - inner) / (outer - inner)
    return rows[-1][1]
