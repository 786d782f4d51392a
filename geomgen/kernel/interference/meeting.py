"""Whether two solids share space, told from proven meshes first and from the solids where needed.

The kernel's distance can be positive for solids that intersect, and its booleans can miss a
crossing. Meshes that are proven to lie within a known deviation of their solids settle most pairs:
when the gap between two meshes is more than the two deviations together, the solids are apart.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from typing import Any, cast

import numpy as np
import shapely
from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape
from scipy.spatial import cKDTree

import geomgen.kernel.brep.shape_bytes  # noqa: F401 - with it solids can be pickled
from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.interference.depth import Deepest, MeshSkin, deepest, triangles_of
from geomgen.kernel.interference.near_triangles import Triangles, near_pairs
from geomgen.kernel.interference.surely_apart import surely_apart
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.second_library import cross_section, hull_of, passes, second_library
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.probing import NEAR, Classifier, points_on

# Shared volumes thinner than this are two faces that touch, as far as the kernel can tell [mm].
TOUCH = 2 * NEAR
# A gap of meshes is looked for this much further out than their boxes or corners are apart [mm].
NEAREST = 25.0
# Of the corners each so-manieth tells how far out the others are looked for, and this more [mm].
SOME, SPARE = 50, 1e-3
# Thin pieces are probed at these shares of their length, the deepest first; of those no deeper than
# the meshes' deviations until so many prove nothing.
PIECES = 8
SLICES = (0.5, 0.25, 0.75, 0.1, 0.9)
# Ways in which a mesh is looked through; how many of the points it does not hold are asked for.
RAYS = ((0.577, 0.211, 0.789), (-0.314, 0.871, 0.378))
OTHERS = 12
EMPTY = shapely.Polygon()
METHOD = (
    "on the meshes: how far a point of one lies below the skin of the other, counted from the side "
    "on which it was entered"
)
PROBED = "; a point of the shared space lies inside both solids"


@dataclass(frozen=True)
class Body:
    """A solid with its mesh, the mesh's deviation [mm], and the mesh as the second library's.

    Of a `rough` one meshes tell what is asked, as far as they are off: a first answer.
    """

    solid: TopoDS_Shape
    mesh: Mesh
    deviation: float
    hull: Any
    rough: bool = False

    @property
    def part(self) -> MeshPart | None:
        """Return the body that it is a first answer's of; None where its solid is known."""
        return None

    @property
    def skin(self) -> float:
        """Return how far its skin may be off [mm], but for the rims of a first answer."""
        return self.deviation if self.part is None else self.part.skin

    @property
    def first(self) -> bool:
        """Say whether its mesh is all that is known of it."""
        return self.part is not None

    @property
    def shape(self) -> TopoDS_Shape:
        """Return its solid; of a first answer's the part that stands for it."""
        return self.solid if self.part is None else cast(TopoDS_Shape, self.part)

    def off_at(self, points: Floats) -> Floats:
        """Return how far its mesh may be off at places of it (n, 3) [mm]."""
        return np.full(len(points), self.deviation)

    def __reduce__(self) -> tuple[Any, ...]:
        # The second library's mesh can't be pickled; it is made again of the same triangles.
        return body_of, (self.solid, self.mesh, self.deviation, self.rough)


class FirstBody(Body):
    """A body of which only the mesh is known; ExactDueError where its solid is asked for."""

    def __init__(self, part: MeshPart) -> None:
        object.__setattr__(self, "_part", part)
        object.__setattr__(self, "mesh", part.mesh)
        object.__setattr__(self, "deviation", part.deviation)
        object.__setattr__(self, "rough", True)

    @property
    def hull(self) -> Any:
        """Return its mesh as the second library's."""
        return self.part.hull

    @property
    def solid(self) -> TopoDS_Shape:
        """Raise ExactDueError."""
        raise ExactDueError("its solid is not there yet")

    @property
    def part(self) -> MeshPart:
        """Return the body that it is of."""
        found: MeshPart = self.__dict__["_part"]
        return found

    def off_at(self, points: Floats) -> Floats:
        """Return how far its mesh may be off at places of it (n, 3) [mm]: more beside its rims."""
        return self.part.off_at(points)

    def __reduce__(self) -> tuple[Any, ...]:
        return FirstBody, (self.part,)


def body_of(solid: TopoDS_Shape, mesh: Mesh, deviation: float, rough: bool = False) -> Body:
    """Join a solid, its mesh and that one's deviation [mm]; GeometryError when it is refused."""
    hull = hull_of(mesh)
    if hull.status() != second_library().Error.NoError:
        raise GeometryError(f"its mesh is refused: {hull.status()}", step="meeting of parts")
    return Body(solid, mesh, deviation, hull, rough)


def hull_gap(a: Any, b: Any) -> float:
    """Return the gap between two of the second library's meshes [mm].

    It is looked for as far out as their boxes are apart, then as far as their corners are.
    """
    low, high = np.array(a.bounding_box()).reshape(2, 3)
    bottom, top = np.array(b.bounding_box()).reshape(2, 3)
    reach = float(np.linalg.norm(np.maximum(np.maximum(low - top, bottom - high), 0.0))) + NEAREST
    if (gap := float(a.min_gap(b, reach))) < reach:
        return gap
    # No corners are nearer than the meshes: that is far enough out, and no farther than it need be.
    one, other = (np.asarray(hull.to_mesh64().vert_properties)[:, :3] for hull in (a, b))
    few, many = (one, other) if len(one) < len(other) else (other, one)
    tree = cKDTree(few)
    some = float(tree.query(many[::SOME])[0].min())
    most = float(tree.query(many, distance_upper_bound=some + SPARE)[0].min())
    return float(a.min_gap(b, most + SPARE))


def near_faces(a: Body, b: Body, reach: float) -> tuple[TopoDS_Shape, TopoDS_Shape]:
    """Return the faces of two solids that are apart which may be within `reach` [mm] of each other.

    Told by the boxes of their triangles, grown by what the meshes may be off. Both whole where no
    face is that near: `reach` is then too small, and the caller's figure is not right.
    """
    one, other, first, _ = near_pairs(triangles(a), triangles(b), reach + a.deviation + b.deviation)
    if not len(first):
        return a.solid, b.solid
    return _of_faces(a.solid, one.face), _of_faces(b.solid, other.face)


def triangles(body: Body) -> Triangles:
    """Return the triangles of a body's mesh."""
    return Triangles(body.mesh.corners, body.mesh.face)


def _of_faces(solid: TopoDS_Shape, chosen: Ints) -> TopoDS_Shape:
    together, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(together)
    every = faces_of(solid)
    for number in np.unique(chosen).tolist():
        builder.Add(together, every[number])
    return together


@dataclass(frozen=True)
class Meeting:
    """How deep two solids run into each other [mm], the volume they share [mm3], where, how known.

    `at` is the deepest point, `foot` the place of the skin that it lies below; they are `depth`
    apart, give or take the `error` [mm]. `places` are the depth [mm] and the point of every place
    where the two meet, the deepest first. `through` says of the first and of the second whether, at
    the deepest, the other goes in at one face of it and comes out at another.
    """

    depth: float
    shared: float
    at: Vec3
    foot: Vec3
    method: str
    error: float
    places: tuple[tuple[float, Vec3], ...]
    through: tuple[bool, bool] = (False, False)


def meeting(a: Body, b: Body) -> Meeting | None:
    """Return how two solids share space; None when they are apart or only touch.

    Each place where they meet is measured (`depth.py`); the deepest counts.

    >>> from geomgen.kernel.meshing.proven import meshed
    >>> from geomgen.kernel.brep.primitives import box
    >>> cube, pin = box((0, 0, 0), (9, 9, 9)), box((7, 1, 1), (20, 8, 8))
    >>> made = [(solid, meshed(solid, 0.1)) for solid in (cube, pin)]
    >>> met = meeting(*(body_of(s, m.mesh, m.deviation.largest) for s, m in made))
    >>> round(met.depth, 3), round(met.shared)
    (2.0, 98)
    """
    slack = a.deviation + b.deviation
    low, high = a.mesh.vertices.min(axis=0) - slack, a.mesh.vertices.max(axis=0) + slack
    if np.any(b.mesh.vertices.max(axis=0) < low) or np.any(b.mesh.vertices.min(axis=0) > high):
        return None
    if (a.first or b.first) and surely_apart(a, b):
        return None
    shared = a.hull ^ b.hull
    if shared.is_empty() and a.hull.min_gap(b.hull, slack + 1.0) > slack:
        return None
    pieces = shared.decompose()
    thick = [piece for piece in pieces if piece.volume() > slack * piece.surface_area()]
    if len(thick) < max(len(pieces), 1):
        _due(a, b)
    # No deeper than the deviations, if at all, and neither holds the other: skins that the kernel
    # finds apart are apart. Faces that can't touch need not be asked for, which saves most of it.
    if not thick and closest(*near_faces(a, b, TOUCH)).distance > TOUCH:
        return None
    skins = MeshSkin(a.mesh.corners), MeshSkin(b.mesh.corners)
    found = [(deepest(piece, *skins, slack / 2), piece, "") for piece in thick]
    thin = [piece for piece in pieces if piece.volume() <= slack * piece.surface_area()]
    measured = [(deepest(piece, *skins, slack / 2), piece) for piece in thin]
    measured.sort(key=lambda item: -item[0].depth)
    found += [(each, piece, PROBED) for each, piece in _proven(a, b, measured, skins)]
    return _told(found, slack) if found else _near(a, b, measured[0][0].depth if measured else 0.0)


def _due(*bodies: Body) -> None:
    """Raise ExactDueError where a solid is to be asked that is not there yet."""
    for body in bodies:
        if body.first:
            raise ExactDueError("its solid is not there yet")


def _told(found: list[tuple[Deepest, Any, str]], slack: float) -> Meeting:
    found = sorted(found, key=lambda item: -item[0].depth)
    best, _, probed = found[0]
    # A place that is not the deepest may be so by what its search is short of.
    short = max(each.depth + each.short for each, _, _ in found) - best.depth
    return Meeting(
        best.depth,
        float(sum(piece.volume() for _, piece, _ in found)),
        best.at,
        best.foot,
        METHOD + probed,
        slack + short,
        tuple((each.depth, each.at) for each, _, _ in found),
        best.through,
    )


def _proven(
    a: Body, b: Body, thin: list[tuple[Deepest, Any]], skins: tuple[MeshSkin, MeshSkin]
) -> Iterator[tuple[Deepest, Any]]:
    """Prove thin meetings, the deepest first, that the meshes show: each lies in both solids.

    What is deeper than the deviations is asked for whatever its number: a sheet of metal through
    a wall may stand among many touching places.
    """
    if not thin:
        return
    slack, in_vain = a.deviation + b.deviation, 0
    seen = (Classifier(a.solid), Classifier(b.solid))
    for each, piece in thin:
        sure = _by_meshes(piece, skins, slack)
        if sure or any(all(one.is_inside(p) for one in seen) for p in _middles(piece)):
            yield each, piece
        elif each.depth <= slack:
            in_vain += 1
            if in_vain == PIECES:
                return


def _by_meshes(piece: Any, skins: tuple[MeshSkin, MeshSkin], slack: float) -> bool:
    """Say whether the meshes alone prove that the solids meet in a piece that the meshes share.

    Near a point of it is the skin of one solid, a deviation beside its mesh: if that of the other
    is farther from it than both deviations more, it runs within the other.
    """
    corners, _ = triangles_of(piece)
    points = np.concatenate([corners.reshape(-1, 3), corners.mean(axis=1)])
    one, other = (skin.search.nearest(points).distance for skin in skins)
    return bool(np.any(np.abs(one - other) > slack + NEAR))


def _middles(piece: Any) -> list[Vec3]:
    """Return a point in each region of slices across the longest side of a piece.

    The middle of a slice will not do: that of a ring lies in its hole.
    """
    low, high = np.array(piece.bounding_box()).reshape(2, 3)
    axis = int(np.argmax(high - low))
    across, up, _ = (vec(way) for way in np.roll(np.eye(3), 2 - axis, axis=0))
    found: list[Vec3] = []
    for share in SLICES:
        origin = np.where(np.arange(3) == axis, low + share * (high - low), 0.0)
        frame = Frame(vec(origin), across, up)
        rings = map(shapely.Polygon, cross_section(piece, frame).to_polygons())
        whole = reduce(shapely.symmetric_difference, map(shapely.make_valid, rings), EMPTY)
        for region in shapely.get_parts(whole):
            if region.area > 0.0:
                spot = shapely.point_on_surface(region)
                found.append(frame.lifted((spot.x, spot.y)))
    return found


def _near(a: Body, b: Body, most: float) -> Meeting | None:
    """Decide between touching and a shallow meeting with points of each skin in the other solid.

    `most` is how deep the meshes show a meeting [mm] that no point proves.
    """
    for one, other in ((a, b), (b, a)):
        seen = Classifier(other.solid)
        low, high = other.mesh.vertices.min(axis=0), other.mesh.vertices.max(axis=0)
        points = [p for p in points_on(one.solid) if np.all(low <= p) and np.all(p <= high)]
        for point in _likely_first(other, points):
            if seen.is_inside(point):
                slack = a.deviation + b.deviation
                return Meeting(
                    slack,
                    0.0,
                    point,
                    point,
                    "a point of one skin lies inside the other; shallower than the meshes tell",
                    max(slack, most),
                    ((slack, point),),
                )
    return None


def _likely_first(body: Body, points: list[Vec3]) -> list[Vec3]:
    """Return the points that lie inside a body's mesh, then some of the others.

    To ask the solid costs 20 ms a point; a ray through the mesh costs next to nothing. What lies
    inside the solid but outside its mesh is less deep than the mesh's deviation, and so no farther
    than twice that from the mesh: no other is asked.
    """
    within: list[Vec3] = []
    others: list[Vec3] = []
    for point in points:
        inside = any(passes(body.hull, point, way) % 2 for way in RAYS)
        (within if inside else others).append(point)
    some = np.array(others[:: max(1, len(others) // OTHERS)]).reshape(-1, 3)
    reach = np.full(len(some), 2 * body.deviation + NEAR)
    near, _ = search_of(body.mesh).nearest_within(some, reach)
    return within + [vec(point) for point in some[near]]
