"""One state of the flow: speeds and pressures on panels, speeds anywhere else."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from geomgen.air.potential.influence import THREADS, in_threads
from geomgen.air.potential.onsets import Onset, Stream
from geomgen.air.potential.panels import Panels
from geomgen.air.potential.wakes import Wake
from geomgen.arrays import Bools, Floats

# A panel further off than so many of its diameters is a point to speeds; a vortex has a core of
# this share of the smallest panels' extent: own choices.
NEAR, CORE = 8.0, 1e-6


@dataclass(frozen=True)
class Flow:
    """A state of the flow about panels.

    `velocity` (n, 3) [m/s] is that along the surface, `onset` (n, 3) [m/s] what would flow there
    without bodies, `still` (n, 3) [m/s] without discs too, `head` (n,) [m2/s2] the rise of total
    head over the density in slipstreams;
    `doubtful` (n,) as in `Slopes`; `doublets` (n,), `jumps` (t,) [mm m/s] and `sources` (n,) [m/s].
    """

    panels: Panels
    wake: Wake
    onsets: tuple[tuple[Onset, float], ...]
    velocity: Floats
    onset: Floats
    still: Floats
    head: Floats
    doubtful: Bools
    doublets: Floats
    jumps: Floats
    sources: Floats = field(repr=False)

    @cached_property
    def stream(self) -> Floats:
        """The free stream (3,) [m/s]."""
        each = [s * np.array(o.direction) for o, s in self.onsets if isinstance(o, Stream)]
        return np.sum(each, axis=0) if each else np.zeros(3)

    @cached_property
    def through(self) -> Floats:
        """Speeds out of the surface (n,) [m/s], where it breathes; nearly none elsewhere."""
        normals = self.panels.normals
        return np.asarray(self.sources + np.einsum("nd,nd->n", normals, self.onset))

    @cached_property
    def speed(self) -> Floats:
        """Speeds (n,) [m/s], along the surface and through it together."""
        return np.asarray(
            np.sqrt(np.einsum("nd,nd->n", self.velocity, self.velocity) + self.through**2)
        )

    @cached_property
    def pressure(self) -> Floats:
        """Pressure (n,) over that of the still air, over the density [m2/s2]; steady flow."""
        around = np.einsum("nd,nd->n", self.still, self.still)
        return np.asarray(0.5 * (around - self.speed**2) + self.head)

    def coefficients(self, speed: float | None = None) -> Floats:
        """Return pressure coefficients (n,) [1] by a speed [m/s], if none is given the stream's."""
        by = float(np.linalg.norm(self.stream)) if speed is None else speed
        return np.asarray(self.pressure / (0.5 * by * by))

    def at(self, points: Floats, threads: int = THREADS) -> Floats:
        """Return speeds (p, 3) [m/s] at points (p, 3) [mm] off the surfaces.

        Within about a panel's length of a surface they show its panels one by one.
        """
        from geomgen.air.potential import kernels

        points = np.ascontiguousarray(points, dtype=float)
        speeds, panels = np.zeros((len(points), 3)), self.panels
        facets, owner = panels.facets
        fixed = (
            *(facets.flat, facets.centres, facets.normals, facets.areas),
            *((NEAR * facets.diameters) ** 2, self.sources[owner], self.doublets[owner]),
            *(
                np.ascontiguousarray(self.wake.corners),
                self.jumps[self.wake.strip],
                2 if panels.mirrored else 1,
            ),
            CORE * float(facets.diameters.max()),
        )

        def rows(part: slice) -> None:
            kernels.fill_speeds(points[part], *fixed, speeds[part])

        in_threads(rows, len(points), threads)
        for onset, strength in self.onsets:
            if strength:
                speeds += strength * onset.at(points)
        return speeds
