"""How far a limb of the pilot is from a mesh: the least over all balls that the limb is made of."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.plain import Limb, Vec3, vec

# The search for the least gap ends within this [mm].
WITHIN = 0.05
FIRST = 16


@dataclass(frozen=True)
class LimbGap:
    """A gap [mm], the limb's name, and its two ends: on the limb's skin, on the mesh."""

    gap: float
    limb: str
    on_limb: Vec3
    on_part: Vec3


def middles(limb: Limb, shares: Floats) -> tuple[Floats, Floats]:
    """Return middles (n, 3) and radii (n,) [mm] of a limb's balls at shares (n,) [1] of its length.

    >>> limb = Limb("arm", (0.0, 0.0, 0.0), (4.0, 0.0, 0.0), 1.0, 3.0)
    >>> [found.tolist() for found in middles(limb, np.array([0.5]))]
    [[[2.0, 0.0, 0.0]], [2.0]]
    """
    start, end = np.array(limb.start), np.array(limb.end)
    radius = limb.start_radius + shares * (limb.end_radius - limb.start_radius)
    return start + shares[:, None] * (end - start), radius


def change(limb: Limb) -> float:
    """Return how much a gap can change along the whole of a limb [mm], at the most."""
    length = float(np.linalg.norm(np.subtract(limb.end, limb.start)))
    return length + abs(limb.end_radius - limb.start_radius)


def nearest(limb: Limb, search: MeshSearch) -> LimbGap:
    """Return the gap of a limb to a mesh that does not hold its middle line, within `WITHIN` [mm].

    Negative where the mesh runs through the limb: how far the limb's skin lies beyond it. What the
    gap is between two places of the limb is bounded by what it is at them, so none is missed.

    >>> wall = np.array([[[0.0, 0.0, 9.0], [90.0, 0.0, 9.0], [0.0, 90.0, 9.0]]])
    >>> limb = Limb("arm", (20.0, 20.0, 0.0), (30.0, 20.0, 0.0), 2.0, 4.0)
    >>> nearest(limb, MeshSearch(wall)).gap
    5.0
    """
    most, half = change(limb), 0.5 / FIRST
    shares = np.concatenate([[0.0, 1.0], (np.arange(FIRST) + 0.5) / FIRST])
    best, found = np.inf, LimbGap(np.inf, limb.name, limb.start, limb.start)
    while len(shares):
        points, radii = middles(limb, shares)
        near = search.nearest(points)
        gaps = near.distance - radii
        at = int(gaps.argmin())
        if gaps[at] < best:
            best = float(gaps[at])
            found = _told(limb, points[at], near.foot[at], float(radii[at]), best)
        inner = (shares > 0.0) & (shares < 1.0)
        shares = shares[inner & (gaps - most * half < best - WITHIN)]
        half /= 2
        shares = np.concatenate([shares - half, shares + half])
    return found


def _told(limb: Limb, middle: Floats, foot: Floats, radius: float, gap: float) -> LimbGap:
    way = foot - middle
    size = float(np.linalg.norm(way))
    skin = middle + radius * way / size if size else middle
    return LimbGap(gap, limb.name, vec(skin + 0.0), vec(foot + 0.0))


def farthest_out(limb: Limb, points: Floats, radii: Floats, search: MeshSearch) -> LimbGap:
    """Return how far a limb is out [mm], as a negative gap, of balls (n, 3), (n,) [mm] that are.

    Where a ball's middle is beyond a skin, all of the ball counts as far as its far side.
    """
    near = search.nearest(points)
    out = near.distance + radii
    at = int(out.argmax())
    way = points[at] - near.foot[at]
    size = float(np.linalg.norm(way))
    skin = points[at] + radii[at] * way / size if size else points[at]
    return LimbGap(-float(out[at]), limb.name, vec(skin + 0.0), vec(near.foot[at] + 0.0))
