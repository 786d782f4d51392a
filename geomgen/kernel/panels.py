"""Solids ruled between closed sections: wing panels and the like."""

from collections.abc import Sequence
from typing import cast

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.Geom import Geom_BSplineCurve, Geom_BSplineSurface
from OCP.gp import gp_Pnt
from OCP.TColgp import TColgp_Array1OfPnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid
from scipy.interpolate import make_interp_spline

from geomgen.errors import GeometryError
from geomgen.kernel.lines import Floats
from geomgen.kernel.sewing import sew, wire_of
from geomgen.kernel.surfaces import bspline_surface, face_of, knot_arrays


def ruled_solid(sections: Sequence[Floats], parameter: Floats, part: str) -> TopoDS_Solid:
    """Return the solid ruled between open outlines (k, 3) [mm], each closed by a straight edge.

    `parameter` (k,) is common to all outlines, so that equal shares of the outline are joined.
    Each outline lies in a plane; its first and last point are the two corners of its blunt edge.
    """
    if len(sections) < 2:
        raise GeometryError("it needs two sections at least", part=part, step="panels")
    splines = [make_interp_spline(parameter, points, k=3) for points in sections]
    faces: list[TopoDS_Shape] = []
    for a, b in zip(splines[:-1], splines[1:], strict=True):
        poles = np.stack([a.c, b.c], axis=1)
        line = np.array([0.0, 0.0, 1.0, 1.0])
        surface = bspline_surface(poles, a.t, line, (3, 1), np.ones(poles.shape[:2]))
        faces += _halves(surface, float(parameter[len(parameter) // 2]))
        edge = np.stack([poles[[-1, 0], 0], poles[[-1, 0], 1]], axis=1)
        faces.append(face_of(bspline_surface(edge, line, line, (1, 1), np.ones((2, 2)))))
    nose = float(parameter[len(parameter) // 2])
    faces += [_end(spline.t, spline.c, nose) for spline in (splines[0], splines[-1])]
    return sew(faces, part)


def _halves(surface: Geom_BSplineSurface, nose: float) -> list[TopoDS_Face]:
    """Return the upper and lower face of a panel: two short faces cut faster than one long."""
    u0, u1, v0, v1 = surface.Bounds()
    faces = []
    for a, b in ((u0, nose), (nose, u1)):
        part = cast(Geom_BSplineSurface, surface.Copy())
        part.Segment(a, b, v0, v1)
        faces.append(face_of(part))
    return faces


def _end(knots: Floats, poles: Floats, nose: float) -> TopoDS_Face:
    points = TColgp_Array1OfPnt(1, len(poles))
    for i, pole in enumerate(poles, start=1):
        points.SetValue(i, gp_Pnt(*(float(c) for c in pole)))
    curve = Geom_BSplineCurve(points, *knot_arrays(knots), 3)
    halves = [
        BRepBuilderAPI_MakeEdge(curve, a, b).Edge()
        for a, b in ((knots[0], nose), (nose, knots[-1]))
    ]
    made = BRepBuilderAPI_MakeFace(wire_of([*halves, _straight(poles[-1], poles[0])]), True)
    if not made.IsDone():
        raise GeometryError("an end section is not plane", step="panel ends")
    return made.Face()


def _straight(a: Floats, b: Floats) -> TopoDS_Edge:
    start, end = gp_Pnt(*(float(c) for c in a)), gp_Pnt(*(float(c) for c in b))
    return BRepBuilderAPI_MakeEdge(start, end).Edge()
