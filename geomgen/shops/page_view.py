"""How a body stands on the page of a shop's drawing, and from where it is seen, in words."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats

SEEN = {
    (0, 1): "seen from aft",
    (0, -1): "seen from ahead",
    (1, 1): "seen from the right",
    (1, -1): "seen from the left",
    (2, 1): "seen from above",
    (2, -1): "seen from below",
}


@dataclass(frozen=True)
class PageView:
    """Page right, page up and toward the viewer, unit vectors (3,) [1].

    `place` is where on the sheet the view stands.
    """

    right: Floats
    up: Floats
    toward: Floats
    place: str = ""

    def flat(self, points: Floats) -> Floats:
        """Return where points (..., 3) [mm] stand on the page, (..., 2) [mm].

        >>> PageView(*np.eye(3)).flat(np.array([[1.0, 2.0, 3.0]])).tolist()
        [[1.0, 2.0]]
        """
        return np.stack([points @ self.right, points @ self.up], axis=-1)

    @property
    def words(self) -> str:
        """Return in words from where it is seen, by the axis that it looks along most.

        >>> PageView(*np.eye(3)).words
        'seen from above'
        """
        axis = int(np.abs(self.toward).argmax())
        return SEEN[axis, int(np.sign(self.toward[axis]))]
