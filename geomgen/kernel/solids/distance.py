"""Exact distances between solids, lines and planes, with the two closest points."""

import math
from dataclasses import dataclass

import numpy as np
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeVertex,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape, BRepExtrema_SupportType
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.ShapeAnalysis import ShapeAnalysis_Surface
from OCP.TopAbs import TopAbs_EDGE, TopAbs_SHELL, TopAbs_SOLID, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.plain import Axis, Vec3
from geomgen.kernel.solids.nearest import SkinPlace, at_point, on_edge, on_face, settle
from geomgen.kernel.solids.probing import Classifier

# The kernel's own precision of a distance between exact shapes [mm].
EXACT = 1e-6


@dataclass(frozen=True)
class Closest:
    """The least distance [mm] and where it is: a point of each shape."""

    distance: float
    first: Vec3
    second: Vec3


def closest(a: TopoDS_Shape, b: TopoDS_Shape) -> Closest:
    """Return the least distance between two shapes; 0 where they meet, however deep.

    >>> from geomgen.kernel.brep.primitives import box
    >>> closest(box((0, 0, 0), (1, 1, 1)), box((3, 0, 0), (4, 1, 1))).distance
    2.0
    """
    if isinstance(a, MeshPart) or isinstance(b, MeshPart):
        raise ExactDueError("an exact distance")
    search = BRepExtrema_DistShapeShape(a, b)
    if search.IsDone() and search.InnerSolution() and not _one_holds_other(a, b):
        # Asked about solids the kernel can take a corner to lie inside that does not.
        search = BRepExtrema_DistShapeShape(_skin(a), _skin(b))
    if not search.IsDone() or not search.NbSolution():
        raise GeometryError("the kernel finds no distance", step="distance")
    p, q = search.PointOnShape1(1), search.PointOnShape2(1)
    found = Closest(search.Value(), (p.X(), p.Y(), p.Z()), (q.X(), q.Y(), q.Z()))
    if found.distance == 0.0 or search.InnerSolution():
        return found
    one, other = _first(search), _second(search)
    pairs = [(one, other)]
    # On an edge or at a corner the kernel may have passed over a place just inside the face beside
    # it, at the pole of a round one above all: those are looked at too.
    pairs += [(place, other) for place in _beside(a, search, 1, found.second)]
    pairs += [(one, place) for place in _beside(b, search, 2, found.first)]
    settled = [pair for pair in (settle(*both) for both in pairs) if pair is not None]
    return min([found, *(Closest(math.dist(*pair), *pair) for pair in settled)], key=_far)


def _far(found: Closest) -> float:
    return found.distance


def _beside(
    shape: TopoDS_Shape, search: BRepExtrema_DistShapeShape, side: int, toward: Vec3
) -> list[SkinPlace]:
    """Return the places nearest to a point on the faces that meet in the edge or corner found."""
    first = side == 1
    kind = search.SupportTypeShape1(1) if first else search.SupportTypeShape2(1)
    if kind == BRepExtrema_SupportType.BRepExtrema_IsInFace:
        return []
    support = search.SupportOnShape1(1) if first else search.SupportOnShape2(1)
    sort = TopAbs_VERTEX if support.ShapeType() == TopAbs_VERTEX else TopAbs_EDGE
    found = []
    for face in faces_of(shape):
        walk = TopExp_Explorer(face, sort)
        while walk.More():
            if walk.Current().IsSame(support):
                near = ShapeAnalysis_Surface(BRep_Tool.Surface_s(face))
                place = near.ValueOfUV(gp_Pnt(*toward), EXACT)
                found.append(on_face(face, place.X(), place.Y()))
                break
            walk.Next()
    return found


def _skin(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return the shells of a solid as one shape; any other shape as it is."""
    if shape.ShapeType() != TopAbs_SOLID:
        return shape
    every = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(every)
    walk = TopExp_Explorer(shape, TopAbs_SHELL)
    while walk.More():
        builder.Add(every, walk.Current())
        walk.Next()
    return every


def _one_holds_other(a: TopoDS_Shape, b: TopoDS_Shape) -> bool:
    for one, other in ((a, b), (b, a)):
        if one.ShapeType() == TopAbs_SOLID:
            seen = Classifier(one)
            corners = TopExp_Explorer(other, TopAbs_VERTEX)
            while corners.More():
                p = BRep_Tool.Pnt_s(TopoDS.Vertex(corners.Current()))
                if not seen.is_outside((p.X(), p.Y(), p.Z())):
                    return True
                corners.Next()
    return False


def _first(search: BRepExtrema_DistShapeShape) -> SkinPlace:
    kind, support = search.SupportTypeShape1(1), search.SupportOnShape1(1)
    if kind == BRepExtrema_SupportType.BRepExtrema_IsInFace:
        return on_face(TopoDS.Face(support), *search.ParOnFaceS1(1))
    if kind == BRepExtrema_SupportType.BRepExtrema_IsOnEdge:
        return on_edge(TopoDS.Edge(support), *search.ParOnEdgeS1(1))
    p = search.PointOnShape1(1)
    return at_point((p.X(), p.Y(), p.Z()))


def _second(search: BRepExtrema_DistShapeShape) -> SkinPlace:
    kind, support = search.SupportTypeShape2(1), search.SupportOnShape2(1)
    if kind == BRepExtrema_SupportType.BRepExtrema_IsInFace:
        return on_face(TopoDS.Face(support), *search.ParOnFaceS2(1))
    if kind == BRepExtrema_SupportType.BRepExtrema_IsOnEdge:
        return on_edge(TopoDS.Edge(support), *search.ParOnEdgeS2(1))
    p = search.PointOnShape2(1)
    return at_point((p.X(), p.Y(), p.Z()))


def segment(a: Vec3, b: Vec3) -> TopoDS_Shape:
    """Return the straight edge between two points [mm]."""
    return BRepBuilderAPI_MakeEdge(gp_Pnt(*a), gp_Pnt(*b)).Edge()


def vertex(point: Vec3) -> TopoDS_Shape:
    """Return a point [mm] as a shape."""
    return BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()


def extreme(shape: TopoDS_Shape, direction: Vec3) -> tuple[float, Vec3]:
    """Return how far a shape reaches along a unit direction from the origin [mm], and where.

    Found as the distance to a plane set beyond the shape, so it is exact on curved faces.

    >>> from geomgen.kernel.brep.primitives import box
    >>> extreme(box((0, 0, 0), (1, 2, 3)), (0.0, 1.0, 0.0))[0]
    2.0
    """
    d = np.array(direction)
    box = loose_box(shape)
    corners = np.array(np.meshgrid(*zip(box.low, box.high, strict=True))).reshape(3, -1).T
    size = float(np.linalg.norm(np.subtract(box.high, box.low))) + 1.0
    beyond = float((corners @ d).max()) + 0.01 * size
    middle = corners.mean(axis=0)
    centre = middle + (beyond - float(middle @ d)) * d
    plane = gp_Pln(gp_Pnt(*centre), gp_Dir(*direction))
    face = BRepBuilderAPI_MakeFace(plane, -2 * size, 2 * size, -2 * size, 2 * size).Face()
    found = closest(shape, face)
    return beyond - found.distance, found.first


def along(axis: Axis, point: Vec3) -> float:
    """Return where a point stands along an axis [mm] from its origin."""
    return float(np.dot(np.subtract(point, axis.origin), axis.direction))


def off_axis(axis: Axis, point: Vec3) -> float:
    """Return how far a point stands off an axis [mm].

    >>> off_axis(Axis((0, 0, 0), (1, 0, 0)), (7.0, 3.0, 4.0))
    5.0
    """
    foot = np.add(axis.origin, along(axis, point) * np.array(axis.direction))
    return float(np.linalg.norm(np.subtract(point, foot)))


def on_axis(axis: Axis, at: float) -> Vec3:
    """Return the point of an axis at a distance [mm] from its origin."""
    x, y, z = np.add(axis.origin, at * np.array(axis.direction))
    return (float(x), float(y), float(z))
