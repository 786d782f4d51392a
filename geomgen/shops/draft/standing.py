"""A scoop that stands on a body, as if moulded in one with it, and the undercut it brings.

Surfaces where the two lie against each other (the scoop's seat and the skin under it) would not
exist in one piece, so they do not count; what counts is what the pull can't release: the inside of
the mouth and passage that faces the body, and the skin under the open mouth.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.mesh import cross
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.visibility.shadow import overhead
from geomgen.shops.draft.cells import Cells, DraftBody, decided, share_below
from geomgen.shops.draft.undercut import LEAN, Region, Side, beyond, largest_region, shadowed

# A seat is looked for from this far outside the surface [mm].
REACH = 5.0


@dataclass(frozen=True)
class Standing:
    """Undercut [mm2] that a scoop brings: on itself, on the body under it; its largest piece."""

    on_scoop: float
    on_body: float
    at: Region | None
    cells: Cells
    undercut: Floats

    @property
    def area(self) -> float:
        """Return the undercut in all [mm2]."""
        return self.on_scoop + self.on_body


def standing(body: DraftBody, scoop: DraftBody, pull: Vec3, seat: float, side: Side) -> Standing:
    """Measure what of a scoop on a body a mould pulled along `pull` can't release.

    `seat` [mm] is the gap within which the two count as lying against each other; `side` (see
    `draft_of`) limits it to one half.
    """
    d = np.array(pull) / np.linalg.norm(pull)
    mine = beyond(scoop.cells, side)
    if not len(mine.face):
        return Standing(0.0, 0.0, None, mine, np.zeros(0))
    cells = decided(scoop, mine, [lambda c: c.normals @ d + LEAN])
    both = np.concatenate([scoop.mesh.corners, body.mesh.corners])
    cells, dark = shadowed(scoop, cells, both, pull)
    held = np.maximum(share_below(cells.normals @ d + LEAN), dark)
    held[seated(cells, body, d, seat + body.clear)] = 0.0
    areas = cells.areas * held
    return Standing(
        float(areas.sum()),
        _under(body, scoop, d, seat, side),
        largest_region(scoop.beside, cells, areas),
        cells,
        held,
    )


def seated(cells: Cells, body: DraftBody, d: Floats, seat: float) -> Floats:
    """Return which cells (m,) lie within `seat` [mm] of a body that is met against `d` (3,)."""
    start = cells.middles + REACH * d
    back = (float(-d[0]), float(-d[1]), float(-d[2]))
    corners = body.mesh.corners
    met = overhead(start, corners, back)
    hit = met.triangle >= 0
    a, b, c = corners[met.triangle[hit]].transpose(1, 0, 2)
    normal = cross(b - a, c - a)
    size = np.maximum(np.linalg.norm(normal, axis=1), 1e-300)
    gap = np.full(len(hit), np.inf)
    gap[hit] = (met.distance[hit] - REACH) * (normal @ d) / size
    return np.asarray(np.abs(gap) <= seat)


def _under(body: DraftBody, scoop: DraftBody, d: Floats, seat: float, side: Side) -> float:
    """Return the area [mm2] of the body that the scoop covers without lying on it."""
    cells = beyond(body.cells, side)
    low, high = scoop.mesh.vertices.min(axis=0), scoop.mesh.vertices.max(axis=0)
    near = (cells.corners.max(axis=1) > low) & (cells.corners.min(axis=1) < high)
    near[:, int(np.abs(d).argmax())] = True
    cells = cells.picked(np.nonzero(near.all(axis=1))[0])
    if not len(cells.face):
        return 0.0
    pull = vec(d)
    cells, dark = shadowed(
        body, decided(body, cells, []), scoop.mesh.corners, pull, seat + body.clear
    )
    return float((cells.areas * dark).sum())
