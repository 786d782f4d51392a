"""The chance in an aircraft: numbers that grade and seed decide, the same for ever."""

from collections.abc import Sequence
from typing import TypeVar

import numpy as np

GRADES = ("fair", "uneven", "wide")
# How far beyond the usual a wide aircraft may go, as a factor to either side.
WIDE = 1.8
Item = TypeVar("Item")


class Dice:
    """Draws for one part of one aircraft; another part's draws do not move when one is added.

    >>> Dice("fair", 3, "pod").between(0, 1) == Dice("fair", 3, "pod").between(0, 1)
    True
    """

    def __init__(self, grade: str, seed: int, part: str) -> None:
        self.grade, self.seed = grade, seed
        self.rng = np.random.default_rng([GRADES.index(grade), seed, *part.encode("ascii")])

    @property
    def wide(self) -> bool:
        """Say whether proportions may be wild."""
        return self.grade == "wide"

    def exactly(self, low: float, high: float) -> float:
        """Return a number between two limits that no grade widens."""
        return float(self.rng.uniform(low, high)) if high > low else low

    def between(self, low: float, high: float) -> float:
        """Return a number between two limits; in a wide aircraft also well outside of them."""
        if self.wide:
            middle, half = (low + high) / 2, (high - low) / 2
            far = self.exactly(middle - WIDE * half, middle + WIDE * half)
            return max(far, low / WIDE) if low >= 0 else far
        return self.exactly(low, high)

    def chance(self, share: float) -> bool:
        """Say yes in so many cases of all."""
        return bool(self.rng.random() < share)

    def pick(self, items: Sequence[Item], weights: Sequence[float] | None = None) -> Item:
        """Return one of some items, as often as its weight says."""
        share = None if weights is None else np.array(weights) / np.sum(weights)
        return items[int(self.rng.choice(len(items), p=share))]

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from low to high, both in reach."""
        return int(self.rng.integers(low, high + 1))

    def jitter(self, most: float) -> float:
        """Return how far a hand-measured value is off: 0 where lines are fair."""
        return self.exactly(-most, most) if self.grade != "fair" else 0.0
