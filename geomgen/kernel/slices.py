"""Where a plane across the span cuts a proven mesh, for what needs many cuts at once."""

import numpy as np
from numpy.typing import NDArray

from geomgen.kernel.mesh_record import Mesh

Floats = NDArray[np.float64]


def cut_points(mesh: Mesh, buttock_line: float) -> Floats:
    """Return the points (k, 3) [mm] where the sides of a mesh pass a buttock line [mm].

    They lie as near to the solid as the mesh does; straight edges of the solid are met exactly.
    """
    corners = mesh.corners
    side = corners[..., 1] - buttock_line
    found = []
    for i in range(3):
        j = (i + 1) % 3
        crossing = (side[:, i] < 0) != (side[:, j] < 0)
        a, b = corners[crossing, i], corners[crossing, j]
        share = side[crossing, i] / (side[crossing, i] - side[crossing, j])
        found.append(a + share[:, None] * (b - a))
    return np.concatenate(found)


def ends(points: Floats, direction: tuple[float, float, float]) -> tuple[Floats, Floats]:
    """Return the foremost and the aftmost of some points (k, 3) along a direction."""
    reach = points @ np.array(direction)
    return points[int(reach.argmin())], points[int(reach.argmax())]
