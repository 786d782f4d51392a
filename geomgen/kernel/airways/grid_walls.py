"""A grid of cells in space, and the walls of meshes that part neighbouring cells.

Whether a wall stands between two cells is told along the line that joins their middles, whatever
the wall's thickness: a closed skin lets no way of the grid through it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geomgen.arrays import Floats, Ints

Owners = NDArray[np.int16]
# A line that meets the side of a triangle meets the triangle, in shares of a cell's area.
ON_SIDE = 1e-9


@dataclass(frozen=True)
class AirGrid:
    """Cubes of `step` [mm] from the corner `low` [mm] on, as many along x, y and z as `counts`."""

    low: tuple[float, float, float]
    step: float
    counts: tuple[int, int, int]

    def middles(self) -> tuple[Floats, Floats, Floats]:
        """Return x, y and z of the cells' middles [mm], each (n, 1, 1) along its own axis.

        >>> [axis.shape for axis in AirGrid((0.0, 0.0, 0.0), 2.0, (3, 4, 5)).middles()]
        [(3, 1, 1), (1, 4, 1), (1, 1, 5)]
        """
        x, y, z = (
            np.asarray(low + self.step * (np.arange(count) + 0.5), dtype=np.float64)
            for low, count in zip(self.low, self.counts, strict=True)
        )
        return x[:, None, None], y[None, :, None], z[None, None, :]

    @property
    def high(self) -> tuple[float, float, float]:
        """Return the corner across from `low` [mm]."""
        x, y, z = (
            low + self.step * count for low, count in zip(self.low, self.counts, strict=True)
        )
        return x, y, z


def walls_between(grid: AirGrid, corners: Sequence[Floats]) -> tuple[Owners, Owners, Owners]:
    """Return for each axis what stands between each cell and the next one along it.

    `corners` are the triangles (m, 3, 3) [mm] of each body. An array along an axis is one shorter
    there than the grid; 0 is nothing, k the k-th body.

    >>> wall = np.array([[[3.5, -9.0, -9.0], [3.5, 99.0, -9.0], [3.5, -9.0, 99.0]]])
    >>> x, y, z = walls_between(AirGrid((0.0, 0.0, 0.0), 2.0, (3, 2, 2)), [wall])
    >>> x[:, 0, 0].tolist(), int(y.max()), int(z.max())
    ([0, 1], 0, 0)
    """
    found = []
    for axis in range(3):
        shape = list(grid.counts)
        shape[axis] -= 1
        owners: Owners = np.zeros(shape, dtype=np.int16)
        for number, triangles in enumerate(corners, 1):
            owners[_crossings(grid, triangles, axis)] = number
        found.append(owners)
    return found[0], found[1], found[2]


def _crossings(grid: AirGrid, corners: Floats, axis: int) -> tuple[Ints, Ints, Ints]:
    """Return the places in an array of an axis where a triangle crosses from cell to cell."""
    order = [axis, (axis + 1) % 3, (axis + 2) % 3]
    cells = (corners - np.array(grid.low)) / grid.step - 0.5
    along, across = cells[:, :, order[0]], cells[:, :, order[1:]]
    count = np.array(grid.counts)[order]
    which, rows = _lines(across, count[1:])
    weights = _weights(across[which], rows)
    total = np.sum(weights, axis=0)
    met = np.abs(total) > ON_SIDE**2
    low, high = np.minimum.reduce(weights), np.maximum.reduce(weights)
    met &= (low >= -ON_SIDE) | (high <= ON_SIDE)
    which, rows = which[met], rows[met]
    weight = np.stack(weights, axis=1)[met] / total[met, None]
    at = np.floor((weight * along[which]).sum(axis=1)).astype(np.int64)
    inside = (at >= 0) & (at < count[0] - 1)
    places: list[Ints] = [at[inside]] * 3
    for k, name in enumerate(order):
        places[name] = at[inside] if k == 0 else rows[inside, k - 1]
    return places[0], places[1], places[2]


def _lines(across: Floats, count: Ints) -> tuple[Ints, Ints]:
    """Return pairs of a triangle (k,) and a line through cells' middles (k, 2) that may meet."""
    first = np.maximum(np.ceil(across.min(axis=1)).astype(np.int64), 0)
    last = np.minimum(np.floor(across.max(axis=1)).astype(np.int64), count - 1)
    size = np.maximum(last - first + 1, 0)
    many = size[:, 0] * size[:, 1]
    which = np.repeat(np.arange(len(across)), many)
    place = np.arange(len(which)) - np.repeat(np.cumsum(many) - many, many)
    breadth = size[which, 1]
    rows = first[which] + np.stack([place // np.maximum(breadth, 1), place % breadth], axis=1)
    return which, rows


def _weights(corner: Floats, at: Ints) -> list[Floats]:
    """Return of each corner (k, 3, 2) the weight, not yet divided by their sum, of a place."""
    found = []
    for i in range(3):
        a, b = corner[:, (i + 1) % 3] - at, corner[:, (i + 2) % 3] - at
        found.append(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    return found
