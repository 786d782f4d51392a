"""The laminar layer: its momentum thickness by one integral along the line.

Source: Thwaites, Aeronautical Quarterly 1, 1949; for bodies of revolution with the square of the
radius inside the integral (Rott and Crabtree, 1952). Status: MEMORY; the shape and shear by the
fits of Cebeci and Bradshaw, 1977, MEMORY. Against solved wedge flows the momentum thickness is
4.3 % off at most and the shape 5.2 %, for speeds of s^-0.065 to s^1/3
(`tests/reference/test_slow_layer.py`).
"""

from dataclasses import dataclass

import numpy as np

from geomgen.air.slow_layer.edge_speed import FineEdge
from geomgen.arrays import Floats

# theta^2 du/ds / viscosity [1] at which the layer leaves the surface; Thwaites, MEMORY.
LEAVES = -0.09
# Beyond this the fits do not reach, and no steady flow does.
MOST = 0.1
# Total (0.99) over momentum thickness [1] by that number: solved wedge flows, DERIVED. The
# solved ones leave the surface at -0.068 already, so their scale is stretched to -0.09.
PRESSED = np.array([-0.09, -0.077, -0.054, -0.037, 0.0, 0.0333, 0.0613, 0.0854])
FULLNESS = np.array([8.12, 7.54, 7.37, 7.34, 7.39, 7.59, 7.85, 8.14])
AT, WEIGHTS = np.polynomial.legendre.leggauss(4)
PLACES = 0.5 * (AT + 1.0)


@dataclass(frozen=True, eq=False)
class LaminarRun:
    """Momentum thicknesses [mm] and pressure numbers [1] at the stations up to `leaves`.

    `leaves` [mm] is the station of separation, None when the layer stays on to the end.
    """

    thicknesses: Floats
    pressures: Floats
    leaves: float | None


def run(edge: FineEdge) -> LaminarRun:
    """Return the laminar layer [mm] along an edge, from its first station to where it leaves.

    Equation: theta^2 = 0.45 nu / (r^2 u^6) times the integral of r^2 u^5 ds, exact for a speed
    and a radius that run straight between two stations.

    >>> from geomgen.air.slow_layer.edge_speed import EdgeSpeed
    >>> falling = EdgeSpeed.of([0, 500, 1000], [1, 0.5, 0], speed=1.0, viscosity=1e-5)
    >>> round(run(falling.fine()).leaves or 0.0, 1)
    123.1
    """
    speeds, widths, nu = edge.speeds, edge.widths, edge.viscosity
    steps = np.diff(edge.stations)
    squares = np.empty(len(speeds))
    squares[0] = _first(edge)
    grown = squares[0] if speeds[0] > 0 and widths[0] > 0 else 0.0
    for i, step in enumerate(steps):
        ahead, here = speeds[i], speeds[i + 1]
        narrow, wide = widths[i], widths[i + 1]
        speed = (ahead + (here - ahead) * PLACES) / here
        width = (narrow + (wide - narrow) * PLACES) / wide
        gain = 0.5 * step * float(np.sum(WEIGHTS * speed**5 * width**2)) / here
        grown = grown * (ahead / here) ** 6 * (narrow / wide) ** 2 + 0.45 * nu * gain
        squares[i + 1] = grown
        if grown * edge.slopes[i + 1] / nu <= LEAVES:
            squares = squares[: i + 2]
            break
    pressures = squares * edge.slopes[: len(squares)] / nu
    leaves = None
    if pressures[-1] <= LEAVES:
        leaves = float(np.interp(-LEAVES, -pressures[-2:], edge.stations[: len(squares)][-2:]))
    return LaminarRun(np.sqrt(squares), pressures, leaves)


def _first(edge: FineEdge) -> float:
    """Return the first thickness squared [mm2]: none at a sharp edge, some at a stagnation."""
    if edge.speeds[0] > 0:
        return 0.0
    rate = (edge.speeds[1] - edge.speeds[0]) / (edge.stations[1] - edge.stations[0])
    return float(0.45 * edge.viscosity / (rate * (8.0 if edge.widths[0] == 0 else 6.0)))


def shape(pressures: Floats) -> Floats:
    """Return the displacement over the momentum thickness [1] by the pressure number [1].

    >>> [round(float(h), 2) for h in shape(np.array([0.0, -0.09]))]
    [2.61, 3.55]
    """
    x = np.clip(pressures, LEAVES, MOST)
    return np.asarray(np.where(x > 0, 2.61 - 3.75 * x + 5.24 * x**2, 2.088 + 0.0731 / (x + 0.14)))


def shear(pressures: Floats) -> Floats:
    """Return half the friction coefficient times Re of the momentum thickness [1].

    >>> round(float(shear(np.array([0.0]))[0]), 3)
    0.22
    """
    x = np.clip(pressures, LEAVES, MOST)
    falling = 0.22 + 1.402 * x + 0.018 * x / (x + 0.107)
    return np.asarray(np.maximum(np.where(x > 0, 0.22 + 1.57 * x - 1.8 * x**2, falling), 0.0))


def fullness(pressures: Floats) -> Floats:
    """Return the total (0.99 of the speed) over the momentum thickness [1].

    >>> float(fullness(np.array([0.0]))[0])
    7.39
    """
    return np.asarray(np.interp(pressures, PRESSED, FULLNESS))
