"""Points and derivatives of an edge's curve, or of its curve in a face's plane, many at once.

Asking the kernel point by point costs microseconds each, and edges are asked often: to judge
them, to lay them, on both faces, and in the proof.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.Geom import Geom_BSplineCurve, Geom_Circle, Geom_Curve, Geom_Line, Geom_TrimmedCurve
from OCP.Geom2d import (
    Geom2d_BSplineCurve,
    Geom2d_Circle,
    Geom2d_Curve,
    Geom2d_Line,
    Geom2d_TrimmedCurve,
)
from OCP.gp import gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d, gp_Vec, gp_Vec2d
from OCP.TColStd import TColStd_Array1OfReal
from OCP.TopoDS import TopoDS_Edge
from scipy.interpolate import BSpline

from geomgen.arrays import Floats
from geomgen.kernel.brep.surface_points import flat_knots


@dataclass(frozen=True)
class CurvePoints:
    """A curve in space [mm] or in a parameter plane that can be asked at many parameters.

    `kind` is one of line, circle, spline, kernel.
    """

    kind: str
    evaluate: Callable[[Floats, bool], Floats]

    def at(self, t: Floats) -> Floats:
        """Return the points (n, 2 or 3) [mm] at parameters `t` (n,)."""
        return np.asarray(self.evaluate(np.asarray(t, dtype=float), False)[0])

    def with_tangents(self, t: Floats) -> tuple[Floats, Floats]:
        """Return points [mm] and first derivatives, (n, 2 or 3) each, at parameters `t` (n,)."""
        rows = self.evaluate(np.asarray(t, dtype=float), True)
        return rows[0], rows[1]


def edge_curve(edge: TopoDS_Edge) -> CurvePoints:
    """Return the curve of an edge in space, in place; GeometryError is left to the caller's checks.

    >>> from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    >>> edge = BRepBuilderAPI_MakeEdge(gp_Pnt(0, 0, 0), gp_Pnt(4, 0, 0)).Edge()
    >>> edge_curve(edge).at(np.array([1.0, 2.5])).tolist()
    [[1.0, 0.0, 0.0], [2.5, 0.0, 0.0]]
    """
    found = BRep_Tool.Curve_s(edge, 0.0, 1.0)
    if found is None:
        return CurvePoints("kernel", _asked(BRepAdaptor_Curve(edge), gp_Pnt, gp_Vec))
    return of_curve(found)


def of_curve(curve: Geom_Curve) -> CurvePoints:
    """Return the evaluator of a curve in space."""
    if isinstance(curve, Geom_TrimmedCurve):
        return of_curve(curve.BasisCurve())
    if isinstance(curve, Geom_Line):
        line = curve.Lin()
        return CurvePoints("line", _line(line.Location(), line.Direction()))
    if isinstance(curve, Geom_Circle):
        ring = curve.Position()
        made = _circle(ring.Location(), ring.XDirection(), ring.YDirection(), curve.Radius())
        return CurvePoints("circle", made)
    if isinstance(curve, Geom_BSplineCurve):
        return CurvePoints("spline", _spline(curve))
    return CurvePoints("kernel", _asked(curve, gp_Pnt, gp_Vec))


def plane_curve(curve: Geom2d_Curve) -> CurvePoints:
    """Return the evaluator of a curve in a parameter plane."""
    if isinstance(curve, Geom2d_TrimmedCurve):
        return plane_curve(curve.BasisCurve())
    if isinstance(curve, Geom2d_Line):
        return CurvePoints("line", _line(curve.Location(), curve.Direction()))
    if isinstance(curve, Geom2d_Circle):
        ring = curve.Position()
        made = _circle(ring.Location(), ring.XDirection(), ring.YDirection(), curve.Radius())
        return CurvePoints("circle", made)
    if isinstance(curve, Geom2d_BSplineCurve):
        return CurvePoints("spline", _spline(curve))
    return CurvePoints("kernel", _asked(curve, gp_Pnt2d, gp_Vec2d))


def _line(start: gp_Pnt | gp_Pnt2d, along: gp_Dir | gp_Dir2d) -> Callable[[Floats, bool], Floats]:
    o, d = np.array(start.Coord()), np.array(along.Coord())

    def evaluate(t: Floats, tangents: bool) -> Floats:
        points = o + t[:, None] * d
        return np.stack([points, np.broadcast_to(d, points.shape)] if tangents else [points])

    return evaluate


def _circle(
    centre: gp_Pnt | gp_Pnt2d,
    x_axis: gp_Dir | gp_Dir2d,
    y_axis: gp_Dir | gp_Dir2d,
    radius: float,
) -> Callable[[Floats, bool], Floats]:
    o = np.array(centre.Coord())
    x, y = radius * np.array(x_axis.Coord()), radius * np.array(y_axis.Coord())

    def evaluate(t: Floats, tangents: bool) -> Floats:
        c, s = np.cos(t)[:, None], np.sin(t)[:, None]
        points = o + c * x + s * y
        return np.stack([points, c * y - s * x] if tangents else [points])

    return evaluate


def _spline(
    given: Geom_BSplineCurve | Geom2d_BSplineCurve,
) -> Callable[[Floats, bool], Floats]:
    period: float = 0.0
    curve: Any = given
    if given.IsPeriodic():
        period, curve = given.Period(), given.Copy()
        curve.SetNotPeriodic()
    count, degree = curve.NbPoles(), curve.Degree()
    poles = np.array([curve.Pole(i).Coord() for i in range(1, count + 1)])
    if curve.IsRational():
        weights = np.array([curve.Weight(i) for i in range(1, count + 1)])[:, None]
        poles = np.concatenate([poles * weights, weights], axis=1)
    knots = TColStd_Array1OfReal(1, count + degree + 1)
    curve.KnotSequence(knots)
    flat = flat_knots(knots)
    spline, rational = BSpline(flat, poles, degree), curve.IsRational()

    def evaluate(t: Floats, tangents: bool) -> Floats:
        if period:
            t = flat[degree] + np.mod(t - flat[degree], period)
        rows = [np.asarray(spline(t, nu=order)) for order in range(1 + tangents)]
        if rational:
            weight = rows[0][:, -1:]
            rows[0] = rows[0][:, :-1] / weight
            if tangents:
                rows[1] = (rows[1][:, :-1] - rows[1][:, -1:] * rows[0]) / weight
        return np.stack(rows)

    return evaluate


def _asked(
    curve: Any, point: type[gp_Pnt | gp_Pnt2d], vector: type[gp_Vec | gp_Vec2d]
) -> Callable[[Floats, bool], Floats]:
    def evaluate(t: Floats, tangents: bool) -> Floats:
        p, d = point(), vector()
        rows: list[list[tuple[float, ...]]] = [[], []] if tangents else [[]]
        for at in t.tolist():
            if tangents:
                curve.D1(at, p, d)
                rows[1].append(d.Coord())
            else:
                curve.D0(at, p)
            rows[0].append(p.Coord())
        width = 3 if point is gp_Pnt else 2
        return np.array(rows, dtype=float).reshape(len(rows), len(t), width)

    return evaluate
