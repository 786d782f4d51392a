"""The closed forms of a bend in sheet metal (common practice).

The sheet keeps its length along a neutral line that lies K t from the inside of the bend: in a bend
of the angle A, measured from flat, with the inside radius R, that line is A (R + K t) long.
"""

from dataclasses import dataclass
from math import radians, tan


@dataclass(frozen=True)
class Bending:
    """How a sheet bends: thickness and inside radius [mm], place of the neutral line [1]."""

    thickness: float
    radius: float
    k: float

    def allowance(self, angle: float) -> float:
        """Return the length [mm] of the neutral line in a bend of `angle` [deg].

        >>> round(Bending(1.0, 2.0, 0.4).allowance(90.0), 6)  # pi / 2 (2 + 0.4)
        3.769911
        """
        return radians(angle) * (self.radius + self.k * self.thickness)

    def setback(self, angle: float) -> float:
        """Return how far [mm] the bend begins from the mould line, where the outsides meet.

        >>> round(Bending(1.0, 2.0, 0.4).setback(90.0), 6)
        3.0
        """
        return (self.radius + self.thickness) * tan(radians(angle) / 2)

    def deduction(self, angle: float) -> float:
        """Return by how much [mm] the flat sheet is shorter than both outsides together."""
        return 2 * self.setback(angle) - self.allowance(angle)

    def line(self, angle: float) -> float:
        """Return how far [mm] the bend line, the middle of the bend, lies inside the mould line."""
        return self.setback(angle) - self.allowance(angle) / 2

    def flat(self, angle: float, width: float) -> float:
        """Return the flat length [mm] from the bend line to the edge of a flange.

        `width` is the flange's, from the mould line to its edge along the outside.

        >>> bending = Bending(1.0, 2.0, 0.4)
        >>> round(bending.flat(90.0, 25.0), 6)  # 25 - 3 + half of the allowance
        23.884956
        """
        return width - self.setback(angle) + self.allowance(angle) / 2
