"""Sheets cut to an outline given by points: smooth between corners, or straight."""

from collections.abc import Sequence

import numpy as np
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.Geom import Geom_BSplineCurve
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt
from OCP.ShapeFix import ShapeFix_Face
from OCP.TColgp import TColgp_Array1OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal
from OCP.TopoDS import TopoDS_Edge, TopoDS_Solid, TopoDS_Wire
from scipy.interpolate import BSpline, make_interp_spline

from geomgen.arrays import Floats
from geomgen.kernel.brep.plates import plate
from geomgen.kernel.plain import Plane, Vec3

# A turn of more than this [deg] is a corner; fewer points than this are joined by straight lines.
CORNER, SMOOTH = 8.0, 6
# An edge goes through no more points: over long ones areas are integrated badly.
LONGEST = 20
# A smooth line keeps so near its points' polygon [mm], or it is left as the polygon.
WITHIN = 0.05
Hole = tuple[Vec3, float]


def sheet(
    plane: Plane, outer: Floats, inner: Sequence[Floats], holes: Sequence[Hole], by: Vec3
) -> TopoDS_Solid:
    """Return the solid of a flat sheet that is swept by a vector [mm].

    `outer` (n, 3) and each of `inner` are rings of points [mm] in the plane, the first not
    repeated; `holes` are round ones, by centre and radius [mm].

    >>> from geomgen.kernel.solids.properties import volume
    >>> square = np.array([[0.0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0]])
    >>> plane = Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    >>> round(volume(sheet(plane, square, [], [((4.0, 4.0, 0.0), 1.0)], (0.0, 0.0, 2.0))).value, 3)
    155.717
    """
    way = gp_Dir(*plane.normal)
    made = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*plane.origin), way), _ring(outer), True)
    for ring in inner:
        made.Add(_ring(ring))
    for centre, radius in holes:
        circle = gp_Circ(gp_Ax2(gp_Pnt(*centre), way), radius)
        made.Add(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire())
    mend = ShapeFix_Face(made.Face())
    mend.FixOrientation()
    return plate(mend.Face(), by)


def _ring(points: Floats) -> TopoDS_Wire:
    maker = BRepBuilderAPI_MakeWire()
    for run in runs(points):
        for edge in _edges(run):
            maker.Add(edge)
    return maker.Wire()


def runs(points: Floats) -> list[Floats]:
    """Return the pieces of a ring (n, 3) [mm] from corner to corner, ends in both."""
    ahead = np.roll(points, -1, axis=0) - points
    ahead /= np.linalg.norm(ahead, axis=1)[:, None]
    turn = np.einsum("ij,ij->i", ahead, np.roll(ahead, 1, axis=0))
    corners = np.flatnonzero(turn < np.cos(np.radians(CORNER)))
    if not len(corners):
        corners = np.array([0])
    closed = np.concatenate([points[corners[0] :], points[: corners[0] + 1]])
    ends = [*(corners - corners[0]).tolist(), len(points)]
    return [closed[a : b + 1] for a, b in zip(ends[:-1], ends[1:], strict=True)]


def _edges(run: Floats) -> list[TopoDS_Edge]:
    if len(run) >= SMOOTH and (smooth := _smooth(run)) is not None:
        curve, along = smooth
        parts = np.linspace(0, len(run) - 1, 2 + (len(run) - 1) // LONGEST).round().astype(int)
        ends = along[parts].tolist()
        return [
            BRepBuilderAPI_MakeEdge(curve, a, b).Edge()
            for a, b in zip(ends[:-1], ends[1:], strict=True)
        ]
    corners = [gp_Pnt(*point) for point in run.tolist()]
    return [
        BRepBuilderAPI_MakeEdge(p, q).Edge() for p, q in zip(corners[:-1], corners[1:], strict=True)
    ]


def _smooth(run: Floats) -> tuple[Geom_BSplineCurve, Floats] | None:
    """Return the cubic through points, and its parameter at each of them (n,).

    None where it strays from the polygon through them.
    """
    step = np.linalg.norm(np.diff(run, axis=0), axis=1)
    along = np.r_[0.0, np.cumsum(step)]
    spline = make_interp_spline(along, run, k=3)
    middle = (along[:-1] + along[1:]) / 2
    off = np.linalg.norm(spline(middle) - (run[:-1] + run[1:]) / 2, axis=1)
    return (_curve(spline), along) if float(off.max()) <= WITHIN else None


def _curve(spline: BSpline) -> Geom_BSplineCurve:
    knots, many = np.unique(spline.t, return_counts=True)
    poles = TColgp_Array1OfPnt(1, len(spline.c))
    for i, pole in enumerate(spline.c.tolist(), start=1):
        poles.SetValue(i, gp_Pnt(*pole))
    values, counts = TColStd_Array1OfReal(1, len(knots)), TColStd_Array1OfInteger(1, len(knots))
    for i, (knot, count) in enumerate(zip(knots.tolist(), many.tolist(), strict=True), start=1):
        values.SetValue(i, knot)
        counts.SetValue(i, count)
    return Geom_BSplineCurve(poles, values, counts, 3)
