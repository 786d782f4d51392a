"""Wakes: strips of doublets from trailing edges, straight, and what they part on other bodies.

A strip's doublet is the difference of those at its trailing edge (Morino and Kuo 1974). Where the
edge is hidden inside another body, its strip carries on the strength of the nearest one that is
not: the lift goes on through the body, and no vortex begins at a wing's root.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.air.potential import kernels
from geomgen.air.potential.influence import THREADS, in_threads
from geomgen.air.potential.panels import NOBODY, Panels
from geomgen.arrays import Bools, Floats, Ints
from geomgen.errors import GeometryError

# So many times the panels' extent a wake reaches: own choice.
LENGTH = 50.0


@dataclass(frozen=True)
class Wake:
    """Strips (t) of doublets, plus `last` minus `first`; `carried` are those inside other bodies.

    `corners` (t, 4, 3) [mm]: the edge's first end, far behind it, far behind the second end, the
    second end. `along` (3,) [1] is where to.
    """

    corners: Floats
    first: Ints
    last: Ints
    carried: Bools
    along: Floats

    def __len__(self) -> int:
        return len(self.corners)

    @property
    def ends(self) -> Floats:
        """The edges (t, 2, 3) [mm]."""
        return self.corners[:, [0, 3]]


def wake(panels: Panels, along: Floats) -> Wake:
    """Return the wake of all trailing edges, straight along a direction (3,) [1]."""
    edges = panels.edges
    along = np.asarray(along, dtype=float)
    along = along / np.linalg.norm(along)
    extent = np.linalg.norm(np.ptp(panels.corners.reshape(-1, 3), axis=0))
    far = LENGTH * extent * along
    ends = edges.ends
    long_enough = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) > 1e-9 * extent
    open_ = (edges.first != NOBODY) & (edges.last != NOBODY)
    source = _nearest_open(panels, open_ & long_enough)
    corners = np.stack([ends[:, 0], ends[:, 0] + far, ends[:, 1] + far, ends[:, 1]], axis=1)
    of = long_enough
    return Wake(
        corners[of], edges.first[source][of], edges.last[source][of], ~open_[of], along
    )


def _nearest_open(panels: Panels, open_: Bools) -> Ints:
    """Return for each trailing edge itself, or the nearest open one of its body."""
    edges = panels.edges
    source = np.arange(len(open_))
    middles = edges.ends.mean(axis=1)
    for index in np.flatnonzero(~open_):
        same = np.flatnonzero(open_ & (edges.body == edges.body[index]))
        if len(same) == 0:
            raise GeometryError(
                "the whole trailing edge is hidden inside other bodies",
                part=panels.names[edges.body[index]],
                step="wake",
            )
        apart = np.linalg.norm(middles[same] - middles[index], axis=1)
        source[index] = same[int(np.argmin(apart))]
    return source


def felt(trail: Wake, points: Floats, mirrored: bool, threads: int = THREADS) -> Floats:
    """Return the potentials (p, t) [1] of unit strips at points (p, 3) [mm]."""
    angles = np.empty((len(points), len(trail)))
    points, corners = np.ascontiguousarray(points), np.ascontiguousarray(trail.corners)
    images = 2 if mirrored else 1

    def rows(part: slice) -> None:
        kernels.fill_exactly(points[part], corners, images, angles[part])

    in_threads(rows, len(points), threads)
    return np.asarray(angles / (4 * np.pi))


def parted(panels: Panels, trail: Wake) -> Bools:
    """Say which neighbours (n, 2, 2) a wake lies between: the potential jumps there."""
    cut = np.zeros((len(panels), 2, 2), dtype=bool)
    if len(trail) == 0:
        return cut
    foremost = (trail.corners @ trail.along).min()
    near = panels.neighbours
    asked = (near != NOBODY) & ~panels.turned
    asked &= (panels.centres @ trail.along > foremost)[:, None, None]
    who, line, side = np.nonzero(asked)
    start, end = panels.centres[who], panels.centres[near[who, line, side]]
    hit = np.zeros(len(who), dtype=bool)
    for a, b, c, d in trail.corners:
        hit |= _through(start, end, a, b, c) | _through(start, end, a, c, d)
    cut[who, line, side] = hit
    return cut


def _through(start: Floats, end: Floats, a: Floats, b: Floats, c: Floats) -> Bools:
    """Say which segments (m, 3) pass through a triangle."""
    step, one, two = end - start, b - a, c - a
    over = np.cross(step, two)
    det = over @ one
    with np.errstate(divide="ignore", invalid="ignore"):
        off = start - a
        u = np.einsum("md,md->m", off, over) / det
        around = np.cross(off, one)
        v = np.einsum("md,md->m", step, around) / det
        t = around @ two / det
    return np.asarray((u >= 0) & (v >= 0) & (u + v <= 1) & (t >= 0) & (t <= 1))
