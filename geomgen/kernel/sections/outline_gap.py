"""The widest slit between two outlines in one plane."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.kernel.sections.exact_outline import ExactOutline

# The rim is looked at this often, and the wall [mm].
RIM_STEP, WALL_STEP = 1.0, 0.5
# Where a wider place may hide between two looks, so many steps are made of one.
SPLIT = 20
# The widest places are then narrowed down: so many places at a time, so many times.
PLACES, ROUNDS, FEW, BEST = 9, 14, 64, 8
# How near the narrowing comes [mm].
NARROWED = 1e-3


@dataclass(frozen=True)
class Slit:
    """The widest gap [mm], the two points of it (2,) in the plane, how much wider one may be."""

    gap: float
    rim: Floats
    wall: Floats
    bound: float


def widest_slit(rim: ExactOutline, wall: ExactOutline) -> Slit:
    """Return where a rim is farthest from a wall round it, exact about the widest places.

    Between two looks a gap is no wider than the way between them allows: that is the bound.
    """
    seen = Wall(wall)
    tried, gaps = _looks(rim, seen)
    step = (tried[:, 1] - tried[:, 0])[:, None] + 0.0 * tried
    # Chords overrate a gap by up to a ten thousandth: the widest few are looked at exactly.
    few = np.argsort(-np.where(_crests(gaps), gaps, -1.0), axis=None, kind="stable")[:FEW]
    middle, step = tried.ravel()[few], step.ravel()[few]
    points = rim.at(middle)
    best = np.argsort(-np.linalg.norm(points - seen.foot(points), axis=1), kind="stable")[:BEST]
    point, foot = _narrowed(rim, seen, middle[best] - step[best], middle[best] + step[best])
    gap = float(np.linalg.norm(point - foot))
    ways = np.linalg.norm(np.diff(rim.at(tried), axis=1), axis=2)
    most = float(_most(gaps[:, :-1], gaps[:, 1:], ways, RIM_STEP / SPLIT).max())
    return Slit(gap, point, foot, max(NARROWED, most - gap) + rim.blur + wall.blur)


def _most(gaps: Floats, after: Floats, ways: Floats, step: float) -> Floats:
    """Return how wide a gap may be between two looks that are `ways` apart, `step` at least."""
    return np.asarray((gaps + after + np.maximum(ways, step)) / 2)


def _looks(rim: ExactOutline, seen: "Wall") -> tuple[Floats, Floats]:
    """Return places (n, SPLIT + 1) on all steps along a rim that may be widest, and the gaps."""
    along = rim.spread(RIM_STEP)
    points = rim.at(along)
    gaps = np.linalg.norm(points - seen.nearest(points), axis=1)
    after = np.append(along[1:], along[0] + len(rim.points))
    ways = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
    hide = _most(gaps, np.roll(gaps, -1), ways, RIM_STEP) >= gaps.max()
    shares = np.linspace(0.0, 1.0, SPLIT + 1)
    tried = along[hide, None] + (after - along)[hide, None] * shares
    points = rim.at(tried.ravel())
    return tried, np.linalg.norm(points - seen.nearest(points), axis=1).reshape(tried.shape)


def _crests(gaps: Floats) -> NDArray[np.bool_]:
    """Say which gaps (n, m) are not less than the ones beside them in their row."""
    walled = np.pad(gaps, ((0, 0), (1, 1)), constant_values=-1.0)
    return np.asarray((gaps >= walled[:, :-2]) & (gaps >= walled[:, 2:]))


def _narrowed(rim: ExactOutline, seen: "Wall", low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return the widest place (2,) between places low and high (n,), and its foot on the wall."""
    rows = np.arange(len(low))
    for _ in range(ROUNDS):
        tried = low[:, None] + np.linspace(0.0, 1.0, PLACES) * (high - low)[:, None]
        points = rim.at(tried.ravel())
        feet = seen.foot(points)
        gaps = np.linalg.norm(points - feet, axis=1).reshape(tried.shape)
        i = gaps.argmax(axis=1)
        widest = int(gaps.argmax())
        found = points[widest], feet[widest]
        low, high = tried[rows, np.maximum(i - 1, 0)], tried[rows, np.minimum(i + 1, PLACES - 1)]
    return found


class Wall:
    """An outline that is asked for its nearest places."""

    def __init__(self, ring: ExactOutline) -> None:
        self.ring = ring
        self.places = ring.spread(WALL_STEP)
        self.points = ring.at(self.places)
        self.tree = cKDTree(self.points)

    def nearest(self, points: Floats) -> Floats:
        """Return the nearest places (n, 2) [mm] on the chords of the outline."""
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
        """Return the nearest places (n, 2) [mm] on the outline itself."""
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
