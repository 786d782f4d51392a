"""A propeller as an actuator disc: even light load, a straight slipstream, no swirl.

The slipstream's edge is a cylinder of ring vortices from the disc to far behind. It neither
contracts nor bends about bodies; bodies in it feel its speed and its total head, and what they do
to the stream is taken as in air without it (linear in the load). Where bodies stand across its edge
the load on them is an estimate.
"""

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from scipy.special import ellipe, ellipkm1, elliprf, elliprj

from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError

MM2 = 1e-6  # [m2]


@dataclass(frozen=True)
class Disc:
    """A disc at `centre` [mm] of `radius` [mm], its slipstream along `along` [1].

    Strength 1 is a speed of 1 m/s at the disc, on average; the slipstream far behind has twice it.

    >>> disc = Disc("propeller", (0, 0, 0), 800.0)
    >>> disc.at(np.array([[-600.0, 0, 0], [0, 0, 0], [600.0, 0, 0]]))[:, 0].round(9).tolist()
    [0.4, 1.0, 1.6]
    """

    name: str
    centre: tuple[float, float, float]
    radius: float
    along: tuple[float, float, float] = (1.0, 0.0, 0.0)

    def __post_init__(self) -> None:
        if not self.radius > 0:
            raise GeometryError("the disc's radius must be more than 0 mm", part=self.name)
        if not self.along[0] > 0:
            raise GeometryError(
                "the disc is turned round: its slipstream must run aft", part=self.name
            )

    @property
    def area(self) -> float:
        """Its area [mm2]."""
        return pi * self.radius**2

    @property
    def axis(self) -> Floats:
        """Its slipstream's direction (3,) [1], of length 1."""
        given = np.array(self.along, dtype=float)
        return np.asarray(given / np.linalg.norm(given))

    def _placed(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Return places along the axis and off it [mm], and directions outward."""
        off = np.asarray(points, dtype=float) - np.array(self.centre)
        x = off @ self.axis
        out = off - x[:, None] * self.axis
        r = np.linalg.norm(out, axis=1)
        return x, r, out / np.maximum(r, 1e-30)[:, None]

    def at(self, points: Floats) -> Floats:
        """Return its speeds (p, 3) [m/s] at points (p, 3) [mm]."""
        x, r, outward = self._placed(points)
        along, out = tube_speeds(x / self.radius, r / self.radius)
        return np.asarray(along[:, None] * self.axis + out[:, None] * outward)

    def behind(self, points: Floats) -> Bools:
        """Say which points (p, 3) [mm] its slipstream holds."""
        x, r, _ = self._placed(points)
        return np.asarray((x > 0) & (r < self.radius))

    def head(self, strength: float, speed: float) -> float:
        """Return the rise of total head in the slipstream, over the density [m2/s2].

        `strength` is the speed at the disc and `speed` that of the stream along its axis [m/s].
        """
        return 2.0 * (speed + strength) * strength

    def thrust(self, strength: float, speed: float, density: float) -> float:
        """Return the disc's thrust [N] in air of a density [kg/m3]: 2 rho A (V + u) u.

        >>> round(Disc("propeller", (0, 0, 0), 800.0).thrust(2.0, 30.0, 1.225), 1)
        315.3
        """
        return density * self.area * MM2 * self.head(strength, speed)

    def strength(self, thrust: float, speed: float, density: float) -> float:
        """Return the speed at the disc [m/s] that a thrust [N] takes; `speed` [m/s] may be none.

        >>> disc = Disc("propeller", (0, 0, 0), 800.0)
        >>> round(disc.strength(disc.thrust(2.0, 30.0, 1.225), 30.0, 1.225), 9)
        2.0
        """
        if not (thrust >= 0 and speed >= 0 and density > 0):
            raise GeometryError("thrust, speed and density must not be below zero", part=self.name)
        load = thrust / (2.0 * density * self.area * MM2)
        # The other form of (-V + sqrt(V2 + 4 load)) / 2, which loses no digits at a light load.
        root = speed + sqrt(speed**2 + 4.0 * load)
        return 2.0 * load / root if root > 0 else 0.0


def tube_speeds(x: Floats, r: Floats) -> tuple[Floats, Floats]:
    """Return speeds along and out [m/s] of a tube of ring vortices, 1 m/s at its open end's middle.

    `x` and `r` (p,) [1] are places along the axis, behind the end positive, and off it, in radii.
    Closed form by complete elliptic integrals (Gibson 1974; Branlard and Gaunaa 2015). On the rim
    itself the speed outward has no bound; it is told for a place a millionth beside it.
    """
    x, r = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(r, dtype=float))
    x = np.where((np.abs(r - 1) < 1e-6) & (np.abs(x) < 1e-6), 1e-6, x)
    sum2 = (1 + r) ** 2 + x**2
    m = 4 * r / sum2
    n = 4 * r / (1 + r) ** 2
    edge = np.abs(1 - r) < 1e-12
    n = np.where(edge, 0.0, n)
    # One minus m and n as such: near the edge the differences would lose all digits.
    less_m, less_n = ((1 - r) ** 2 + x**2) / sum2, np.where(edge, 1.0, ((1 - r) / (1 + r)) ** 2)
    full = ellipkm1(less_m)
    third = elliprf(0.0, less_m, 1.0) + n / 3 * elliprj(0.0, less_m, 1.0, less_n)
    jump = np.where(edge, 0.5, r < 1)
    share = np.where(edge, 0.0, (1 - r) / (1 + r))
    along = jump + x / (pi * np.sqrt(sum2)) * (full + share * third)
    # 2 u0 is the tube's strength; near the axis the brackets below cancel: m^2 pi/16 + ...
    with np.errstate(divide="ignore", invalid="ignore"):
        out = -np.sqrt(sum2) / (2 * pi * r) * ((2 - m) * full - 2 * ellipe(m))
        near = -np.sqrt(sum2) / (2 * pi * r) * (pi / 16 * m**2 * (1 + 0.75 * m))
    out = np.where(m > 1e-4, out, np.where(r > 0, near, 0.0))
    return np.asarray(along), np.asarray(out)
