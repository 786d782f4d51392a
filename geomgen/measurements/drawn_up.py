"""Where a leg and its wheel go when the axle is drawn up.

Both move as one stiff body (own choice). A leg that leans is turned about its root, in the upright
plane through root and axle; one that stands nearly upright is drawn straight up, as a strut that
slides, and so is a wheel whose leg is not drawn.
"""

from dataclasses import dataclass
from math import asin, degrees, dist

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.plain import Strut, Vec3, vec

# A leg steeper than this counts as upright [deg]: own choice.
STEEP = 60.0
WORDS = (
    "stiff, turned about its root so far that the axle is drawn up by that much, a leg steeper "
    f"than {STEEP:g} deg drawn straight up instead (own choice)"
)


@dataclass(frozen=True)
class RigidMove:
    """A turn about a unit axis through a point [mm, rad], or, without an axis, a way up [mm]."""

    about: Vec3
    axis: Vec3 | None
    by: float

    def matrix(self) -> Floats:
        """Return turn [1] and shift [mm] side by side, (3, 4)."""
        if self.axis is None:
            return np.column_stack([np.eye(3), [0.0, 0.0, self.by]])
        x, y, z = self.axis
        cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        turn = np.eye(3) + np.sin(self.by) * cross + (1.0 - np.cos(self.by)) * cross @ cross
        return np.column_stack([turn, np.array(self.about) - turn @ self.about])

    def of(self, points: Floats) -> Floats:
        """Return points (n, 3) [mm] where they go to."""
        whole = self.matrix()
        return np.asarray(points @ whole[:, :3].T + whole[:, 3])

    def lever(self, points: Floats) -> float:
        """Return how far the points (n, 3) [mm] go at most, per unit of `by` [mm/rad or 1]."""
        if self.axis is None:
            return 1.0
        arms = np.cross(points - np.array(self.about), self.axis)
        return float(np.linalg.norm(arms, axis=1).max())


def drawn_up(strut: Strut, rise: float) -> RigidMove:
    """Return how leg and wheel move so that the axle stands `rise` [mm] higher.

    Beyond the highest place that the leg can be turned to, it stays there.

    >>> low = Strut("wheel", (0.0, 400.0, 0.0), leg="leg", root=(0.0, 0.0, 300.0))
    >>> drawn_up(low, 300.0).of(np.array([[0.0, 400.0, 0.0]])).round(6).tolist()
    [[0.0, 500.0, 300.0]]
    >>> drawn_up(Strut("wheel", (0.0, 0.0, 0.0)), 40.0).by
    40.0
    """
    if strut.root is None:
        return RigidMove(strut.axle, None, rise)
    root, axle = np.array(strut.root), np.array(strut.axle)
    length, below = dist(strut.root, strut.axle), float(root[2] - axle[2])
    lean = asin(max(-1.0, min(1.0, below / length))) if length > 0.0 else 0.0
    out = np.array([axle[0] - root[0], axle[1] - root[1], 0.0])
    if degrees(lean) > STEEP or not out.any():
        return RigidMove(strut.axle, None, rise)
    # Turned about this axis, what is out of the root goes up.
    axis = np.cross(out / np.linalg.norm(out), [0.0, 0.0, 1.0])
    up = asin(max(-1.0, min(1.0, (below - rise) / length)))
    return RigidMove(strut.root, vec(axis), lean - up)
