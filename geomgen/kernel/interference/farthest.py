"""The place on some triangles that is farthest from a mesh, with a bound that nothing exceeds.

Branch and bound (common practice): a triangle's points are no farther than its middle and the way
from there, and no farther than its corners are from any one triangle of the mesh, for the distance
from a convex thing is convex. What may still beat the best is quartered.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.interference.near_triangles import quarters
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshing.deviation import to_triangles

# So many places are asked for before the search is given up and says what it could not exclude.
MOST = 20_000


@dataclass(frozen=True)
class Farthest:
    """The distance [mm] found `at` (3,), its `foot` (3,) on the mesh; none exceeds `at_most`."""

    distance: float
    at_most: float
    at: Floats
    foot: Floats


def farthest(corners: Floats, mesh: MeshSearch, within: float) -> Farthest:
    """Return the place on triangles (n, 3, 3) farthest from a mesh, to `within` [mm] if it can be.

    >>> flat = np.array([[[0.0, 0.0, 0.0], [8.0, 0.0, 0.0], [0.0, 8.0, 0.0]]])
    >>> farthest(flat + [0.0, 0.0, 3.0], MeshSearch(flat), 0.01).distance
    3.0
    """
    points = corners.reshape(-1, 3)
    first = mesh.nearest(points)
    k = int(np.argmax(first.distance))
    best = Farthest(float(first.distance[k]), 0.0, points[k], first.foot[k])
    open_, asked, left = corners, len(points), 0.0
    limit = np.full(len(corners), np.inf)
    while len(open_):
        middle = open_.mean(axis=1)
        found = mesh.nearest(middle)
        asked += len(middle)
        k = int(np.argmax(found.distance))
        if found.distance[k] > best.distance:
            best = Farthest(float(found.distance[k]), 0.0, middle[k], found.foot[k])
        most = np.minimum(limit, _most(open_, middle, found.distance, found.triangle, mesh))
        still = most > best.distance + within
        if asked > MOST:
            left = float(most.max())
            break
        open_, limit = quarters(open_[still]), np.tile(most[still], 4)
    return Farthest(best.distance, max(best.distance + within, left), best.at, best.foot)


def _most(corners: Floats, middle: Floats, away: Floats, owner: Ints, mesh: MeshSearch) -> Floats:
    """Return what no point of each triangle exceeds [mm]."""
    reach = np.linalg.norm(corners - middle[:, None], axis=2).max(axis=1)
    target = mesh.corners[owner]
    one = np.maximum.reduce([to_triangles(corners[:, i], target) for i in range(3)])
    return np.asarray(np.minimum(away + reach, one))
