"""How much of a body's skin lies within reach of another: the seat that a joint has."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.interference.near_triangles import quarters
from geomgen.kernel.mesh import cross
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshing.deviation import to_triangles
from geomgen.kernel.plain import Vec3, vec

# Smaller pieces of skin [mm] are told by their middle; so many are asked for at the most.
SMALL, MOST = 2.0, 8_000


@dataclass(frozen=True)
class Seat:
    """The area [mm2] within reach, what it is flat across `way` [mm2], its middle, that direction.

    `flat` is the area as seen along `way`: that of a saddle counts as the plane under it, and what
    runs all round a part cancels to nothing.
    """

    area: float
    flat: float
    middle: Vec3
    way: Vec3


def seat(corners: Floats, other: MeshSearch, reach: float) -> Seat:
    """Return how much of the triangles (n, 3, 3) [mm] is within `reach` [mm] of another mesh.

    >>> flat = np.array([[[0.0, 0.0, 0.0], [8.0, 0.0, 0.0], [0.0, 8.0, 0.0]]])
    >>> round(seat(flat + np.array([0.0, 0.0, 1.0]), MeshSearch(flat), 2.0).area)
    32
    """
    kept: list[Floats] = []
    open_, asked = _boxed(corners, other.corners, reach), 0
    while len(open_):
        middle = open_.mean(axis=1)
        size = np.linalg.norm(open_ - middle[:, None], axis=2).max(axis=1)
        asked += len(middle)
        near, found = other.nearest_within(middle, size + reach)
        open_, size = open_[near], size[near]
        target = other.corners[found.triangle]
        most = np.maximum.reduce([to_triangles(open_[:, i], target) for i in range(3)])
        settled = (size < SMALL) | (asked > MOST)
        inside = (most <= reach) | (settled & (found.distance <= reach))
        kept.append(open_[inside])
        open_ = quarters(open_[~inside & ~settled & (found.distance - size <= reach)])
    every = np.concatenate(kept) if kept else np.zeros((0, 3, 3))
    vectors = 0.5 * cross(every[:, 1] - every[:, 0], every[:, 2] - every[:, 0])
    sizes, whole = np.linalg.norm(vectors, axis=1), vectors.sum(axis=0)
    area, flat = float(sizes.sum()), float(np.linalg.norm(whole))
    if area == 0.0:
        return Seat(0.0, 0.0, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    middle = (every.mean(axis=1) * sizes[:, None]).sum(axis=0) / area
    return Seat(area, flat, vec(middle), vec(whole / max(flat, 1e-9)))


def _boxed(corners: Floats, other: Floats, reach: float) -> Floats:
    """Return the triangles that reach into the grown box of the others."""
    low, high = other.min(axis=(0, 1)) - reach, other.max(axis=(0, 1)) + reach
    within = (corners.min(axis=1) <= high) & (corners.max(axis=1) >= low)
    return np.asarray(corners[np.all(within, axis=1)])
