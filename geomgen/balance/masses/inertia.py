"""Masses with their centre and inertia, put together and moved about."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from geomgen.arrays import Floats

Place = tuple[float, float, float]
Products = tuple[float, float, float, float, float, float]
NONE: Products = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class RigidBody:
    """A mass [kg], its centre [mm] and what its spread about the centre is.

    `spread` holds the integrals of dm times x x, y y, z z, x y, y z, z x from the centre [kg mm2];
    moments of inertia are sums of them. Unlike moments they add up sign by sign, and a mass that
    is taken away is one with all signs turned.

    >>> RigidBody(2.0, (100.0, 0.0, 0.0)).mass
    2.0
    """

    mass: float
    centre: Place
    spread: Products = NONE

    @property
    def tensor(self) -> Floats:
        """The inertia tensor (3, 3) about the own centre [kg mm2], products with their minus sign.

        >>> ball = RigidBody(10.0, (0.0, 0.0, 0.0), solid_box(10.0, 6.0, 6.0, 6.0))
        >>> round(float(ball.tensor[0, 0]), 9)  # m (b^2 + c^2) / 12
        60.0
        """
        xx, yy, zz, xy, yz, zx = self.spread
        return np.array([[yy + zz, -xy, -zx], [-xy, xx + zz, -yz], [-zx, -yz, xx + yy]])

    @property
    def radii(self) -> Place:
        """The radii of gyration about the own centre [mm], about the three axes."""
        if self.mass <= 0.0:
            return (0.0, 0.0, 0.0)
        x, y, z = (sqrt(max(float(self.tensor[i, i]), 0.0) / self.mass) for i in range(3))
        return (x, y, z)

    def moved(self, to: Place) -> "RigidBody":
        """Return the same body with its centre [mm] elsewhere."""
        return replace(self, centre=to)

    def scaled(self, mass: float) -> "RigidBody":
        """Return a body of another mass [kg] spread alike about the same centre."""
        factor = mass / self.mass if self.mass else 0.0
        return RigidBody(mass, self.centre, _six(factor * np.array(self.spread)))

    def on_the_left(self) -> "RigidBody":
        """Return the mirror image about the centre plane.

        >>> RigidBody(1.0, (5.0, 2.0, 1.0), (1.0, 1.0, 1.0, 0.5, 0.2, 0.1)).on_the_left()
        RigidBody(mass=1.0, centre=(5.0, -2.0, 1.0), spread=(1.0, 1.0, 1.0, -0.5, -0.2, 0.1))
        """
        x, y, z = self.centre
        xx, yy, zz, xy, yz, zx = self.spread
        return RigidBody(self.mass, (x, -y, z), (xx, yy, zz, -xy, -yz, zx))


def together(bodies: Iterable[RigidBody]) -> RigidBody:
    """Return what bodies are together: mass [kg], centre [mm], spread about it [kg mm2].

    No mass at all stands at the datum.

    >>> pair = [RigidBody(1.0, (0.0, 0.0, 0.0)), RigidBody(3.0, (100.0, 0.0, 0.0))]
    >>> together(pair)
    RigidBody(mass=4.0, centre=(75.0, 0.0, 0.0), spread=(7500.0, 0.0, 0.0, 0.0, 0.0, 0.0))
    """
    every = list(bodies)
    mass = sum(body.mass for body in every)
    if not mass:
        return RigidBody(0.0, (0.0, 0.0, 0.0))
    masses = np.array([body.mass for body in every])
    places = np.array([body.centre for body in every])
    centre = masses @ places / mass
    off = places - centre
    apart = np.einsum("i,ij,ik->jk", masses, off, off)
    spread = np.sum([body.spread for body in every], axis=0) + np.array(
        [apart[0, 0], apart[1, 1], apart[2, 2], apart[0, 1], apart[1, 2], apart[2, 0]]
    )
    x, y, z = (float(c) for c in centre)
    return RigidBody(float(mass), (x, y, z), _six(spread))


def solid_box(mass: float, length: float, width: float, height: float) -> Products:
    """Return the spread [kg mm2] of a full box of a mass [kg], its sides [mm] along the axes.

    >>> solid_box(12.0, 1.0, 2.0, 3.0)
    (1.0, 4.0, 9.0, 0.0, 0.0, 0.0)
    """
    x, y, z = (mass * side**2 / 12 for side in (length, width, height))
    return (x, y, z, 0.0, 0.0, 0.0)


def _six(values: Floats) -> Products:
    a, b, c, d, e, f = (float(v) for v in values)
    return (a, b, c, d, e, f)
