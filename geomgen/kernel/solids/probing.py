"""Probing solids with points: is it inside, and where are points of the skin."""

from itertools import pairwise

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepClass import BRepClass_FaceExplorer, BRepClass_FClassifier
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Line
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt, gp_Pnt2d
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopAbs import TopAbs_EDGE, TopAbs_IN, TopAbs_OUT
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape

from geomgen.kernel.brep.boxes import holds, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.line_crossings import LineCrossings

# A point this near to a skin counts as on it [mm].
NEAR = 5e-3
# Rays that count the skins round a point: their directions, how far they go [mm], how exact.
WAYS = ((0.577, 0.211, 0.789), (-0.314, 0.871, 0.378), (0.123, -0.642, -0.757))
FAR, GRAZING = 1e5, 1e-6
GRID = (0.11, 0.37, 0.52, 0.86)


class Classifier:
    """Says of points whether they lie inside a solid; loads the solid once.

    Outside the solid's box the kernel is not asked: for points far aft of a slender fairing it
    was seen to answer "inside". Rays that agree count more than its word: it was seen to answer
    "outside" for a point in the middle of an exit's wall.
    """

    def __init__(self, solid: TopoDS_Shape) -> None:
        self._classifier = BRepClass3d_SolidClassifier(solid)
        self._box = loose_box(solid)
        self._solid = solid
        self._rays: IntCurvesFace_ShapeIntersector | None = None

    @property
    def _faces(self) -> list[TopoDS_Face]:
        return faces_of(self._solid)

    def _state(self, point: Vec3) -> object:
        if not holds(self._box, point):
            return TopAbs_OUT
        self._classifier.Perform(gp_Pnt(*point), NEAR)
        return self._classifier.State()

    def is_inside(self, point: Vec3) -> bool:
        """Say whether a point [mm] is inside and not on the skin."""
        return self._side(point) == TopAbs_IN

    def is_outside(self, point: Vec3) -> bool:
        """Say whether a point [mm] is outside and not on the skin."""
        return self._side(point) == TopAbs_OUT

    def _side(self, point: Vec3) -> object:
        state = self._state(point)
        if state not in (TopAbs_IN, TopAbs_OUT) or not holds(self._box, point):
            return state
        inside = self._by_rays(point)
        return state if inside is None else (TopAbs_IN if inside else TopAbs_OUT)

    def surely_inside(self, point: Vec3) -> bool:
        """Say whether a point [mm] is inside in three ways: kernel's classes, distance, rays."""
        if self._state(point) != TopAbs_IN or not self._off_skin(point):
            return False
        return self._by_rays(point) is not False

    def surely_outside(self, point: Vec3) -> bool:
        """Say whether a point [mm] is outside by three ways, as `surely_inside`."""
        if not holds(self._box, point):
            return True
        if self._state(point) != TopAbs_OUT or not self._off_skin(point):
            return False
        return self._by_rays(point) is not True

    def _off_skin(self, point: Vec3) -> bool:
        """Measure whether a point is off the skin: the kernel was seen to class one on it as in."""
        at = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
        return all(BRepExtrema_DistShapeShape(at, face).Value() > NEAR for face in self._faces)

    def _by_rays(self, point: Vec3) -> bool | None:
        """Count how often rays from a point pass the skin; None when they do not agree."""
        if self._rays is None:
            self._rays = IntCurvesFace_ShapeIntersector()
            self._rays.Load(self._solid, GRAZING)
        inside = []
        for way in WAYS:
            self._rays.Perform(gp_Lin(gp_Pnt(*point), gp_Dir(*way)), 0.0, FAR)
            hits = sorted(self._rays.WParameter(i + 1) for i in range(self._rays.NbPnt()))
            if all(b - a > NEAR for a, b in pairwise(hits)):
                inside.append(len(hits) % 2 == 1)
        return inside[0] if inside and len(set(inside)) == 1 else None


def edge_within(tool: TopoDS_Shape, body: TopoDS_Shape) -> Vec3 | None:
    """Return a point [mm] of a straight edge of one solid that lies inside another; None for none.

    >>> from geomgen.kernel.brep.primitives import box
    >>> edge_within(box((1, 1, -5), (9, 9, 5)), box((0, 0, 0), (4, 4, 2)))
    (1.0, 1.0, 1.0)
    >>> edge_within(box((1, 1, 3), (9, 9, 5)), box((0, 0, 0), (4, 4, 2)))
    """
    lines, seen = LineCrossings(body, GRAZING), Classifier(body)
    for edge in edges_in(tool):
        curve = BRepAdaptor_Curve(edge)
        if curve.GetType() != GeomAbs_Line:
            continue
        low, high = curve.FirstParameter(), curve.LastParameter()
        line = curve.Line()
        at, way = line.Location().Coord(), line.Direction().Coord()
        stops = [low, *sorted(far for far, _ in lines.along(at, way, low, high)), high]
        for a, b in pairwise(stops):
            point = curve.Value((a + b) / 2)
            place = (point.X(), point.Y(), point.Z())
            if b - a > 4 * NEAR and seen.surely_inside(place):
                return place
    return None


def points_on(solid: TopoDS_Shape) -> list[Vec3]:
    """Return points [mm] spread over the faces of a solid, none on an edge.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> len(points_on(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()))
    96
    """
    found = []
    for face in faces_of(solid):
        surface = BRepAdaptor_Surface(face)
        u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
        explorer = BRepClass_FaceExplorer(face)
        for s in GRID:
            for t in GRID:
                u, v = u0 + s * (u1 - u0), v0 + t * (v1 - v0)
                if BRepClass_FClassifier(explorer, gp_Pnt2d(u, v), 1e-9).State() == TopAbs_IN:
                    p = surface.Value(u, v)
                    found.append((p.X(), p.Y(), p.Z()))
    return found


def edges_between(one: TopoDS_Shape, other: TopoDS_Shape) -> list[TopoDS_Edge]:
    """Return the edges in which the surfaces of two solids meet.

    >>> from geomgen.kernel.brep.primitives import box
    >>> len(edges_between(box((0, 0, 0), (2, 2, 2)), box((1, 1, 1), (3, 3, 3))))
    6
    """
    cut = BRepAlgoAPI_Section(one, other)
    cut.Build()
    return edges_in(cut.Shape())


def edges_in(shape: TopoDS_Shape) -> list[TopoDS_Edge]:
    """Return the edges of a shape that have a length."""
    found = []
    walk = TopExp_Explorer(shape, TopAbs_EDGE)
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        walk.Next()
        if not BRep_Tool.Degenerated_s(edge):
            found.append(edge)
    return found
