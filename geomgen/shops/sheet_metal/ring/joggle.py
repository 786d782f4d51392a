"""The closed form of a joggle: two equal bends that lift a leg by a step, S-shaped.

The neutral line runs through two arcs of one radius r and a straight length L between, tangent to
both. Over the run x it rises by the step d: L^2 = x^2 + d^2 - 4 r d, and each bend turns by
2 atan(d / (x + L)) (derived).
"""

import math
from dataclasses import dataclass

from geomgen.shops.sheet_metal.flat_pattern.bend import Bending

# The run of a joggle, at least, over its step (common practice: 4 to 6 times for soft sheet).
RUN = 6.0


@dataclass(frozen=True)
class Joggle:
    """A joggle [mm]: how far it lifts, over what run, the radius of its neutral line."""

    step: float
    run: float
    radius: float

    @property
    def straight(self) -> float:
        """Return the straight length [mm] between both bends."""
        square = self.run**2 + self.step**2 - 4 * self.radius * self.step
        return math.sqrt(max(0.0, square))

    @property
    def angle(self) -> float:
        """Return the angle [deg] of each bend.

        >>> round(Joggle(1.0, 1.0, 0.0).angle, 9)  # a plain slope
        45.0
        """
        return math.degrees(2 * math.atan2(self.step, self.run + self.straight))

    @property
    def excess(self) -> float:
        """Return by how much [mm] the flat leg is longer than its run.

        >>> round(Joggle(2.0, 2.0, 1.0).excess, 6)  # two quarter turns: pi - 2
        1.141593
        """
        return 2 * self.radius * math.radians(self.angle) + self.straight - self.run


def joggle_of(bending: Bending) -> Joggle:
    """Return the joggle that lifts a sheet over another of its thickness.

    >>> made = joggle_of(Bending(0.5, 1.0, 0.4))
    >>> made.step, made.run
    (0.5, 3.0)
    """
    step, radius = bending.thickness, bending.radius + bending.k * bending.thickness
    shortest = math.sqrt(max(0.0, 4 * radius * step - step**2))
    return Joggle(step, max(RUN * step, shortest), radius)
