"""Flat faces are laid out in their own plane, whatever parameters their surface has.

On a flat face with curved parameter lines, triangles that are sound in the parameter plane may
fold over its border in space, by millimetres, without leaving the plane.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.brep.surface_points import SurfacePoints
from geomgen.kernel.mesh import cross

SAMPLES = 9
# A surface is flat if no sample is farther than this from the plane, as a share of its extent.
FLAT = 1e-9


@dataclass(frozen=True)
class FlatGrid:
    """The plane of a flat face, its coordinates as shares of its extent; nothing lies inside it."""

    surface: SurfacePoints
    origin: Floats
    axes: Floats

    def stretch(self, uv: Floats) -> Floats:
        """Return the plane's coordinates [1] of `uv` (n, 2)."""
        return np.asarray((self.surface.at(uv)[0] - self.origin) @ self.axes)

    def feet(self, points: Floats) -> Floats:
        """Return the feet (n, 3) [mm] of perpendiculars from `points` (n, 3) to the plane."""
        across = np.cross(self.axes[:, 0], self.axes[:, 1])
        across /= np.linalg.norm(across)
        return np.asarray(points - ((points - self.origin) @ across)[:, None] * across)

    def relax(self, points: Floats) -> Floats:
        """Return uv (0, 2) of no `points` [1]: a flat face needs none but those of its outline."""
        return np.asarray(points)

    def lattice(self) -> tuple[Floats, Floats]:
        """Return inner points [1] of the face: none."""
        return np.empty((0, 2)), np.empty((0, 2))


def flat_grid(surface: SurfacePoints, low: Floats, high: Floats) -> FlatGrid | None:
    """Return the plane of a spline that is flat over a box of parameters; None if it is not.

    `low` and `high` (2,) [1] are the box's corners.
    """
    if surface.kind != "spline":
        return None
    shares = (np.arange(SAMPLES) + 0.5) / SAMPLES
    u, v = (low[i] + shares * (high[i] - low[i]) for i in (0, 1))
    uv = np.stack(np.meshgrid(u, v, indexing="ij"), axis=-1).reshape(-1, 2)
    points, su, sv = surface.at(uv, 1)
    normals = cross(su, sv)
    size = np.linalg.norm(normals, axis=1)
    if not size.min() > 0:
        return None
    normals /= size[:, None]
    normal = normals.mean(axis=0)
    normal /= np.linalg.norm(normal)
    reach = float(np.ptp(points, axis=0).max())
    origin = points.mean(axis=0)
    height = np.abs((points - origin) @ normal).max()
    if height > FLAT * reach or (normals @ normal).min() < 1 - 1e-9:
        return None
    first = np.eye(3)[np.argmin(np.abs(normal))]
    x = np.cross(first, normal)
    x /= np.linalg.norm(x)
    axes = np.stack([x, np.cross(normal, x)], axis=-1) / reach
    return FlatGrid(surface, origin, axes)
