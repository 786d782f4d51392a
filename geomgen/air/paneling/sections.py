"""Grids on wings, tails and struts, from cuts across their span.

A section that another part or its joint has cut is drawn straight on from the whole ones beside it;
what lies inside the other part is dropped later.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_waterline
from geomgen.kernel.second_library import cross_section, hull_of

# So many cuts are looked at across the span; the outermost stand off the ends by this share of it.
CUTS, ENDS = 60, 2e-3
# What stands within this share of the chord of the aftmost point is its blunt end: own choice.
BLUNT = 2e-3


@dataclass(frozen=True)
class SpanStretch:
    """Along what a surface runs (1 buttock lines, 2 waterlines), from where to where [mm]."""

    axis: int
    low: float
    high: float


def _frame_at(axis: int, line: float) -> Frame:
    """Return the plane of a buttock line (axis 1) or waterline (axis 2) [mm]."""
    return at_buttock_line(line) if axis == 1 else at_waterline(line)


def section(hulls: Sequence[object], axis: int, line: float, count: int) -> Floats | None:
    """Return a section's outline (2 `count` + 1, 3) [mm] from the trailing edge round to it.

    Along the lower side (the right-hand one of a fin's) forward and the other one aft, closer
    together at both edges. None where the cut is in several pieces or in none.
    """
    frame = _frame_at(axis, line)
    pieces = [
        shapely.make_valid(shapely.Polygon(ring))
        for hull in hulls
        for ring in cross_section(hull, frame).to_polygons()
        if len(ring) > 3
    ]
    whole = shapely.union_all(pieces) if pieces else shapely.Polygon()
    if whole.geom_type != "Polygon" or whole.is_empty or whole.area <= 0.0:
        return None
    loop = shapely.get_coordinates(shapely.orient_polygons(whole).exterior)[:-1]
    sides = _sides(loop)
    if sides is None:
        return None
    first, second = sides
    share = 0.5 * (1 - np.cos(np.pi * np.linspace(0.0, 1.0, count + 1)))
    near, far = (_at(side, share) for side in (first, second))
    flat = np.concatenate([near[::-1], far[1:]])
    return np.array([frame.lifted((float(u), float(v))) for u, v in flat])


def _sides(loop: Floats) -> tuple[Floats, Floats] | None:
    """Return both sides of an anticlockwise outline from the leading to the trailing edge.

    The first is the one below in the drawing, where the first coordinate runs aft.
    """
    chord = float(np.ptp(loop[:, 0]))
    aft = loop[:, 0] >= loop[:, 0].max() - BLUNT * chord
    back = np.array([loop[aft, 0].max(), 0.5 * (loop[aft, 1].min() + loop[aft, 1].max())])
    nose = int(np.argmax(np.linalg.norm(loop - back, axis=1)))
    turned = np.roll(loop, -nose, axis=0)
    behind = np.roll(aft, -nose)
    blunt = np.flatnonzero(behind)
    if len(blunt) == 0 or blunt[0] == 0:
        return None
    # Anticlockwise from the leading edge: first the lower side, aft.
    lower = np.concatenate([turned[: blunt[0] + 1], back[None]])
    upper = np.concatenate([turned[:1], turned[: blunt[-1] - 1 : -1], back[None]])
    return lower, upper


def _at(side: Floats, share: Floats) -> Floats:
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(side, axis=0), axis=1))]
    return np.stack([np.interp(share * along[-1], along, side[:, k]) for k in (0, 1)], axis=-1)


def lifting_surface(
    meshes: Sequence[Mesh],
    span: SpanStretch,
    cut_away: Sequence[tuple[float, float]],
    around: int,
    across: int,
    start: float | None = None,
) -> Floats:
    """Return a grid (2 `around` + 1, `across` + 1, 3) [mm] of a wing, tail or strut.

    `cut_away` are stretches of the span where another part cuts it. From `start` on where that is
    given, drawn straight on to there where it lies in such a stretch; else from end to end.
    """
    hulls = [hull_of(mesh) for mesh in meshes]
    low, high = span.low, span.high
    off = ENDS * (high - low)
    lines = np.linspace(low + off, high - off, CUTS)
    free = [x for x in lines.tolist() if not any(a <= x <= b for a, b in cut_away)]
    found = {x: section(hulls, span.axis, x, around) for x in free}
    known = {x: loop for x, loop in found.items() if loop is not None}
    if len(known) < 2:
        raise GeometryError("no two cuts across the span are whole", step="panels")
    at, loops = np.array(list(known)), np.stack(list(known.values()))
    first = low if start is None else start
    inner, outer = min(first, high), high
    share = np.linspace(0.0, 1.0, across + 1)
    # Closer together at the tip; at both ends where there are two.
    wanted = inner + (outer - inner) * (
        np.sin(0.5 * np.pi * share) if start is not None else 0.5 * (1 - np.cos(np.pi * share))
    )
    return _between(at, loops, wanted)


def _between(at: Floats, loops: Floats, wanted: Floats) -> Floats:
    """Return the loops at wanted places, straight between those known and on beyond them."""
    place = np.clip(np.searchsorted(at, wanted), 1, len(at) - 1)
    share = (wanted - at[place - 1]) / (at[place] - at[place - 1])
    grid = loops[place - 1] + share[:, None, None] * (loops[place] - loops[place - 1])
    return np.asarray(grid.swapaxes(0, 1))
