"""A direction of sight: space [mm] to the plane of a view [mm] and the depth before it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from geomgen.arrays import Floats
from geomgen.kernel.plain import Vec3


@dataclass(frozen=True)
class Look:
    """A parallel view by two unit vectors at right angles: what runs to the right, what runs up.

    The eye stands far off on the side that `toward` points to.

    >>> Look((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)).toward  # from the left: nose left, tail right
    (0.0, -1.0, 0.0)
    """

    right: Vec3
    up: Vec3

    @property
    def toward(self) -> Vec3:
        """Return the unit vector [1] from the machine to the eye."""
        (a, b, c), (d, e, f) = self.right, self.up
        x, y, z = b * f - c * e, c * d - a * f, a * e - b * d
        return (x + 0.0, y + 0.0, z + 0.0)

    def turned(self, angle: float) -> "Look":
        """Return the view from beside, turned about what runs up [rad].

        >>> Look((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)).turned(0.0)
        Look(right=(1.0, 0.0, 0.0), up=(0.0, 0.0, 1.0))
        """
        right = np.cos(angle) * np.array(self.right) - np.sin(angle) * np.array(self.toward)
        x, y, z = (right + 0.0).tolist()
        return Look((x, y, z), self.up)

    def seen(self, points: ArrayLike) -> Floats:
        """Return points (n, 3) [mm] as across, up, and how near to the eye (n, 3) [mm].

        >>> Look((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)).seen([[1.0, 2.0, 3.0]]).tolist()
        [[1.0, 3.0, -2.0]]
        """
        turn = np.array([self.right, self.up, self.toward])
        return np.asarray(np.asarray(points, dtype=float).reshape(-1, 3) @ turn.T)

    def flat(self, point: Vec3) -> tuple[float, float]:
        """Return where a point [mm] stands in the view [mm]."""
        across, up, _ = self.seen([point])[0].tolist()
        return across, up


# x aft, y to the right, z up: from the left and from above with the nose to the left, from the
# nose, and from above with the nose down, as it stands under or over the view from the nose.
FROM_LEFT = Look((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
FROM_ABOVE = Look((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
FROM_NOSE = Look((0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
NOSE_DOWN = Look((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
