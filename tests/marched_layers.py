"""Laminar layers solved from the boundary-layer equations themselves, station by station.

In the variables of Falkner and Skan, eta = y sqrt(u / (nu s)), with Mangler's term for bodies of
revolution; implicit, of the second order across and the first along the line.
"""

from collections.abc import Callable

import numpy as np

HIGH, POINTS = 9.0, 101


def leaving(
    speed: Callable, slope: Callable, stations: np.ndarray, radius_slope: Callable = lambda s: 0 * s
) -> float:
    """Return where the wall's shear is nought: `speed`, its `slope`, and s r'/r by the station.

    The first station is the stagnation point or the edge. The shear goes like the root of the
    distance (Goldstein), so its square is drawn on to nought.
    """
    eta, step = np.linspace(0.0, HIGH, POINTS, retstep=True)
    one = np.ones(POINTS)
    first = (np.diag(one[1:], 1) - np.diag(one[1:], -1)) / (2 * step)
    second = (np.diag(one[1:], 1) - 2 * np.diag(one) + np.diag(one[1:], -1)) / step**2
    summed = step * (np.tril(np.ones((POINTS, POINTS))) - 0.5 * np.diag(one))
    summed[:, 0] -= 0.5 * step
    summed[0] = 0.0
    u = u_old = np.tanh(0.6 * eta)
    squares = []
    for i, s in enumerate(stations):
        at = max(s, 1e-9)
        m = at * slope(at) / speed(at)
        grown = 0.5 * (m + 1.0) + radius_slope(at)
        along = s / (s - stations[i - 1]) if i else 0.0
        f_old = summed @ u_old
        for _ in range(30):
            f, shear = summed @ u, first @ u
            rest = second @ u + grown * f * shear + m * (1 - u**2)
            rest -= along * (u * (u - u_old) - shear * (f - f_old))
            slopes = second + grown * (shear[:, None] * summed + f[:, None] * first)
            slopes -= np.diag(2 * m * u + along * (2 * u - u_old))
            slopes += along * ((f - f_old)[:, None] * first + shear[:, None] * summed)
            for end, value in ((0, 0.0), (-1, 1.0)):
                slopes[end] = 0.0
                slopes[end, end] = 1.0
                rest[end] = u[end] - value
            change = np.linalg.solve(slopes, rest)
            u = u - change
            if np.max(np.abs(change)) < 1e-9:
                break
        wall = (-3 * u[0] + 4 * u[1] - u[2]) / (2 * step)
        if (
            not np.all(np.isfinite(u))
            or wall < 0.05 * (squares[0] if squares else 1.0)
            or np.max(np.abs(change)) > 1e-6
        ):
            break
        squares.append(wall)
        u_old = u
    near, last = np.array(squares[-2:]) ** 2
    reached = stations[: len(squares)]
    return float(reached[-1] + (reached[-1] - reached[-2]) * last / (near - last))
