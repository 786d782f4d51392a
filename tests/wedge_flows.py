"""Similarity flows solved on their own: wedges (Falkner and Skan), the truth for laminar layers."""

from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq


@dataclass(frozen=True)
class Wedge:
    """Of a speed of s^m: theta sqrt(u / (nu s)), H, theta^2 u'/nu, Cf/2 Re, total/theta."""

    momentum: float
    shape: float
    pressure: float
    shear: float
    fullness: float


def wedge(m: float, low: float, high: float, end: float = 9.0) -> Wedge:
    """Solve f''' + f f'' + 2m/(m+1) (1 - f'^2) = 0 from the wall, f''(0) between low and high."""
    beta = 2 * m / (m + 1)

    def rates(_, y):
        return [y[1], y[2], -y[0] * y[2] - beta * (1 - y[1] ** 2)]

    def miss(curvature):
        return solve_ivp(rates, (0, end), [0, 0, curvature], rtol=1e-7, atol=1e-8).y[1, -1] - 1

    curvature = brentq(miss, low, high, xtol=1e-8)
    found = solve_ivp(rates, (0, end), [0, 0, curvature], rtol=1e-8, atol=1e-9, dense_output=True)
    eta = np.linspace(0, end, 3001)
    speed = found.sol(eta)[1]
    inside = slice(0, int(np.argmax(speed > 0.9998)) + 1)
    eta, speed = eta[inside], speed[inside]
    displacement = np.trapezoid(1 - speed, eta)
    momentum = np.trapezoid(speed * (1 - speed), eta)
    scale = np.sqrt(2 / (m + 1))
    return Wedge(
        momentum * scale,
        displacement / momentum,
        m * (momentum * scale) ** 2,
        curvature * momentum,
        float(np.interp(0.99, speed, eta)) / momentum,
    )
