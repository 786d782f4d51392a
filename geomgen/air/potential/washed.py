"""Wakes that pass other bodies close by, felt there as speeds and not as potentials.

Where a wake's sheet cuts through a body, or passes nearer than its panels are long, potentials at
single points jump. Such a body takes the wake as part of what flows onto it: a speed with a core as
wide as its own panels, which its sources answer to. Each body's inside is a region of its own, so
what is taken as onset there may differ from body to body.
"""

from collections.abc import Collection

import numpy as np

from geomgen.air.potential import kernels
from geomgen.air.potential.influence import THREADS, in_threads
from geomgen.air.potential.panels import Panels
from geomgen.air.potential.wakes import Wake
from geomgen.arrays import Bools, Floats

# A vortex has a core of this share of the panel that feels it: own choice.
CORE = 0.6


def washed_by(panels: Panels, trail: Wake, bodies: Collection[str]) -> Bools:
    """Say which panels (n) take which strips (t) as speeds: named bodies, others' wakes."""
    of = panels.body[trail.first]
    named = np.isin(panels.body, [panels.names.index(b) for b in bodies if b in panels.names])
    return np.asarray(named[:, None] & (panels.body[:, None] != of[None]))


def wash(panels: Panels, trail: Wake, who: Bools, threads: int = THREADS) -> Floats:
    """Return the speeds (n, 3, t) [1/mm] of unit strips at the panels' spots, 0 where not `who`."""
    speeds = np.zeros((len(panels), 3, len(trail)))
    rows = np.flatnonzero(who.any(axis=1))
    if not len(rows):
        return speeds
    points = np.ascontiguousarray(panels.spots[rows])
    cores = np.ascontiguousarray(CORE * panels.whole.diameters[rows])
    found = np.zeros((len(rows), 3, len(trail.corners)))
    corners = np.ascontiguousarray(trail.corners)
    images = 2 if panels.mirrored else 1

    def some(part: slice) -> None:
        kernels.fill_rings(points[part], corners, cores[part], images, found[part])

    in_threads(some, len(rows), threads)
    each = np.zeros((len(rows), 3, len(trail)))
    for strip in range(len(trail)):
        each[:, :, strip] = found[:, :, trail.strip == strip].sum(axis=2)
    speeds[rows] = each / (4 * np.pi)
    return np.asarray(speeds * who[:, None, :])
