"""The turbulent layer: momentum and the air that it draws in, and a second way for the band.

Source: Head, R&M 3152, 1958, with the fits of Cebeci and Bradshaw, 1977 (read in lecture notes on
the method; PUBLISHED), and the friction law of Ludwieg and Tillmann, NACA TM 1285 (PUBLISHED).
"""

from dataclasses import dataclass
from math import log

import numpy as np

from geomgen.air.slow_layer.edge_speed import FineEdge
from geomgen.arrays import Floats

# The shape [1] of a layer that has just turned turbulent: common practice.
BEGINS = 1.4
# The shapes [1] between which it leaves the surface; MEMORY (Head's method: 1.8 to 2.4).
MAY_LEAVE, LEAVES = 1.8, 2.4
# The fullest shape [1] of entrainment that the fits reach.
MOST = 16.0
# A step is at most so many momentum thicknesses, and changes the speed by so much [1]: own choice.
STRIDE, CHANGE = 20.0, 0.05
MANY = 2000


@dataclass(frozen=True, eq=False)
class TurbulentRun:
    """Momentum thicknesses [mm] and entrainment shapes [1] at the first stations of an edge.

    `may_leave` and `leaves` [mm] are where the shape passes 1.8 and 2.4, None when it does not.
    """

    thicknesses: Floats
    entrainments: Floats
    may_leave: float | None
    leaves: float | None


def entrainment(shape: float) -> float:
    """Return (total - displacement) / momentum thickness [1] of a shape [1].

    >>> round(entrainment(1.4), 2)
    7.18
    """
    if shape <= 1.6:
        return float(3.3 + 0.8234 * max(shape - 1.1, 1e-3) ** -1.287)
    return float(3.3 + 1.5501 * (shape - 0.6778) ** -3.064)


def shape(entrained: float) -> float:
    """Return the shape [1] (displacement over momentum thickness) of an entrainment shape [1].

    >>> round(shape(entrainment(1.4)), 6), round(shape(entrainment(2.0)), 6)
    (1.4, 2.0)
    """
    over = max(entrained - 3.3, 1e-3)
    if entrained >= 5.3:
        return float(1.1 + (0.8234 / over) ** (1.0 / 1.287))
    return float(0.6778 + (1.5501 / over) ** (1.0 / 3.064))


def friction(shape_here: float, reynolds: float) -> float:
    """Return the friction coefficient [1] by shape [1] and Re of the momentum thickness [1].

    Equation: 0.246 x 10^(-0.678 H) Re^-0.268.
    Source: Ludwieg and Tillmann, NACA TM 1285. Status: PUBLISHED.

    >>> round(friction(1.3, 10000.0), 5)
    0.00274
    """
    return float(0.246 * 10 ** (-0.678 * shape_here) * reynolds**-0.268)


def run(edge: FineEdge, thickness: float, shape_first: float = BEGINS) -> TurbulentRun:
    """Return the layer from the first station on, where it is `thickness` [mm] of momentum.

    `shape_first` [1] is its shape there. Equations: d theta/ds = Cf/2 - (H + 2) theta u'/u -
    theta r'/r; d(u r theta H1)/ds = u r F, F = 0.0306 (H1 - 3)^-0.6169.

    >>> from geomgen.air.slow_layer.edge_speed import EdgeSpeed
    >>> plate = EdgeSpeed.of([0.0, 2000.0], [1.0, 1.0], speed=25.0, viscosity=1.46e-5)
    >>> round(float(run(plate.fine(), 0.2).thicknesses[-1]), 2)
    3.5
    """
    thicknesses, entrainments = [thickness], [entrainment(shape_first)]
    shapes = [shape_first]
    steps = np.diff(edge.stations)
    for i, step in enumerate(steps):
        state = (thicknesses[-1], entrainments[-1])
        state = _across(edge, i, float(step), state)
        thicknesses.append(state[0])
        entrainments.append(state[1])
        shapes.append(shape(state[1]))
        if shapes[-1] >= LEAVES:
            break
    at = edge.stations[: len(shapes)]
    found = np.array(shapes)
    return TurbulentRun(
        np.array(thicknesses),
        np.array(entrainments),
        _passed(at, found, MAY_LEAVE),
        _passed(at, found, LEAVES),
    )


def _across(edge: FineEdge, i: int, step: float, state: tuple[float, float]) -> tuple[float, float]:
    """Return the layer at the end of one interval, in as many steps as it needs."""
    first, last = float(edge.speeds[i]), float(edge.speeds[i + 1])
    narrow, wide = float(edge.widths[i]), float(edge.widths[i + 1])
    speed_rate, width_rate = (last - first) / step, (wide - narrow) / step
    change = max(abs(log(last / first)), abs(log(wide / narrow)))
    many = int(min(MANY, 1 + max(step / (STRIDE * state[0]), change / CHANGE)))
    h = step / many

    def rates(done: float, theta: float, entrained: float) -> tuple[float, float]:
        theta = max(theta, 1e-12)
        entrained = min(max(entrained, 3.32), MOST)
        speed = first + speed_rate * done
        pressed, spread = speed_rate / speed, width_rate / (narrow + width_rate * done)
        full = shape(entrained)
        half = 0.5 * friction(full, max(speed * theta / edge.viscosity, 1.0))
        drawn = 0.0306 * (entrained - 3.0) ** -0.6169
        growth = half - ((full + 2.0) * pressed + spread) * theta
        return growth, (drawn - entrained * (half - (full + 1.0) * pressed * theta)) / theta

    theta, entrained = state
    for k in range(many):
        at = k * h
        a = rates(at, theta, entrained)
        b = rates(at + h / 2, theta + h / 2 * a[0], entrained + h / 2 * a[1])
        c = rates(at + h / 2, theta + h / 2 * b[0], entrained + h / 2 * b[1])
        d = rates(at + h, theta + h * c[0], entrained + h * c[1])
        theta = max(theta + h / 6 * (a[0] + 2 * b[0] + 2 * c[0] + d[0]), 1e-12)
        entrained += h / 6 * (a[1] + 2 * b[1] + 2 * c[1] + d[1])
        entrained = min(max(entrained, 3.32), MOST)
        if shape(entrained) >= LEAVES:
            break
    return theta, entrained


def _passed(stations: Floats, shapes: Floats, limit: float) -> float | None:
    over = np.flatnonzero(shapes >= limit)
    if not len(over):
        return None
    i = int(over[0])
    if i == 0:
        return float(stations[0])
    return float(np.interp(limit, shapes[i - 1 : i + 1], stations[i - 1 : i + 1]))


def by_one_integral(edge: FineEdge, thickness: float) -> Floats:
    """Return the momentum thicknesses [mm] a second way, shape and separation left out.

    Equation: theta^1.25 (u/nu)^0.25 u^4 r^1.25 = what it was + 0.016 times the integral of
    u^4 r^1.25 ds. Buri, 1931. Status: MEMORY; on a flat plate it is the one-seventh law.

    >>> plate = FineEdge(*np.array([[0.0, 1000.0], [20.0, 20.0], [0.0, 0.0], [1.0, 1.0]]), 0.015)
    >>> round(float(by_one_integral(plate, 0.0)[-1]) * (20 * 1000 / 0.015) ** 0.2 / 1000, 4)
    0.0366
    """
    u, r, nu = edge.speeds, edge.widths, edge.viscosity
    scale = float(np.max(u))
    inner = (u / scale) ** 4 * r**1.25
    grown = np.concatenate(
        [[0.0], np.cumsum(0.5 * (inner[1:] + inner[:-1]) * np.diff(edge.stations))]
    )
    weight = (u / nu) ** 0.25 * inner
    return np.asarray(((thickness**1.25 * weight[0] + 0.016 * grown) / weight) ** 0.8)
