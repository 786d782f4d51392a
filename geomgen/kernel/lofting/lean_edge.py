"""A dense line as few edges: straight where it is straight, one lean spline for a smooth run."""

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.Geom import Geom_BSplineCurve
from OCP.gp import gp_Pnt
from OCP.TColgp import TColgp_Array1OfPnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Wire
from scipy.interpolate import make_interp_spline, splprep

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.quadrants import SideLine
from geomgen.kernel.lofting.sewing import wire_of
from geomgen.kernel.lofting.surfaces import knot_arrays

# A side that is longer than so many usual ones is a straight edge [1]; a turn sharper than this
# [deg] is a corner.
LONG, CORNER = 6.0, 8.0
FEW = 6
# A lean spline keeps this near to the points [mm]; it aims at one share of that after the other.
NEAR, AIMS = 0.02, (0.3, 0.1, 0.03, 0.01)


def smooth_wire(points: Floats) -> TopoDS_Wire:
    """Return the closed wire through the corners (n, 3) [mm] of a dense polygon, none repeated."""
    side = np.roll(points, -1, axis=0) - points
    length = np.linalg.norm(side, axis=1)
    if length.min() < 1e-9:
        raise GeometryError("an outline has a point twice", step="outline")
    way = side / length[:, None]
    turn = np.degrees(np.arccos(np.clip((way * np.roll(way, 1, axis=0)).sum(axis=1), -1, 1)))
    straight = length > LONG * np.median(length)
    # A run ends where a straight side begins or ends, and at corners.
    ends = (turn > CORNER) | straight | np.roll(straight, 1)
    at = [int(i) for i in np.flatnonzero(ends)]
    if len(at) < 2:
        at = [0, len(points) // 2]
    edges: list[TopoDS_Edge] = []
    for a, b in zip(at, [*at[1:], at[0] + len(points)], strict=True):
        edges += _run(points[np.arange(a, b + 1) % len(points)])
    return wire_of(edges)


def _run(points: Floats) -> list[TopoDS_Edge]:
    if len(points) <= FEW:
        ends = [gp_Pnt(*point) for point in points]
        return [
            BRepBuilderAPI_MakeEdge(a, b).Edge() for a, b in zip(ends[:-1], ends[1:], strict=True)
        ]
    return [edge_of(lean(points))]


def lean(points: Floats) -> SideLine:
    """Return a cubic spline of few spans within NEAR of points (n, 3) [mm], through both ends."""
    run = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    for aim in AIMS:
        (knots, columns, _), at = splprep(points.T, u=run, k=3, s=len(points) * (aim * NEAR) ** 2)
        poles = np.stack(columns, axis=-1)[: len(knots) - 4]
        poles[0], poles[-1] = points[0], points[-1]
        line = SideLine(poles, knots, 3)
        if np.linalg.norm(line.at(at) - points, axis=1).max() < NEAR:
            return line
    exact = make_interp_spline(run, points, k=3)
    return SideLine(exact.c, exact.t, 3)


def edge_of(line: SideLine) -> TopoDS_Edge:
    """Return the edge on a spline."""
    points = TColgp_Array1OfPnt(1, len(line.poles))
    for i, pole in enumerate(line.poles, start=1):
        points.SetValue(i, gp_Pnt(*(float(c) for c in pole)))
    return BRepBuilderAPI_MakeEdge(
        Geom_BSplineCurve(points, *knot_arrays(line.knots), line.degree)
    ).Edge()
