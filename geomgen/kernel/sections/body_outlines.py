"""Outlines of a body in a plane, told from its proven mesh and moved onto its exact surfaces.

What can't be proved so is None, and the kernel's own cut in `plane_cut` is due.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
import shapely
from numpy.typing import NDArray

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.exact_outline import PLACES
from geomgen.kernel.sections.exact_rings import LEAST_LEAN, ROUNDED, ExactCut, ExactRing
from geomgen.kernel.sections.mesh_rings import MeshRing, mesh_rings


@dataclass(frozen=True)
class BodyCut:
    """Where a plane cuts a body's mesh: its rings, and how far each piece may be off [mm].

    `lean` is the sine [1] of the angle between each piece's triangle and the plane.
    """

    body: Body
    rings: tuple[MeshRing, ...]
    off: tuple[Floats, ...]
    lean: tuple[Floats, ...]

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


def cut_body(body: Body, frame: Frame, reach: float) -> BodyCut | None:
    """Return the rings of a body in the window of half size `reach` [mm]; None when unsure."""
    found = mesh_rings(body.mesh, frame)
    if found is None:
        return None
    rings = tuple(ring for ring in found if _meets_window(ring.points, reach))
    lean = tuple(lean_of(body.mesh, frame, ring.triangles) for ring in rings)
    off = tuple(_off(body, ring, own) for ring, own in zip(rings, lean, strict=True))
    return BodyCut(body, rings, off, lean)


@dataclass(frozen=True)
class Outlined:
    """A plane region by its exact rings, the outer one first: of an opening or of material."""

    frame: Frame
    rings: tuple[ExactRing, ...]

    def lifted(self, flat: Floats) -> Vec3:
        """Return a point of the plane in space [mm]."""
        return self.frame.lifted((float(flat[0]), float(flat[1])))


def outlines(frame: Frame, body: Body, reach: float) -> list[Outlined] | None:
    """Return the regions in which a plane cuts a body, within `reach` [mm]; None when unsure."""
    cut = cut_body(body, frame, reach)
    if cut is None or not all(alone([cut], (0, i)) for i in range(len(cut.rings))):
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
        if any(j in outer for j in within) or not all_seen(frame, [body], cut.rings[i]):
            return None
        found.append(outlined(frame, [(cut, j) for j in (i, *within)]))
    known = [region for region in found if region is not None]
    return known if len(known) == len(found) else None


def outlined(frame: Frame, outlines: Sequence[tuple[BodyCut, int]]) -> Outlined | None:
    """Return rings, each a cut and its number there, on the exact surfaces; None when unproved."""
    exact = [
        _as_meshed(cut, number) if cut.body.first
        else ExactCut(cut.body, frame).ring(cut.rings[number])
        for cut, number in outlines
    ]  # fmt: skip
    rings = tuple(ring for ring in exact if ring is not None)
    return Outlined(frame, rings) if len(rings) == len(exact) else None


def _as_meshed(cut: BodyCut, number: int) -> ExactRing | None:
    """Return a ring of a body of which only the mesh is known; None where it leans too little.

    Its area is off by no more than its length times how far it may be off.
    """
    ring, off = cut.rings[number], cut.off[number]
    after = np.roll(ring.points, -1, axis=0)
    chord = after - ring.points
    along = ring.points[:, None] + PLACES[:, None] * chord[:, None]
    middle = ring.points.mean(axis=0)
    a, b = ring.points - middle, after - middle
    wedge = 0.5 * (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    moments = (wedge[:, None] * (a + b) / 3.0).sum(axis=0) + wedge.sum() * middle
    most = float(off.max())
    error = float(np.linalg.norm(chord, axis=1) @ off) + np.pi * most**2
    lean = float(cut.lean[number].min())
    if lean < LEAST_LEAN:
        return None
    return ExactRing(ring.points, along, float(wedge.sum()), error, moments, lean, blur=most)


def _meets_window(points: Floats, reach: float) -> bool:
    low, high = points.min(axis=0), points.max(axis=0)
    return bool(np.all(low <= reach) and np.all(high >= -reach))


def _off(body: Body, ring: MeshRing, lean: Floats) -> Floats:
    """Return how far each piece of a ring may be off in the plane (n,) [mm]."""
    off = (
        body.off_at(body.mesh.corners[ring.triangles].mean(axis=1))
        if body.first
        else body.deviation
    )
    return np.asarray((1.5 * off + ROUNDED) / np.maximum(lean, 1e-6))


def lean_of(mesh: Mesh, frame: Frame, triangles: NDArray[np.intp]) -> Floats:
    """Return the sine [1] of the angle between triangles and a plane, (n,)."""
    a, b, c = mesh.vertices[mesh.triangles[triangles]].transpose(1, 0, 2)
    square = cross(b - a, c - a)
    size = np.linalg.norm(square, axis=1)
    along = square @ np.array(frame.normal) / np.where(size > 0.0, size, 1.0)
    return np.asarray(np.sqrt(np.maximum(0.0, 1.0 - along**2)))


def _pieces(ring: MeshRing) -> NDArray[np.object_]:
    ends = np.stack([ring.points, np.roll(ring.points, -1, axis=0)], axis=1)
    return np.asarray(shapely.linestrings(ends))


def alone(cuts: Sequence[BodyCut], outline: tuple[int, int]) -> bool:
    """Say whether a ring, by its cut and its number there, is clear of all others."""
    body, number = outline
    ring, off = cuts[body].rings[number], cuts[body].off[number]
    line, room = shapely.LinearRing(ring.points), float(off.max())
    return all(cut.clear_of(line, room, number if i == body else -1) for i, cut in enumerate(cuts))


def all_seen(frame: Frame, bodies: Sequence[Body], outer: MeshRing) -> bool:
    """Say whether no skin lies so flat beside the plane that its mesh may have missed a cut."""
    low, high = outer.points.min(axis=0), outer.points.max(axis=0)
    return not any(_flat_beside(frame, body, low, high) for body in bodies)


def _flat_beside(frame: Frame, body: Body, low: Floats, high: Floats) -> bool:
    off = np.abs(frame.height(body.mesh.vertices))
    height = np.minimum.reduce([off[corner] for corner in body.mesh.triangles.T])
    near = np.nonzero(height <= body.deviation + ROUNDED)[0]
    if body.first:
        near = near[height[near] <= body.off_at(body.mesh.corners[near].mean(axis=1)) + ROUNDED]
    near = near[lean_of(body.mesh, frame, near) < LEAST_LEAN]
    flat = frame.flat(body.mesh.vertices[body.mesh.triangles[near]].reshape(-1, 3))
    flat = flat.reshape(-1, 3, 2)
    return bool(np.any(np.all((flat.min(axis=1) <= high) & (flat.max(axis=1) >= low), axis=1)))
