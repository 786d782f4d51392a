"""What flows onto the bodies, each at strength 1: a stream, a mouth."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from geomgen.arrays import Bools, Floats


class Onset(Protocol):
    """Anything that flows where no body is; `name` is what its strength is given by."""

    @property
    def name(self) -> str:
        """What it is called."""

    def at(self, points: Floats) -> Floats:
        """Return its speeds (p, 3) [m/s] at points (p, 3) [mm], at strength 1."""


@dataclass(frozen=True)
class Stream:
    """The same speed everywhere, 1 m/s along a direction [1].

    >>> Stream("aft", (1, 0, 0)).at(np.zeros((2, 3))).tolist()
    [[1.0, 0.0, 0.0], [1.0, 0.0, 0.0]]
    """

    name: str
    direction: tuple[float, float, float]

    def at(self, points: Floats) -> Floats:
        """Return its speeds (p, 3) [m/s] at points (p, 3) [mm]."""
        return np.tile(np.array(self.direction, dtype=float), (len(points), 1))


@dataclass(frozen=True)
class Breathing:
    """Panels (n,) through which air passes: 1 m/s outward on average over their area.

    A strength below zero is a mouth that takes air in. The speed is even over them.
    """

    name: str
    through: Bools


AFT, UP = Stream("aft", (1.0, 0.0, 0.0)), Stream("up", (0.0, 0.0, 1.0))
