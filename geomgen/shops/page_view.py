"""How a body stands on the page of a shop's drawing, and from where it is seen, in words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.lettering import width_of

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


def step_for(steps: Sequence[float], least: float, words: str, text: float) -> float:
    """Return the first step [mm] of a scale with room for its words beside each other.

    It is `least` [mm] at the least; `words` are the longest, in letters `text` [mm] high.

    >>> step_for((50.0, 100.0, 200.0), 60.0, "STA 2800", 25.0)
    200.0
    """
    room = max(least, width_of(words, text) + text)
    return next((step for step in steps if step >= room), steps[-1])


def loft_word(way: Floats, value: float) -> str:
    """Return a place [mm] along a page's axis in the words of the loft.

    >>> loft_word(np.array([-1.0, 0.0, 0.0]), -250.0)
    'STA 250'
    """
    axis = int(np.abs(way).argmax())
    at = value * float(np.sign(way[axis])) + 0.0
    return f"{('STA', 'BL', 'WL')[axis]} {at:g}"
