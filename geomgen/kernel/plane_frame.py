"""A plane with its own two directions, as a section or a view has it."""

from dataclasses import dataclass, replace

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.plain import FlatSheet, Plane, Vec3, vec


@dataclass(frozen=True)
class Frame:
    """A plane with its own two directions: `across` to the right and `up` on paper, as seen.

    The viewer stands on the side of `normal`.
    """

    origin: Vec3
    across: Vec3
    up: Vec3

    @property
    def normal(self) -> Vec3:
        """Return the unit normal [1], towards the viewer."""
        (a, b, c), (d, e, f) = self.across, self.up
        return (b * f - c * e, c * d - a * f, a * e - b * d)

    @property
    def plane(self) -> Plane:
        """Return the plane."""
        return Plane(self.origin, self.normal)

    def flat(self, points: object) -> Floats:
        """Return points (n, 3) [mm] in the plane's coordinates (n, 2) [mm]."""
        off = np.asarray(points, dtype=float).reshape(-1, 3) - np.array(self.origin)
        return np.asarray(off @ np.array([self.across, self.up]).T)

    def moved(self, by: float) -> "Frame":
        """Return the plane moved towards its viewer [mm]."""
        x, y, z = (o + by * n for o, n in zip(self.origin, self.normal, strict=True))
        return replace(self, origin=(x, y, z))

    def lifted(self, point: tuple[float, float]) -> Vec3:
        """Return a point [mm] of the plane in space."""
        at = np.array(self.origin) + np.array([self.across, self.up]).T @ np.array(point)
        return vec(at)

    def height(self, points: object) -> Floats:
        """Return how far points (n, 3) [mm] stand off the plane, towards the viewer positive."""
        off = np.asarray(points, dtype=float).reshape(-1, 3) - np.array(self.origin)
        return np.asarray(off @ np.array(self.normal))


def signed_area(loop: Floats) -> float:
    """Return the area [mm2] within a polygon (n, 2) [mm], counter-clockwise positive.

    >>> signed_area(np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]))
    2.0
    """
    x, y = (loop - loop[0]).T
    return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def at_station(x: float) -> Frame:
    """Return the plane of a station [mm] seen from behind: right-hand side right, up up.

    >>> at_station(1800.0).flat([[1800.0, 30.0, 500.0]]).tolist()
    [[30.0, 500.0]]
    """
    return Frame((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def at_buttock_line(y: float) -> Frame:
    """Return the plane of a buttock line [mm] seen from the left: aft right, up up.

    >>> at_buttock_line(0.0).normal
    (0.0, -1.0, 0.0)
    """
    return Frame((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def at_waterline(z: float) -> Frame:
    """Return the plane of a waterline [mm] seen from above: aft right, right-hand side up.

    >>> at_waterline(800.0).normal
    (0.0, 0.0, 1.0)
    """
    return Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def front_of_sheet(sheet: FlatSheet) -> Frame:
    """Return the front plane of a flat sheet [mm], seen from behind: its up is up on paper.

    >>> front_of_sheet(FlatSheet(Plane((5.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (0.0, 0.0, 1.0), 6.0))
    Frame(origin=(5.0, 0.0, 0.0), across=(0.0, 1.0, 0.0), up=(0.0, 0.0, 1.0))
    """
    return Frame(sheet.plane.origin, vec(np.cross(sheet.up, sheet.plane.normal)), sheet.up)
