"""How much at most booms change the lift of the wing that they cross, and the neutral point.

Booms have no panels. Wing panels on a round body lift, with what the body carries over, (1 + d/b)^2
times as much as joined without it (slender-body theory, NACA Report 1307, Pitts, Nielsen and
Kaattari 1957; its summary read, the formula MEMORY). What the body covers of the wing is lost, so
the whole changes by less than that either way: a band, no correction. For a body off the middle of
a wing that is not slender it is an own choice.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import degrees

from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh

# What booms carry of the wing's lift lies no further than this behind its quarter point, in mean
# chords: the middle of the chord. Own choice.
CARRIED = 0.25


@dataclass(frozen=True)
class Crossing:
    """Bodies on a wing: how much at most its lift changes [1], volume of all of them [mm3]."""

    share: float = 0.0
    volume: float = 0.0

    def attack(self, lift: float, slope: float) -> float:
        """Return how far at most an attack [deg] is off that brings a lift [1] at a slope [1/rad].

        >>> round(Crossing(0.05).attack(0.5, 5.0), 3)
        0.286
        """
        return degrees(self.share * abs(lift / slope)) if slope else 0.0

    def neutral_point(
        self, station: float, quarter: float, chord: float, slope: float, area: float
    ) -> float:
        """Return how far at most [mm] a neutral point at a station [mm] is off.

        The wing's own lift changes against all others', or moves aft on the booms; and bodies along
        the stream turn nose-up by twice their volume a radian (Munk). `quarter` is the station
        [mm] of the wing's quarter point, `chord` its mean one [mm], `area` that of both sides
        [mm2], `slope` the lift slope [1/rad].
        """
        lift = self.share * (abs(station - quarter) + CARRIED * chord)
        return lift + (2.0 * self.volume / (abs(slope) * area) if slope else 0.0)


def crossing(bodies: Iterable[Mesh], wing: Floats) -> Crossing:
    """Return what bodies do to a wing whose right-hand half is a grid of points (m, k, 3) [mm].

    A body counts where it lies above, in or below the wing; it is as wide as its triangles there.
    """
    low, high = wing.reshape(-1, 3).min(axis=0), wing.reshape(-1, 3).max(axis=0)
    span, factor, volume = 2.0 * float(high[1]), 1.0, 0.0
    for mesh in bodies:
        corners = mesh.vertices[mesh.triangles]
        there = (corners[..., 0].max(axis=1) > low[0]) & (corners[..., 0].min(axis=1) < high[0])
        there &= abs(corners[..., 1]).min(axis=1) < high[1]
        if there.any():
            y = corners[there][..., 1]
            factor *= (1.0 + float(y.max() - y.min()) / span) ** 2
            volume += abs(mesh.volume)
    return Crossing(factor - 1.0, volume)
