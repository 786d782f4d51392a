"""A plate that follows straight folds across it: a flat face lifted, facet by facet, and thickened.

Its edges are the flat face's own curves, lifted exactly. The kernel's booleans would trace them
instead, to a tenth of a millimetre round a blunt nose, and its splitting of a flat face at lines
was seen to miss one that crosses it squarely.
"""

from dataclasses import dataclass

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.Geom import Geom_BSplineCurve, Geom_TrimmedCurve
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Pnt, gp_Vec
from OCP.ShapeAnalysis import ShapeAnalysis_FreeBounds
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid, TopoDS_Wire
from OCP.TopTools import TopTools_HSequenceOfShape
from scipy.interpolate import PPoly
from shapely.geometry import Polygon

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.plates import moved_face, pierced_face
from geomgen.kernel.brep.wires import edges_along, wires_of
from geomgen.kernel.lofting.sewing import SEWING, sew
from geomgen.kernel.plain import Plane, vec

# A crossing this near to a curve's end [1, of its parameters] is at the end.
END = 1e-9


@dataclass(frozen=True)
class Folds:
    """Where a plate folds, over a plane through `origin` [mm] with unit vectors (3,).

    `along` and `aside` lie in the plane, the folds run along `aside`; `at` (n, 2) is where each
    stands along and how high [mm] over the plane, rising along. Beyond the first and the last one
    the first and last facet go on.
    """

    origin: Floats
    along: Floats
    aside: Floats
    normal: Floats
    at: Floats

    @property
    def inner(self) -> Floats:
        """Return where the folds stand that part one facet from the next (n - 2, 2) [mm]."""
        return self.at[1:-1]

    def facet_of(self, along: float) -> int:
        """Return the number of the facet over a place [mm]."""
        return int(np.searchsorted(self.inner[:, 0], along))

    def slope(self, facet: int) -> float:
        """Return how a facet rises along [1]."""
        (a, low), (b, high) = self.at[facet], self.at[facet + 1]
        return float((high - low) / (b - a))

    def along_of(self, points: Floats) -> Floats:
        """Return where points (n, 3) [mm] stand along (n,) [mm]."""
        return np.asarray((points - self.origin) @ self.along)

    def lifted(self, points: Floats, facet: int) -> Floats:
        """Return points (n, 3) [mm] of the plane lifted onto a facet."""
        at, height = self.at[facet]
        rise = height + self.slope(facet) * (self.along_of(points) - at)
        return np.asarray(points + rise[:, None] * self.normal)


def folded_plate(face: TopoDS_Face, folds: Folds, thickness: float, part: str) -> TopoDS_Solid:
    """Return the plate over a flat face that lies in the plane of its folds.

    Its one side follows the folds; its `thickness` [mm] is laid off against the plane's normal.
    The face has outlines of lines and plain splines. Raises GeometryError where the plate's faces
    do not close, or an outline touches a fold without crossing it.

    >>> from geomgen.kernel.brep.plates import flat_face
    >>> from geomgen.kernel.solids.properties import volume
    >>> x, y, z = np.eye(3)
    >>> folds = Folds(np.zeros(3), x, y, z, np.array([[0, 0], [1, 0], [3, 2]]))
    >>> square = flat_face([(0, 0, 0), (3, 0, 0), (3, 2, 0), (0, 2, 0)])
    >>> round(volume(folded_plate(square, folds, 0.5, "tray")).value, 9)
    3.0
    """
    by = -thickness * folds.normal
    curves = [_curve(edge) for wire in wires_of(face) for edge in edges_along(wire)]
    rims: list[list[TopoDS_Edge]] = [[] for _ in range(len(folds.at) - 1)]
    crossed: list[list[Floats]] = [[] for _ in folds.inner]
    for curve in curves:
        for fold, points in enumerate(_split_at(curve, folds, rims)):
            crossed[fold] += points
    faces: list[TopoDS_Shape] = [
        BRepPrimAPI_MakePrism(edge, gp_Vec(*by)).Shape() for rim in rims for edge in rim
    ]
    for facet, rim in enumerate(rims):
        closing = [
            edge
            for fold in (facet - 1, facet)
            if 0 <= fold < len(crossed)
            for edge in _along_fold(folds, fold, crossed[fold], part)
        ]
        for top in _facet_faces([*rim, *closing], folds, facet):
            faces += [top, moved_face(top, vec(by))]
    return sew(faces, part)


def _curve(edge: TopoDS_Edge) -> Geom_BSplineCurve:
    first, last = BRep_Tool.Range_s(edge)
    trimmed = Geom_TrimmedCurve(BRep_Tool.Curve_s(edge, first, last), first, last)
    curve = GeomConvert.CurveToBSplineCurve_s(trimmed)
    if curve.IsRational():
        raise GeometryError("a folded plate's outline holds a rational spline", step="folds")
    return curve


def _poles(curve: Geom_BSplineCurve) -> Floats:
    poles = [curve.Pole(i) for i in range(1, curve.NbPoles() + 1)]
    return np.array([[p.X(), p.Y(), p.Z()] for p in poles])


def _split_at(
    curve: Geom_BSplineCurve, folds: Folds, rims: list[list[TopoDS_Edge]]
) -> list[list[Floats]]:
    """Part a curve at the folds, lift each piece into its facet's rim; return who crosses where."""
    knots = np.array([curve.KnotSequence()(i + 1) for i in range(curve.KnotSequence().Length())])
    along = PPoly.from_spline((knots, folds.along_of(_poles(curve)), curve.Degree()))
    first, last = curve.FirstParameter(), curve.LastParameter()
    roots = [along.solve(float(at), extrapolate=False) for at in folds.inner[:, 0]]
    near = END * (last - first)
    inside = [t for found in roots for t in found if first + near < t < last - near]
    cuts = [first, *sorted(inside), last]
    for a, b in zip(cuts[:-1], cuts[1:], strict=True):
        facet = folds.facet_of(float(along((a + b) / 2)))
        piece = GeomConvert.CurveToBSplineCurve_s(Geom_TrimmedCurve(curve, a, b))
        for i, pole in enumerate(folds.lifted(_poles(piece), facet), start=1):
            piece.SetPole(i, gp_Pnt(*pole))
        rims[facet].append(BRepBuilderAPI_MakeEdge(piece).Edge())
    return [[_point(curve, at) for at in found] for found in roots]


def _point(curve: Geom_BSplineCurve, at: float) -> Floats:
    point = curve.Value(float(at))
    return np.array([point.X(), point.Y(), point.Z()])


def _along_fold(folds: Folds, fold: int, points: list[Floats], part: str) -> list[TopoDS_Edge]:
    """Return the edges on a fold, from one crossing to the next: every second stretch is inside."""
    across = np.sort((np.array(points).reshape(-1, 3) - folds.origin) @ folds.aside)
    # Where a fold runs through a corner, the edges on both sides of it found the crossing.
    across = across[np.diff(across, prepend=-np.inf) > SEWING]
    if len(across) % 2:
        raise GeometryError("an outline touches a fold", part=part, step="folds")
    at, height = folds.inner[fold]
    foot = folds.origin + at * folds.along + height * folds.normal
    ends = [gp_Pnt(*(foot + y * folds.aside)) for y in across]
    pairs = zip(ends[::2], ends[1::2], strict=True)
    return [BRepBuilderAPI_MakeEdge(a, b).Edge() for a, b in pairs]


def _facet_faces(edges: list[TopoDS_Edge], folds: Folds, facet: int) -> list[TopoDS_Face]:
    """Return the faces of a facet within edges that close to outlines, holes in outlines."""
    slope = folds.slope(facet)
    normal = (folds.normal - slope * folds.along) / np.hypot(1.0, slope)
    plane = Plane(vec(folds.lifted(folds.origin[None], facet)[0]), vec(normal))
    rings = [(wire, _flat(wire, folds)) for wire in _wires(edges)]
    found = []
    for wire, ring in rings:
        if not any(other is not ring and other.contains(ring) for _, other in rings):
            holes = [hole for hole, inside in rings if inside is not ring and ring.contains(inside)]
            found.append(pierced_face(plane, wire, holes, (), 0.0))
    return found


def _wires(edges: list[TopoDS_Edge]) -> list[TopoDS_Wire]:
    loose, joined = TopTools_HSequenceOfShape(), TopTools_HSequenceOfShape()
    for edge in edges:
        loose.Append(edge)
    ShapeAnalysis_FreeBounds.ConnectEdgesToWires_s(loose, SEWING, False, joined)
    return [TopoDS.Wire(joined.Value(i)) for i in range(1, joined.Length() + 1)]


def _flat(wire: TopoDS_Wire, folds: Folds) -> Polygon:
    """Return a wire as a polygon in the plane of the folds, near enough to tell holes."""
    rows = []
    for curve in map(EdgeCurve, edges_along(wire)):
        points = curve.points(curve.even(17)) - folds.origin
        rows.append(points[:0:-1] if curve.backward else points[:-1])
    points = np.concatenate(rows)
    return Polygon(np.stack([points @ folds.along, points @ folds.aside], axis=-1))
