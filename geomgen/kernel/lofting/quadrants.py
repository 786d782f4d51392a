"""Halves and pieces of a body on lines, sewn from its own quadrants: no boolean touches the skin.

The four quadrants meet on crown, keel and the two maximum-breadth lines, and their rows lie across
the axis. So a half is two quadrants, the split between them and the plane ends; a shorter piece is
the same between two stations.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.Geom import Geom_BSplineSurface
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid
from scipy.interpolate import BSpline

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bodies import LoftedSkin
from geomgen.kernel.lofting.sewing import plane_face, sew, wire_of
from geomgen.kernel.lofting.surfaces import bezier_knots, bspline_surface, face_of

# Which quadrants make a half (upper right, upper left, lower right, lower left), and where along a
# quadrant's outline they meet the other half: 0 at the breadth line, 1 at crown and keel.
HALVES = {
    "right": ((0, 2), 1.0),
    "left": ((1, 3), 1.0),
    "upper": ((0, 1), 0.0),
    "lower": ((2, 3), 0.0),
}
PINCHED = 1e-6


def sewn_pieces(
    skin: LoftedSkin, half: str, cuts: Sequence[float], part: str
) -> list[TopoDS_Solid]:
    """Return a half of the body, fore to aft, in pieces between its ends and the `cuts` [mm].

    The skin must have been made in bands at the same cuts; `half` is right, left, upper or lower.
    """
    count = len(cuts) + 1
    if len(skin.faces) != 4 * count:
        raise GeometryError(
            f"it can't be cut at stations {', '.join(f'{x:.0f} mm' for x in cuts)}",
            part=part,
            step="pieces",
            look_at=["handoff.moulds"],
        )
    quadrants, u = HALVES[half]
    rows = [skin.quadrants[q] for q in quadrants]
    return [_sewn(a, b, u, part) for a, b in zip(*rows, strict=True)]


def _sewn(a: TopoDS_Face, b: TopoDS_Face, u: float, part: str) -> TopoDS_Solid:
    first, second = _surface(a), _surface(b)
    sides: list[TopoDS_Edge] = [_edge_at(s, u) for s in (first, second)]
    faces: list[TopoDS_Shape] = [a, b]
    for end in (0, 1):
        line = _line(_corner(first, u, end), _corner(second, u, end))
        rows = [_row(s, end) for s in (first, second)]
        if rows[0] is None or rows[1] is None:
            continue
        edges: list[TopoDS_Edge] = [rows[0], rows[1]]
        if line is not None:
            edges.append(line)
            sides.append(line)
        faces.append(plane_face(_corner(first, u, end).X(), wire_of(edges)))
    faces.append(_centre_face(sides) if u == 1.0 else _breadth_face(a, b))
    return sew(faces, part)


def _surface(face: TopoDS_Face) -> Geom_BSplineSurface:
    return cast(Geom_BSplineSurface, BRep_Tool.Surface_s(face))


def _corner(s: Geom_BSplineSurface, u: float, end: int) -> gp_Pnt:
    return s.Value(u, s.Bounds()[2 + end])


def _edge_at(s: Geom_BSplineSurface, u: float) -> TopoDS_Edge:
    return BRepBuilderAPI_MakeEdge(s.UIso(u)).Edge()


def _row(s: Geom_BSplineSurface, end: int) -> TopoDS_Edge | None:
    """Return the edge of a quadrant at one of its ends; None at a pole."""
    v = s.Bounds()[2 + end]
    points = [s.Value(u, v) for u in (0.0, 0.5, 1.0)]
    if max(points[0].Distance(q) for q in points[1:]) < PINCHED:
        return None
    return BRepBuilderAPI_MakeEdge(s.VIso(v)).Edge()


def _line(a: gp_Pnt, b: gp_Pnt) -> TopoDS_Edge | None:
    return None if a.Distance(b) < PINCHED else BRepBuilderAPI_MakeEdge(a, b).Edge()


def _centre_face(edges: list[TopoDS_Edge]) -> TopoDS_Face:
    plane = gp_Pln(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(0.0, 1.0, 0.0))
    made = BRepBuilderAPI_MakeFace(plane, wire_of(edges), True)
    if not made.IsDone():
        raise GeometryError("crown and keel do not lie in the centre plane", step="split")
    return made.Face()


@dataclass(frozen=True)
class SideLine:
    """The line along one side of a quadrant: poles (n, 3) [mm], flat knots, degree.

    The weights there are all one, as quadrants are laid.
    """

    poles: Floats
    knots: Floats
    degree: int

    def at(self, parameters: Floats) -> Floats:
        """Return the points (n, 3) [mm] at parameters (n,) between the first and the last knot."""
        return np.asarray(BSpline(self.knots, self.poles, self.degree)(parameters))


def side_lines(face: TopoDS_Face, u: float) -> SideLine:
    """Return the maximum-breadth line (`u` [1] is 0) or crown or keel line (1) of a quadrant."""
    s = _surface(face)
    row = 1 if u == 0.0 else s.NbUPoles()
    points = [s.Pole(row, j) for j in range(1, s.NbVPoles() + 1)]
    values = [s.VKnot(i) for i in range(1, s.NbVKnots() + 1)]
    times = [s.VMultiplicity(i) for i in range(1, s.NbVKnots() + 1)]
    poles = np.array([[p.X(), p.Y(), p.Z()] for p in points])
    return SideLine(poles, np.repeat(values, times), s.VDegree())


def _breadth_face(a: TopoDS_Face, b: TopoDS_Face) -> TopoDS_Face:
    """Return the ruled face between the two maximum-breadth lines."""
    first, second = side_lines(a, 0.0), side_lines(b, 0.0)
    poles = np.stack([first.poles, second.poles])
    degrees, weights = (1, first.degree), np.ones(poles.shape[:2])
    return face_of(bspline_surface(poles, bezier_knots(1), first.knots, degrees, weights))
