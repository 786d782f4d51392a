"""Where planes across the span or level ones cut a proven mesh, for what needs many cuts."""

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh


class Slices:
    """A mesh that is cut at many buttock lines (`axis` 1) or waterlines (`axis` 2)."""

    def __init__(self, mesh: Mesh, axis: int = 1) -> None:
        self._axis = axis
        self._corners = mesh.corners
        self._low = self._corners[..., axis].min(axis=1)
        self._high = self._corners[..., axis].max(axis=1)

    def at(self, line: float) -> Floats:
        """Return the points (k, 3) [mm] where the sides of the mesh pass a line [mm].

        They lie as near to the solid as the mesh does; straight edges of the solid are met exactly.
        """
        corners = self._corners[(self._low < line) & (self._high >= line)]
        side = corners[..., self._axis] - line
        found = []
        for i in range(3):
            j = (i + 1) % 3
            crossing = (side[:, i] < 0) != (side[:, j] < 0)
            a, b = corners[crossing, i], corners[crossing, j]
            share = side[crossing, i] / (side[crossing, i] - side[crossing, j])
            found.append(a + share[:, None] * (b - a))
        return np.concatenate(found)


def cut_points(mesh: Mesh, buttock_line: float) -> Floats:
    """Return the points (k, 3) [mm] where the sides of a mesh pass one buttock line [mm]."""
    return Slices(mesh).at(buttock_line)


def ends(points: Floats, direction: tuple[float, float, float]) -> tuple[Floats, Floats]:
    """Return the foremost and the aftmost of some points (k, 3) along a direction."""
    reach = points @ np.array(direction)
    return points[int(reach.argmin())], points[int(reach.argmax())]
