"""A propeller as an actuator disc: even load, a slipstream that narrows, no swirl.

The slipstream's edge is a tube of ring vortices from the disc to far behind, drawn in steps: behind
the disc it narrows as its speed on the axis grows, to what momentum theory says; on the way there
up to 5 % more air would pass through it in flight, 29 % standing still. It does not bend about
bodies; those in it feel its speed and its total head, and what they do to the stream is taken
as in air without it. Where bodies stand across its edge the load on them is an estimate.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import inf, pi, sqrt

import numpy as np
from scipy.special import ellipe, ellipkm1, elliprf, elliprj

from geomgen.air.potential.onsets import Onset
from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError

MM2 = 1e-6  # [m2]
# Areas far behind, over the disc's, that slipstreams are drawn for, the narrowest standing still;
# one between two is a share of both. Steps that a narrowing tube is drawn in, rings that the mean
# over the disc is taken of: own choices.
FAR = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5)
STEPS, RINGS = 12, 100


@dataclass(frozen=True)
class Disc:
    """A disc at `centre` [mm] of `radius` [mm], its slipstream along `along` [1].

    Strength 1 is a speed of 1 m/s at the disc, on average; the slipstream far behind has twice it.
    `far` [1] is the slipstream's area there over the disc's, from 1 at a light load to 0.5.

    >>> disc = Disc("propeller", (0, 0, 0), 800.0)
    >>> disc.at(np.array([[-600.0, 0, 0], [0, 0, 0], [600.0, 0, 0]]))[:, 0].round(9).tolist()
    [0.4, 1.0, 1.6]
    """

    name: str
    centre: tuple[float, float, float]
    radius: float
    along: tuple[float, float, float] = (1.0, 0.0, 0.0)
    far: float = 1.0

    def __post_init__(self) -> None:
        if not self.radius > 0:
            raise GeometryError("the disc's radius must be more than 0 mm", part=self.name)
        if not self.along[0] > 0:
            raise GeometryError(
                "the disc is turned round: its slipstream must run aft", part=self.name
            )
        if not FAR[-1] <= self.far <= FAR[0]:
            raise GeometryError(
                f"the slipstream narrows to {self.far:g} of the disc's area; allowed are "
                f"{FAR[-1]:g} to {FAR[0]:g}",
                part=self.name,
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
        along, out = _stepped(_tube(self.far), x / self.radius, r / self.radius)
        return np.asarray(along[:, None] * self.axis + out[:, None] * outward)

    def behind(self, points: Floats) -> Bools:
        """Say which points (p, 3) [mm] its slipstream holds."""
        x, r, _ = self._placed(points)
        tube = _tube(self.far)
        piece = np.searchsorted(tube.starts, x / self.radius, side="right") - 1
        return np.asarray((x > 0) & (r < self.radius * tube.radii[piece]))

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


def narrowing(disc: Disc) -> tuple[Disc, ...]:
    """Return a straight disc with a slipstream of each of the areas `FAR`, named by them."""
    return tuple(replace(disc, name=f"{disc.name} {far:g}", far=far) for far in FAR)


def shares(strength: float, speed: float) -> dict[float, float]:
    """Return of each of the areas `FAR` how strong it is [m/s], together as strong as the disc.

    `strength` and `speed` [m/s] as of a disc. The area far behind is (V + u) / (V + 2 u) of the
    disc's; shares of the two next to it carry the same air. Source: momentum theory, DERIVED.

    >>> shares(3.0, 0.0)
    {0.5: 3.0}
    >>> {far: round(each, 9) for far, each in shares(2.0, 10.0).items()}
    {0.9: 1.142857143, 0.8: 0.857142857}
    """
    if strength <= 0.0:
        return {}
    far = (speed + strength) / (speed + 2.0 * strength)
    wide, narrow = next(pair for pair in pairwise(FAR) if pair[1] <= far)
    part = (far - narrow) / (wide - narrow)
    each = {wide: strength * part, narrow: strength * (1.0 - part)}
    return {area: share for area, share in each.items() if share > 0.0}


def head_of(onsets: Sequence[tuple[Onset, float]], points: Floats) -> Floats:
    """Return the rise of total head (p,) over the density [m2/s2] in the discs' slipstreams.

    `onsets` are all with their strengths; discs in one place are shares of one propeller.
    """
    rise = np.zeros(len(points))
    discs = [(o, s) for o, s in onsets if isinstance(o, Disc) and s]
    for disc, strength in discs:
        at = np.array([disc.centre])
        past = sum(s * (o.at(at)[0] @ disc.axis) for o, s in onsets if not isinstance(o, Disc))
        others = sum(s for o, s in discs if o is not disc and o.centre == disc.centre)
        rise += disc.head(strength, float(past) + others) * disc.behind(points)
    return rise


@dataclass(frozen=True)
class _Tube:
    """Cylinders one behind the other: where they start [1], radii [1], strengths (s,) [1]."""

    starts: Floats
    radii: Floats
    strengths: Floats


@lru_cache(maxsize=len(FAR))
def _tube(far: float) -> _Tube:
    """Return the edge of a slipstream that narrows to a share `far` [1] of the disc's area.

    r = R sqrt((V + u) / (V + u (1 + s))), s = x / sqrt(x^2 + R^2): by the straight tube's speed on
    its axis. A tube of even strength would draw less than 1 m/s through the disc; what makes up for
    that falls off with s, as the strength of an edge does whose speed grows.
    """
    if far == 1.0:
        return _Tube(np.zeros(1), np.ones(1), np.ones(1))
    share = np.linspace(0.0, 1.0, STEPS)
    between = 0.5 * (share[1:] + share[:-1])
    starts = np.concatenate([[0.0], between / np.sqrt(1.0 - between**2)])
    radii = np.sqrt(far / (far + (1.0 - far) * share))
    r = np.sqrt((np.arange(RINGS) + 0.5) / RINGS)
    even, more = (
        _stepped(_Tube(starts, radii, each), np.zeros(RINGS), r)[0].mean()
        for each in (np.ones(STEPS), 1.0 - share)
    )
    return _Tube(starts, radii, 1.0 + (1.0 - even) / more * (1.0 - share))


def _stepped(tube: _Tube, x: Floats, r: Floats) -> tuple[Floats, Floats]:
    """Return speeds along and out [m/s] of a tube's cylinders, each up to the next."""
    found = np.zeros((2, len(x)))
    last = (*tube.starts[1:].tolist(), inf)
    for start, end, radius, strength in zip(
        tube.starts, last, tube.radii, tube.strengths, strict=True
    ):
        found += strength * np.stack(tube_speeds((x - start) / radius, r / radius))
        if end < inf:
            found -= strength * np.stack(tube_speeds((x - end) / radius, r / radius))
    return found[0], found[1]


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
