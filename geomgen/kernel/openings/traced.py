"""An opening told from proven meshes, measured on the exact surfaces: no boolean is needed.

Where each outline of the opening is a ring of one body alone, clear of all others by more than
the meshes may be off, the meshes prove what bounds it; area and centroid then come from the rings
moved onto the surfaces. Where that is not so (parts that touch, a leak, a seed on a skin), nothing
is said and the kernel's way in `openings` is due.
"""

from collections.abc import Sequence

import shapely

from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.openings.window import OpenArea
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.sections.section import (
    BodyCut,
    Outlined,
    all_seen,
    alone,
    cut_body,
    outlined,
    summed,
)


def traced_opening(
    plane: Plane, seed: Vec3, reach: float, bodies: Sequence[Body]
) -> OpenArea | None:
    """Return the opening round `seed` [mm] that the bodies leave in a plane; None when not proved.

    As `opening` in `window`, without the face; `reach` is the half size of the window [mm].
    """
    found = outlined_opening(plane, seed, reach, bodies)
    return section_of(found) if isinstance(found, Outlined) else found


def section_of(found: Outlined) -> OpenArea:
    """Return area, bound and centroid of an opening by its rings."""
    area, error, (x, y) = summed(found.rings)
    return OpenArea("open", abs(area), error, found.frame.lifted((float(x), float(y))))


def outlined_opening(
    plane: Plane, seed: Vec3, reach: float, bodies: Sequence[Body]
) -> Outlined | OpenArea | None:
    """Return the rings round an opening; a shut one where bodies stand at the seed [mm]."""
    frame = frame_round(plane, seed)
    cuts = [cut_body(body, frame, reach) for body in bodies]
    known = [cut for cut in cuts if cut is not None]
    if len(known) < len(cuts) or not all(c.clear_of(shapely.Point(0, 0), 0.0) for c in known):
        return None
    materials = [cut.material() for cut in known]
    standing = tuple(i for i, m in enumerate(materials) if shapely.contains_xy(m, 0.0, 0.0))
    if standing:
        return OpenArea("shut", standing=standing)
    outlines = _outlines(known, materials, reach)
    if outlines is None:
        return None
    outer, number = outlines[0]
    if not all_seen(frame, bodies, known[outer].rings[number]):
        return None
    return outlined(frame, [(known[i], j) for i, j in outlines])


def _outlines(
    cuts: Sequence[BodyCut], materials: Sequence[shapely.Geometry], reach: float
) -> list[tuple[int, int]] | None:
    """Return the rings round the opening, the outer one first, as (body, ring); None if unsure."""
    window = shapely.box(-reach, -reach, reach, reach)
    left = shapely.difference(window, shapely.union_all(list(materials)))
    round_seed = [g for g in shapely.get_parts(left) if shapely.contains_xy(g, 0.0, 0.0)]
    if len(round_seed) != 1:
        return None
    (piece,) = round_seed
    whose = {
        tuple(point): (i, j)
        for i, cut in enumerate(cuts)
        for j, ring in enumerate(cut.rings)
        for point in ring.points.tolist()
    }
    found = [_same(line, cuts, whose) for line in (piece.exterior, *piece.interiors)]
    known = [outline for outline in found if outline is not None]
    if len(known) < len(found):
        return None
    return known if all(alone(cuts, outline) for outline in known) else None


def _same(
    line: shapely.LinearRing,
    cuts: Sequence[BodyCut],
    whose: dict[tuple[float, ...], tuple[int, int]],
) -> tuple[int, int] | None:
    """Return the one ring that an outline of the opening consists of, all of it."""
    corners = {tuple(point) for point in shapely.get_coordinates(line).tolist()}
    rings = {whose.get(corner) for corner in corners}
    one = rings.pop() if len(rings) == 1 else None
    if one is None:
        return None
    every = {tuple(point) for point in cuts[one[0]].rings[one[1]].points.tolist()}
    return one if corners == every else None
