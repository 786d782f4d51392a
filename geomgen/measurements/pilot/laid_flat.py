"""How much a curved area is strained when it is laid flat: none where it bends about one axis.

A net of points on the area is laid into the plane so that its edges, rows, columns and both
diagonals, keep their lengths as well as they can by least squares. What the lengths are still off
comes of curvature about two axes (Gaussian), which no sheet takes without stretching.
"""

import numpy as np
from scipy.optimize import least_squares
from scipy.sparse import coo_array

from geomgen.arrays import Floats, Ints


def strain_of(net: Floats) -> float:
    """Return the largest strain [1] of the edges of a net (n, m, 3) [mm] laid flat.

    >>> turn, along = np.meshgrid(np.linspace(0.0, 1.0, 9), np.linspace(0.0, 90.0, 9))
    >>> can = np.stack([along, 99.0 * np.cos(turn), 99.0 * np.sin(turn)], axis=-1)
    >>> bool(strain_of(can) < 1e-3)
    True
    """
    first, second = _edges(*net.shape[:2])
    points = net.reshape(-1, 3)
    lengths = np.linalg.norm(points[second] - points[first], axis=1)
    count = len(lengths)
    rows = np.repeat(np.arange(count), 4)
    columns = np.stack([2 * first, 2 * first + 1, 2 * second, 2 * second + 1], axis=1)

    def off(flat: Floats) -> Floats:
        way = flat.reshape(-1, 2)[second] - flat.reshape(-1, 2)[first]
        return np.asarray(np.linalg.norm(way, axis=1) / lengths - 1.0)

    def slope(flat: Floats) -> coo_array:
        way = flat.reshape(-1, 2)[second] - flat.reshape(-1, 2)[first]
        size = np.maximum(np.linalg.norm(way, axis=1), 1e-12)
        unit = way / (size * lengths)[:, None]
        values = np.concatenate([-unit, unit], axis=1)
        shape = (count, 2 * len(points))
        return coo_array((values.reshape(-1), (rows, columns.reshape(-1))), shape=shape).tocsr()

    found = least_squares(off, _unrolled(net).reshape(-1), jac=slope, tr_solver="lsmr", x_scale=1.0)
    return float(np.abs(off(found.x)).max())


def turning(net: Floats) -> float:
    """Return the sharpest curvature [1/mm] along rows and columns of a net (n, m, 3) [mm]."""
    most = 0.0
    for lines in (net, net.swapaxes(0, 1)):
        step = np.diff(lines, axis=1)
        size = np.linalg.norm(step, axis=-1)
        unit = step / size[..., None]
        bend = np.linalg.norm(np.diff(unit, axis=1), axis=-1)
        most = max(most, float((2 * bend / (size[:, 1:] + size[:, :-1])).max(initial=0.0)))
    return most


def _edges(n: int, m: int) -> tuple[Ints, Ints]:
    number = np.arange(n * m).reshape(n, m)
    pairs = (
        (number[:, :-1], number[:, 1:]),
        (number[:-1], number[1:]),
        (number[:-1, :-1], number[1:, 1:]),
        (number[:-1, 1:], number[1:, :-1]),
    )
    first, second = (np.concatenate([pair[k].reshape(-1) for pair in pairs]) for k in (0, 1))
    return first, second


def _unrolled(net: Floats) -> Floats:
    """Return a first guess (n, m, 2) [mm]: each row straight, about the middle column."""
    middle = net.shape[1] // 2
    along = np.linalg.norm(np.diff(net[:, middle], axis=0), axis=-1)
    across = np.linalg.norm(np.diff(net, axis=1), axis=-1)
    x = np.concatenate([[0.0], np.cumsum(along)])
    y = np.concatenate([np.zeros((len(net), 1)), np.cumsum(across, axis=1)], axis=1)
    return np.stack([np.broadcast_to(x[:, None], y.shape), y - y[:, [middle]]], axis=-1)
