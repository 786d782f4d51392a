"""The widest slit between two outlines in one plane."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from geomgen.kernel.exact_rings import Ring

Floats = NDArray[np.float64]
# The rim is looked at this often, and the wall [mm].
RIM_STEP, WALL_STEP = 1.0, 0.5
# The widest place is then narrowed down: so many places at a time, so many times.
PLACES, ROUNDS, FEW = 9, 14, 64


@dataclass(frozen=True)
class Slit:
    """The widest gap [mm] and the two points of it (2,) in the plane [mm]."""

    gap: float
    rim: Floats
    wall: Floats


def widest_slit(rim: Ring, wall: Ring) -> Slit:
    """Return where a rim is farthest from a wall round it, exact about the widest place."""
    seen = Wall(wall)
    along = rim.spread(RIM_STEP)
    gaps = np.linalg.norm(rim.at(along) - seen.nearest(rim.at(along)), axis=1)
    # Chords overrate a gap by up to a ten thousandth: the widest few are looked at exactly.
    few = np.argsort(-gaps, kind="stable")[:FEW]
    points = rim.at(along[few])
    best = int(few[np.linalg.norm(points - seen.foot(points), axis=1).argmax()])
    low, middle, high = along[best - 1], along[best], along[(best + 1) % len(along)]
    count = len(rim.points)
    low, high = low - count if low > middle else low, high + count if high < middle else high
    for _ in range(ROUNDS):
        tried = np.linspace(low, high, PLACES)
        points = rim.at(tried)
        feet = seen.foot(points)
        i = int(np.linalg.norm(points - feet, axis=1).argmax())
        found = Slit(float(np.linalg.norm(points[i] - feet[i])), points[i], feet[i])
        low, high = tried[max(i - 1, 0)], tried[min(i + 1, PLACES - 1)]
    return found


class Wall:
    """An outline that is asked for its nearest places."""

    def __init__(self, ring: Ring) -> None:
        self.ring = ring
        self.places = ring.spread(WALL_STEP)
        self.points = ring.at(self.places)
        self.tree = cKDTree(self.points)

    def nearest(self, points: Floats) -> Floats:
        """Return the nearest places (n, 2) on the chords of the outline."""
        at = self.tree.query(points)[1]
        ways = []
        for first in (at - 1, at):
            a, b = self.points[first], self.points[(first + 1) % len(self.points)]
            way = b - a
            size = np.maximum(np.einsum("ij,ij->i", way, way), 1e-30)
            share = np.clip(np.einsum("ij,ij->i", points - a, way) / size, 0.0, 1.0)
            ways.append(a + share[:, None] * way)
        fore, aft = ways
        nearer = np.linalg.norm(points - fore, axis=1) <= np.linalg.norm(points - aft, axis=1)
        return np.asarray(np.where(nearer[:, None], fore, aft))

    def foot(self, points: Floats) -> Floats:
        """Return the nearest places (n, 2) on the outline itself."""
        at, count = self.tree.query(points)[1], len(self.ring.points)
        middle = self.places[at]
        low, high = self.places[at - 1], self.places[(at + 1) % len(self.places)]
        low, high = (
            np.where(low > middle, low - count, low),
            np.where(high < middle, high + count, high),
        )
        rows = np.arange(len(points))
        for _ in range(ROUNDS):
            tried = low[:, None] + np.linspace(0.0, 1.0, PLACES) * (high - low)[:, None]
            feet = self.ring.at(tried)
            i = np.linalg.norm(feet - points[:, None], axis=2).argmin(axis=1)
            found = feet[rows, i]
            low, high = (
                tried[rows, np.maximum(i - 1, 0)],
                tried[rows, np.minimum(i + 1, PLACES - 1)],
            )
        return np.asarray(found)
