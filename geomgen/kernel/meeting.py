"""Whether two solids share space, told from proven meshes first and from the solids where needed.

The kernel's distance can be positive for solids that intersect, and its booleans can miss a
crossing. Meshes that are proven to lie within a known deviation of their solids settle most pairs:
when the gap between two meshes is more than the two deviations together, the solids are apart.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.booleans import divide, volume
from geomgen.kernel.distance import closest
from geomgen.kernel.mesh_record import Floats, Ints, Mesh
from geomgen.kernel.plain import Vec3
from geomgen.kernel.probing import NEAR, Classifier, points_on
from geomgen.kernel.properties import bounding_box, faces_of

Bools = NDArray[np.bool_]
# Shared volumes thinner than this are two faces that touch, as far as the kernel can tell [mm].
TOUCH = 2 * NEAR
# Of a thin meeting so many pieces are probed, at these shares of their length.
PIECES = 8
SLICES = (0.5, 0.25, 0.75, 0.1, 0.9)
# Ways in which a mesh is looked through; how many of the points it does not hold are asked for.
RAYS = ((0.577, 0.211, 0.789), (-0.314, 0.871, 0.378))
OTHERS = 12
# Near triangles are quartered so often for a closer look, and compared so many at a time.
QUARTERS, CHUNK = 2, 64


@dataclass(frozen=True)
class Body:
    """A solid with its mesh, the mesh's deviation [mm], and the mesh as the second library's."""

    solid: TopoDS_Shape
    mesh: Mesh
    deviation: float
    hull: Any


def body_of(solid: TopoDS_Shape, mesh: Mesh, deviation: float) -> Body:
    """Join a solid and its mesh; GeometryError when the second library refuses the mesh."""
    import manifold3d

    hull = manifold3d.Manifold(
        manifold3d.Mesh64(mesh.vertices.astype(np.float64), mesh.triangles.astype(np.uint64))
    )
    if hull.status() != manifold3d.Error.NoError:
        raise GeometryError(f"its mesh is refused: {hull.status()}", step="meeting of parts")
    return Body(solid, mesh, deviation, hull)


def near_faces(a: Body, b: Body, reach: float) -> tuple[TopoDS_Shape, TopoDS_Shape]:
    """Return the faces of two solids that are apart which may be within `reach` [mm] of each other.

    Told by the boxes of their triangles, grown by what the meshes may be off. Both whole where no
    face is that near: `reach` is then too small, and the caller's figure is not right.
    """
    room = reach + a.deviation + b.deviation
    one, other = _triangles(a, b, room), _triangles(b, a, room)
    for quarter in range(QUARTERS + 1):
        near = _pairs(one, other, room)
        one = one.some(np.asarray(near.any(axis=1)))
        other = other.some(np.asarray(near.any(axis=0)))
        if quarter < QUARTERS:
            one, other = one.quartered(), other.quartered()
    if not len(one.face):
        return a.solid, b.solid
    return _of_faces(a.solid, one.face), _of_faces(b.solid, other.face)


@dataclass(frozen=True)
class _Triangles:
    """Corners (n, 3, 3) [mm] of triangles, and their faces (n,)."""

    corners: Floats
    face: Ints

    def some(self, which: Bools) -> "_Triangles":
        return _Triangles(self.corners[which], self.face[which])

    def quartered(self) -> "_Triangles":
        """Return the four quarters of each triangle."""
        a, b, c = self.corners.transpose(1, 0, 2)
        d, e, f = 0.5 * (a + b), 0.5 * (b + c), 0.5 * (c + a)
        every = [(a, d, f), (d, b, e), (f, e, c), (d, e, f)]
        corners = np.concatenate([np.stack(quarter, axis=1) for quarter in every])
        return _Triangles(corners, np.tile(self.face, 4))

    def boxes(self) -> tuple[Floats, Floats]:
        return self.corners.min(axis=1), self.corners.max(axis=1)


def _triangles(body: Body, other: Body, room: float) -> _Triangles:
    """Return the triangles of a body that reach into the grown box of another."""
    found = _Triangles(body.mesh.corners, body.mesh.face)
    low, high = found.boxes()
    points = other.mesh.vertices
    within = (low <= points.max(axis=0) + room) & (high >= points.min(axis=0) - room)
    return found.some(np.all(within, axis=1))


def _pairs(one: _Triangles, other: _Triangles, room: float) -> Bools:
    """Say of each two triangles (n, m) whether their boxes are within `room` [mm]."""
    (low, high), (bottom, top) = one.boxes(), other.boxes()
    near = np.zeros((len(low), len(bottom)), dtype=bool)
    for i in range(0, len(low), CHUNK):
        rows = slice(i, i + CHUNK)
        square = np.zeros(near[rows].shape)
        for k in range(3):
            off = np.maximum(
                low[rows, None, k] - top[None, :, k], bottom[None, :, k] - high[rows, None, k]
            )
            square += np.maximum(off, 0.0) ** 2
        near[rows] = square <= room**2
    return near


def _of_faces(solid: TopoDS_Shape, chosen: Ints) -> TopoDS_Shape:
    together, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(together)
    every = faces_of(solid)
    for number in np.unique(chosen).tolist():
        builder.Add(together, every[number])
    return together


@dataclass(frozen=True)
class Meeting:
    """How deep two solids run into each other [mm], the volume they share, where, how known."""

    depth: float
    shared: float
    at: Vec3
    method: str
    error: float


def meeting(a: Body, b: Body) -> Meeting | None:
    """Return how two solids share space; None when they are apart or only touch.

    The depth is the least side of the box round the deepest shared piece.
    """
    slack = a.deviation + b.deviation
    low, high = a.mesh.vertices.min(axis=0) - slack, a.mesh.vertices.max(axis=0) + slack
    if np.any(b.mesh.vertices.max(axis=0) < low) or np.any(b.mesh.vertices.min(axis=0) > high):
        return None
    shared = a.hull ^ b.hull
    if shared.is_empty() and a.hull.min_gap(b.hull, slack + 1.0) > slack:
        return None
    if not shared.is_empty() and 2 * shared.volume() > 4 * slack * shared.surface_area() / 2:
        return _deep(a, b, shared)
    # No deeper than the deviations, if at all, and neither holds the other: skins that the kernel
    # finds apart are apart. Faces that can't touch need not be asked for, which saves most of it.
    if closest(*near_faces(a, b, TOUCH)).distance > TOUCH:
        return None
    return _thin(a, b, shared) or _near(a, b)


def _thin(a: Body, b: Body, shared: Any) -> Meeting | None:
    """Prove a thin meeting that the meshes show: a point of it that lies inside both solids."""
    seen = (Classifier(a.solid), Classifier(b.solid))
    pieces = sorted(shared.decompose(), key=lambda piece: -float(piece.volume()))
    for piece in pieces[:PIECES]:
        low, high = np.array(piece.bounding_box()).reshape(2, 3)
        for point in _middles(piece, low, high):
            if all(one.is_inside(point) for one in seen):
                return Meeting(
                    float(np.min(high - low)),
                    float(piece.volume()),
                    point,
                    "least side of the box round the space that the meshes share, "
                    "a point of it inside both solids",
                    a.deviation + b.deviation,
                )
    return None


def _middles(piece: Any, low: Floats, high: Floats) -> list[Vec3]:
    """Return the middles of slices across the longest side of a piece."""
    axis = int(np.argmax(high - low))
    way = np.eye(3)[axis]
    found: list[Vec3] = []
    for share in SLICES:
        at = float(low[axis] + share * (high[axis] - low[axis]))
        half = 0.05 * float(high[axis] - low[axis])
        slice_ = piece.trim_by_plane(way.tolist(), at - half).trim_by_plane(
            (-way).tolist(), -(at + half)
        )
        if not slice_.is_empty():
            ends = np.array(slice_.bounding_box()).reshape(2, 3)
            x, y, z = ends.mean(axis=0).tolist()
            found.append((x, y, z))
    return found


def _deep(a: Body, b: Body, shared: Any) -> Meeting:
    """Measure a meeting that the meshes already show, on the solids if they can be divided."""
    try:
        _, inside = divide(a.solid, [b.solid], "parts", "meeting")
    except GeometryError:
        inside = []
    if inside:
        piece = max(inside, key=volume)
        box = bounding_box(piece)
        return Meeting(
            min(box.size),
            sum(map(volume, inside)),
            box.centre,
            "least side of the box round the shared solid",
            1e-3,
        )
    bounds = np.array(shared.bounding_box()).reshape(2, 3)
    x, y, z = bounds.mean(axis=0)
    return Meeting(
        float(np.min(bounds[1] - bounds[0])),
        float(shared.volume()),
        (float(x), float(y), float(z)),
        "least side of the box round the space that the meshes share",
        a.deviation + b.deviation,
    )


def _near(a: Body, b: Body) -> Meeting | None:
    """Decide between touching and a shallow meeting with points of each skin in the other solid."""
    for one, other in ((a, b), (b, a)):
        seen = Classifier(other.solid)
        low, high = other.mesh.vertices.min(axis=0), other.mesh.vertices.max(axis=0)
        points = [p for p in points_on(one.solid) if np.all(low <= p) and np.all(p <= high)]
        for point in _likely_first(other, points):
            if seen.is_inside(point):
                return Meeting(
                    a.deviation + b.deviation,
                    0.0,
                    point,
                    "a point of one skin lies inside the other; shallower than the meshes tell",
                    a.deviation + b.deviation,
                )
    return None


def _likely_first(body: Body, points: list[Vec3]) -> list[Vec3]:
    """Return the points that lie inside a body's mesh, then some of the others.

    To ask the solid costs 20 ms a point; a ray through the mesh costs next to nothing. What lies
    inside the solid but outside its mesh is less deep than the mesh's deviation.
    """
    reach = 4.0 * float(np.linalg.norm(np.ptp(body.mesh.vertices, axis=0))) + 1.0
    within: list[Vec3] = []
    others: list[Vec3] = []
    for point in points:
        ends = [[c + w * reach for c, w in zip(point, way, strict=True)] for way in RAYS]
        inside = any(len(body.hull.ray_cast(list(point), end)) % 2 for end in ends)
        (within if inside else others).append(point)
    return within + others[:: max(1, len(others) // OTHERS)]
