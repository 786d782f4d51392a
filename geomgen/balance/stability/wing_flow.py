"""What a wing makes of the air: its lift slope, and how it turns the flow ahead, beside and behind.

Lift slope: Helmbold's formula with the sweep of the half-chord line as the handbooks of stability
have it (MEMORY). Flow, along the centre plane: that of the thin elliptic wing of the same span and
area, with flat-plate loading along its chord and a flat wake (DERIVED from Biot and Savart's law;
far behind, the share lost is the 2 a / (pi A) of every textbook). Sound for aspect ratios from
`LEAST_ASPECT_RATIO` up and quarter-chord lines swept by no more than `MOST_SWEEP`.
"""

from dataclasses import dataclass
from functools import cache
from math import cos, hypot, pi, radians, sqrt, tan

import numpy as np

from geomgen.arrays import Floats

# Least aspect ratio [1]: lift slopes of wings with less are another theory's (MEMORY).
LEAST_ASPECT_RATIO = 1.5
# Most sweep [deg] with the wing's vortex taken as straight: own choice.
MOST_SWEEP = 15.0
SECTION_SLOPE = 2 * pi
NODES = 200


def lift_slope(aspect_ratio: float, half_chord_sweep: float = 0.0) -> float:
    """Return the lift slope [1, a radian] of a wing by aspect ratio [1] and sweep [deg].

    The sections' own slope is taken as 2 pi.

    >>> round(lift_slope(8.0), 3)
    4.906
    """
    swept = aspect_ratio * sqrt(1.0 + tan(radians(half_chord_sweep)) ** 2)
    return SECTION_SLOPE * aspect_ratio / (2.0 + hypot(swept, 2.0))


@dataclass(frozen=True)
class WingFlow:
    """The flow about a wing: lift slope [1, a radian], aspect ratio [1], span and place [mm].

    `station` and `waterline` are those of its quarter point.
    """

    slope: float
    aspect_ratio: float
    span: float
    station: float
    waterline: float

    @property
    def chord(self) -> float:
        """The middle chord [mm] of the elliptic wing of the same span and area."""
        return 4 * self.span / (pi * self.aspect_ratio)

    def turn_at(self, station: float, waterline: float) -> float:
        """Return by how much [1] the flow turns at a place [mm] when the machine turns by one.

        It is 1 far ahead, more than 1 close ahead of the wing, 0 at the wing, less than 1 behind.

        >>> far = WingFlow(4.9, 8.0, 8000.0, 0.0, 0.0).turn_at(1e6, 0.0)
        >>> round(1.0 - far, 3) == round(2 * 4.9 / (3.14159 * 8.0), 3)
        True
        """
        place = self._in_chords(station, waterline)
        return self._turn(float((np.sqrt(place - 1.0) / np.sqrt(place)).real), station, waterline)

    def mean_turn(self, front: float, back: float, waterline: float) -> float:
        """Return the mean of `turn_at` [1] between two stations at a waterline [mm].

        At the leading edge itself the flow about a thin wing is endless, its mean is not.
        """
        first, last = (self._in_chords(x, waterline) for x in (front, back))
        plate = float(((_summed(last) - _summed(first)) / (last - first)).real)
        return self._turn(plate, 0.5 * (front + back), waterline)

    def _in_chords(self, station: float, waterline: float) -> complex:
        off = abs(waterline - self.waterline)
        return np.complex128(0.25 + complex(station - self.station, off) / self.chord)

    def _turn(self, plate: float, station: float, waterline: float) -> float:
        """Return the turn by that of an endless plate: less lift, two ends, and a wake."""
        half = self.span / 2
        aft = (station - self.station) / half
        up = (waterline - self.waterline) / half
        bound = self.slope / SECTION_SLOPE * (plate - 1.0) * _bound(hypot(aft, up))
        return 1.0 + bound - self.slope / (pi * self.aspect_ratio) * _wake(aft, up)


def _summed(place: complex) -> complex:
    """Return the integral of the turn about a plate from 0 to 1, whose conjugate is the flow."""
    first, second = np.sqrt(place), np.sqrt(place - 1.0)
    return complex(first * second - np.log(first + second))


@cache
def _quarter() -> tuple[Floats, Floats]:
    """Return sines and weights of Gauss's points between nought and a right angle."""
    at, weights = np.polynomial.legendre.leggauss(NODES)
    return np.asarray(np.sin(pi / 4 * (at + 1.0))), np.asarray(pi / 4 * weights)


def _bound(off: float) -> float:
    """Return what the ends leave of the bound vortex's flow at a distance, in half-spans."""
    sines, weights = _quarter()
    k = 1.0 / hypot(1.0, off)
    return k * float(np.sum(weights * (1.0 - sines**2) / np.sqrt(1.0 - (k * sines) ** 2)))


def _wake(aft: float, up: float) -> float:
    """Return the downwash of the trailing vortices, that at the vortex itself being 1."""
    sines, weights = _quarter()
    square = sines**2
    far = 1.0 + aft / np.sqrt(square + aft**2 + up**2)
    return 2.0 / pi * float(np.sum(weights * square / (square + up**2) * far))


def lifting_share(dihedral: float) -> float:
    """Return the share [1] of its area seen from above by which a V at an angle [deg] lifts.

    A panel meets the cosine of the angle of attack, and the cosine of its force points up; it is
    larger by one over the cosine than it looks from above.

    >>> round(lifting_share(45.0), 4)
    0.7071
    """
    return cos(radians(dihedral))
