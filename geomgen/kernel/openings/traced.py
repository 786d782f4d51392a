"""An opening told from proven meshes, measured on the exact surfaces: no boolean is needed.

Where each outline of the opening is a ring of one body alone, clear of all others by more than
the meshes may be off, the meshes prove what bounds it; area and centroid then come from the rings
moved onto the surfaces. Where that is not so (parts that touch, a leak, a seed on a skin), nothing
is said and the kernel's way in `openings` is due.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
import shapely
from numpy.typing import NDArray
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.openings.window import Section
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.exact_rings import LEAST_LEAN, ROUNDED, ExactCut, Ring, summed
from geomgen.kernel.sections.mesh_rings import MeshRing, mesh_rings


@dataclass(frozen=True)
class Cut:
    """Where a plane cuts a body's mesh: its rings, and how far each piece may be off [mm]."""

    body: Body
    rings: tuple[MeshRing, ...]
    off: tuple[Floats, ...]

    def material(self) -> shapely.Geometry:
        """Return the cut as a polygon: what lies in an odd number of rings."""
        # Far from the opening a mesh's ring may touch itself; near it `clear_of` has the say.
        flat = [shapely.make_valid(shapely.Polygon(ring.points)) for ring in self.rings]
        return reduce(shapely.symmetric_difference, flat, shapely.Polygon())

    def clear_of(self, what: shapely.Geometry, room: float, but: int = -1) -> bool:
        """Say whether all rings but one are farther off than they may be wrong, and `room` [mm]."""
        return all(
            i == but or bool(np.all(shapely.distance(_pieces(ring), what) > off + room))
            for i, (ring, off) in enumerate(zip(self.rings, self.off, strict=True))
        )


def frame_round(plane: Plane, seed: Vec3) -> Frame:
    """Return a plane with the seed as origin and the directions of the kernel's window.

    >>> frame_round(Plane((5.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (5.0, 2.0, 3.0)).normal
    (1.0, 0.0, 0.0)
    """
    axes = gp_Ax3(gp_Pnt(*seed), gp_Dir(*plane.normal))
    x, y = axes.XDirection(), axes.YDirection()
    return Frame(seed, (x.X(), x.Y(), x.Z()), (y.X(), y.Y(), y.Z()))


def cut_body(body: Body, frame: Frame, reach: float) -> Cut | None:
    """Return the rings of a body in the window of half size `reach` [mm]; None when unsure."""
    found = mesh_rings(body.mesh, frame)
    if found is None:
        return None
    rings = tuple(ring for ring in found if _meets_window(ring.points, reach))
    return Cut(body, rings, tuple(_off(body, frame, ring) for ring in rings))


@dataclass(frozen=True)
class Outlined:
    """A plane region by its exact rings, the outer one first: of an opening or of material."""

    frame: Frame
    rings: tuple[Ring, ...]

    def section(self) -> Section:
        """Return area, bound and centroid."""
        area, error, (x, y) = summed(self.rings)
        return Section("open", abs(area), error, self.frame.lifted((float(x), float(y))))

    def lifted(self, flat: Floats) -> Vec3:
        """Return a point of the plane in space [mm]."""
        return self.frame.lifted((float(flat[0]), float(flat[1])))


def traced_opening(
    plane: Plane, seed: Vec3, reach: float, bodies: Sequence[Body]
) -> Section | None:
    """Return the opening round `seed` that the bodies leave in a plane; None when not proved.

    As `openings.opening`, without the face.
    """
    found = outlined_opening(plane, seed, reach, bodies)
    return found.section() if isinstance(found, Outlined) else found


def outlined_opening(
    plane: Plane, seed: Vec3, reach: float, bodies: Sequence[Body]
) -> Outlined | Section | None:
    """Return the rings round an opening; a shut section where bodies stand at the seed."""
    frame = frame_round(plane, seed)
    cuts = [cut_body(body, frame, reach) for body in bodies]
    known = [cut for cut in cuts if cut is not None]
    if len(known) < len(cuts) or not all(c.clear_of(shapely.Point(0, 0), 0.0) for c in known):
        return None
    materials = [cut.material() for cut in known]
    standing = tuple(i for i, m in enumerate(materials) if shapely.contains_xy(m, 0.0, 0.0))
    if standing:
        return Section("shut", standing=standing)
    outlines = _outlines(known, materials, reach)
    if outlines is None:
        return None
    outer, number = outlines[0]
    if not _all_seen(frame, bodies, known[outer].rings[number]):
        return None
    return _outlined(frame, [(known[i], j) for i, j in outlines])


def outlined_material(plane: Plane, seed: Vec3, reach: float, body: Body) -> list[Outlined] | None:
    """Return the regions in which a plane cuts a body, as `openings.material`; None when unsure."""
    frame = frame_round(plane, seed)
    cut = cut_body(body, frame, reach)
    if cut is None or not all(_alone([cut], (0, i)) for i in range(len(cut.rings))):
        return None
    if any(np.abs(ring.points).max() > reach for ring in cut.rings):
        return None
    shapes = [shapely.Polygon(ring.points) for ring in cut.rings]
    outer = [i for i, ring in enumerate(cut.rings) if ring.area > 0.0]
    found = []
    for i in outer:
        within = [
            j for j in range(len(shapes)) if j != i and shapely.contains(shapes[i], shapes[j])
        ]
        if any(j in outer for j in within) or not _all_seen(frame, [body], cut.rings[i]):
            return None
        found.append(_outlined(frame, [(cut, j) for j in (i, *within)]))
    known = [region for region in found if region is not None]
    return known if len(known) == len(found) else None


def _outlined(frame: Frame, outlines: Sequence[tuple[Cut, int]]) -> Outlined | None:
    exact = [ExactCut(cut.body, frame).ring(cut.rings[number]) for cut, number in outlines]
    rings = tuple(ring for ring in exact if ring is not None)
    return Outlined(frame, rings) if len(rings) == len(exact) else None


def _meets_window(points: Floats, reach: float) -> bool:
    low, high = points.min(axis=0), points.max(axis=0)
    return bool(np.all(low <= reach) and np.all(high >= -reach))


def _off(body: Body, frame: Frame, ring: MeshRing) -> Floats:
    """Return how far each piece of a ring may be off in the plane (n,) [mm]."""
    lean = lean_of(body.mesh, frame, ring.triangles)
    return np.asarray((1.5 * body.deviation + ROUNDED) / np.maximum(lean, 1e-6))


def lean_of(mesh: Mesh, frame: Frame, triangles: NDArray[np.intp]) -> Floats:
    """Return the sine of the angle between triangles and a plane, (n,)."""
    a, b, c = mesh.vertices[mesh.triangles[triangles]].transpose(1, 0, 2)
    square = cross(b - a, c - a)
    size = np.linalg.norm(square, axis=1)
    along = square @ np.array(frame.normal) / np.where(size > 0.0, size, 1.0)
    return np.asarray(np.sqrt(np.maximum(0.0, 1.0 - along**2)))


def _pieces(ring: MeshRing) -> NDArray[np.object_]:
    ends = np.stack([ring.points, np.roll(ring.points, -1, axis=0)], axis=1)
    return np.asarray(shapely.linestrings(ends))


def _outlines(
    cuts: Sequence[Cut], materials: Sequence[shapely.Geometry], reach: float
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
    return known if all(_alone(cuts, outline) for outline in known) else None


def _same(
    line: shapely.LinearRing, cuts: Sequence[Cut], whose: dict[tuple[float, ...], tuple[int, int]]
) -> tuple[int, int] | None:
    """Return the one ring that an outline of the opening consists of, all of it."""
    corners = {tuple(point) for point in shapely.get_coordinates(line).tolist()}
    rings = {whose.get(corner) for corner in corners}
    one = rings.pop() if len(rings) == 1 else None
    if one is None:
        return None
    every = {tuple(point) for point in cuts[one[0]].rings[one[1]].points.tolist()}
    return one if corners == every else None


def _alone(cuts: Sequence[Cut], outline: tuple[int, int]) -> bool:
    body, number = outline
    ring, off = cuts[body].rings[number], cuts[body].off[number]
    line, room = shapely.LinearRing(ring.points), float(off.max())
    return all(cut.clear_of(line, room, number if i == body else -1) for i, cut in enumerate(cuts))


def _all_seen(frame: Frame, bodies: Sequence[Body], outer: MeshRing) -> bool:
    """Say whether no skin lies so flat beside the plane that its mesh may have missed a cut."""
    low, high = outer.points.min(axis=0), outer.points.max(axis=0)
    return not any(_flat_beside(frame, body, low, high) for body in bodies)


def _flat_beside(frame: Frame, body: Body, low: Floats, high: Floats) -> bool:
    height = frame.height(body.mesh.vertices)[body.mesh.triangles]
    near = np.nonzero(np.min(np.abs(height), axis=1) <= body.deviation + ROUNDED)[0]
    near = near[lean_of(body.mesh, frame, near) < LEAST_LEAN]
    flat = frame.flat(body.mesh.vertices[body.mesh.triangles[near]].reshape(-1, 3))
    flat = flat.reshape(-1, 3, 2)
    return bool(np.any(np.all((flat.min(axis=1) <= high) & (flat.max(axis=1) >= low), axis=1)))
