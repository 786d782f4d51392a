"""Solids ruled between closed sections: wing panels and the like."""

from collections.abc import Sequence
from itertools import pairwise
from typing import cast

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.Geom import Geom_BSplineCurve, Geom_BSplineSurface
from OCP.gp import gp_Pnt
from OCP.TColgp import TColgp_Array1OfPnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid
from scipy.interpolate import BSpline, make_interp_spline

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.sewing import sew, wire_of
from geomgen.kernel.lofting.surfaces import bspline_surface, face_of, knot_arrays

# Knots of a straight line.
ACROSS = np.array([0.0, 0.0, 1.0, 1.0])


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
        faces += _halves(_ruled(a, b), float(parameter[len(parameter) // 2]))
        faces.append(_flat(a.c[[-1, 0]], b.c[[-1, 0]]))
    nose = float(parameter[len(parameter) // 2])
    faces += [_end(spline, nose) for spline in (splines[0], splines[-1])]
    return sew(faces, part)


def ruled_halves(
    sections: Sequence[Floats], parameter: Floats, part: str
) -> tuple[TopoDS_Solid, TopoDS_Solid]:
    """Return the halves of `ruled_solid`, first and last of its outlines, parted on its chords.

    `sections` (k, 3) [mm] and `parameter` (k,) are as there; a chord runs from the middle of
    `parameter` to the middle of the blunt edge.
    """
    splines = [make_interp_spline(parameter, points, k=3) for points in sections]
    nose = float(parameter[len(parameter) // 2])
    middles = [(points[0] + points[-1]) / 2 for points in sections]
    made = []
    for half, corner in enumerate((0, -1)):
        faces: list[TopoDS_Shape] = []
        lines = [
            np.stack([spline(nose), middle, points[corner]])
            for spline, middle, points in zip(splines, middles, sections, strict=True)
        ]
        for (a, b), (c, d) in zip(pairwise(splines), pairwise(lines), strict=True):
            faces.append(_halves(_ruled(a, b), nose)[half])
            faces += [_flat(c[i : i + 2], d[i : i + 2]) for i in (0, 1)]
        for spline, line in ((splines[0], lines[0]), (splines[-1], lines[-1])):
            ends = ((spline.t[0], nose), (nose, spline.t[-1]))[half]
            edge = BRepBuilderAPI_MakeEdge(_curve(spline), *ends).Edge()
            faces.append(_plane([edge, _straight(*line[:2]), _straight(*line[1:])]))
        made.append(sew(faces, part))
    return made[0], made[1]


def strip_solid(corners: Floats, run: Floats, part: str) -> TopoDS_Solid:
    """Return the solid whose four long edges pass through corners (m, 4, 3) [mm], ends flat.

    `run` (m,) is the parameter along it [any unit]; the sides are ruled from edge to edge.
    """
    edges = [make_interp_spline(run, corners[:, i], k=3) for i in range(4)]
    faces: list[TopoDS_Shape] = [
        face_of(bspline_surface(np.stack([a.c, b.c]), ACROSS, a.t, (1, 3), np.ones((2, len(a.c)))))
        for a, b in zip(edges, [*edges[1:], edges[0]], strict=True)
    ]
    ends = [[spline.c[i] for spline in edges] for i in (0, -1)]
    for end in ends:
        lines = [_straight(a, b) for a, b in zip(end, [*end[1:], end[0]], strict=True)]
        faces.append(_plane(lines))
    return sew(faces, part)


def _ruled(a: BSpline, b: BSpline) -> Geom_BSplineSurface:
    poles = np.stack([a.c, b.c], axis=1)
    return bspline_surface(poles, a.t, ACROSS, (3, 1), np.ones(poles.shape[:2]))


def _flat(a: Floats, b: Floats) -> TopoDS_Face:
    """Return the face ruled between two straight lines (2, 3) [mm]."""
    return face_of(
        bspline_surface(np.stack([a, b], axis=1), ACROSS, ACROSS, (1, 1), np.ones((2, 2)))
    )


def _halves(surface: Geom_BSplineSurface, nose: float) -> list[TopoDS_Face]:
    """Return the upper and lower face of a panel: two short faces cut faster than one long."""
    u0, u1, v0, v1 = surface.Bounds()
    faces = []
    for a, b in ((u0, nose), (nose, u1)):
        part = cast(Geom_BSplineSurface, surface.Copy())
        part.Segment(a, b, v0, v1)
        faces.append(face_of(part))
    return faces


def _curve(spline: BSpline) -> Geom_BSplineCurve:
    poles = spline.c
    points = TColgp_Array1OfPnt(1, len(poles))
    for i, pole in enumerate(poles, start=1):
        points.SetValue(i, gp_Pnt(*(float(c) for c in pole)))
    return Geom_BSplineCurve(points, *knot_arrays(spline.t), 3)


def _end(spline: BSpline, nose: float) -> TopoDS_Face:
    curve = _curve(spline)
    halves: list[TopoDS_Edge] = [
        BRepBuilderAPI_MakeEdge(curve, a, b).Edge()
        for a, b in ((spline.t[0], nose), (nose, spline.t[-1]))
    ]
    return _plane([*halves, _straight(spline.c[-1], spline.c[0])])


def _plane(edges: list[TopoDS_Edge]) -> TopoDS_Face:
    made = BRepBuilderAPI_MakeFace(wire_of(edges), True)
    if not made.IsDone():
        raise GeometryError("an end section is not plane", step="panel ends")
    return made.Face()


def _straight(a: Floats, b: Floats) -> TopoDS_Edge:
    start, end = gp_Pnt(*(float(c) for c in a)), gp_Pnt(*(float(c) for c in b))
    return BRepBuilderAPI_MakeEdge(start, end).Edge()
