"""A mouth at an angle to the air: which angle, how far it may be off, what the mouth loses by it.

A sharp lip bears no force along the mouth's axis. So the momentum along it is kept, and of air that
comes at V under an angle and goes in at v the head of the difference of both velocities is lost:
the head across, (V sin)^2, and what `air/cooling/balance.py` has for v over V cos. A lip that is
round enough loses none of it. Source: momentum (DERIVED), for air straight from ahead as in
Fradenburgh and Wyatt, NACA TN 3004 (abstract read).
"""

from math import asin, degrees, radians, sin, sqrt

import numpy as np

from geomgen.arrays import Floats


def askew(air: Floats, normal: Floats) -> float:
    """Return the angle [deg] between the air and the normal of a mouth's plane, which points in.

    0 where it comes straight in, 90 where it passes by, up to 180 where it comes from behind.

    >>> askew(np.array([2.0, 0.0, 0.0]), np.array([1.0, 0.0, 1.0]))
    45.0
    >>> askew(np.array([2.0, 0.0, 0.0]), np.array([-1.0, 0.0, 1.0]))
    135.0
    """
    along, across = float(air @ normal), float(np.linalg.norm(np.cross(air, normal)))
    return round(float(np.degrees(np.arctan2(across, along))), 9)


def turned(speed: float, off: float) -> float:
    """Return how much [deg] at most what moves a pressure coefficient by `off` [1] turns the air.

    `speed` [1] is that over the stream's. What it adds to the speed, sqrt(speed^2 + off) less the
    speed, may all stand across it.

    >>> turned(1.0, 0.0), round(turned(1.0, 0.21), 2), turned(0.1, 0.5)
    (0.0, 5.74, 90.0)
    """
    added = sqrt(speed**2 + off) - speed
    return degrees(asin(added / speed)) if added < speed else 90.0


def head_across(angle: float) -> float:
    """Return the share [1] of the dynamic pressure that stands across a mouth at an angle [deg].

    Equation: sin^2; all of it from 90 deg on. Source: as above. Status: DERIVED.

    >>> head_across(0.0), round(head_across(30.0), 9), head_across(120.0)
    (0.0, 0.25, 1.0)
    """
    return sin(radians(angle)) ** 2 if angle < 90.0 else 1.0
