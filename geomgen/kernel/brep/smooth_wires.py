"""Closed wires in a plane: smooth through points but for their corners, and rounded rectangles."""

from collections.abc import Sequence
from itertools import pairwise
from math import radians

import numpy as np
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.Geom import Geom_BSplineCurve
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Pnt
from OCP.TColgp import TColgp_HArray1OfPnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.kernel.plane_frame import Frame

# A turn by more than this from one piece to the next is a corner [deg].
CORNER = 12.0
# Lines shorter than this are none [mm].
SHORT = 1e-6
EDGES = 4


def smooth_face(points: Floats, frame: Frame, spacing: float = 20.0) -> TopoDS_Face:
    """Return the face within a closed ring of points (n, 2) [mm] of a plane, smooth but at corners.

    Of the points only such `spacing` [mm] apart are kept, and the corners: a cubic runs through
    them. Cutting by one through every point takes a hundred times as long.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.solids.properties import area
    >>> angle = np.linspace(0.0, 2 * np.pi, 900, endpoint=False)
    >>> circle = smooth_face(100 * np.c_[np.cos(angle), np.sin(angle)], at_station(5.0))
    >>> round(area(circle).value / (1e4 * np.pi), 5)
    1.0
    """
    ring = np.asarray(points, dtype=float)
    step = np.roll(ring, -1, axis=0) - ring
    ring = ring[np.hypot(*step.T) > SHORT]
    step = np.roll(ring, -1, axis=0) - ring
    heading = np.arctan2(step[:, 1], step[:, 0])
    turn = (heading - np.roll(heading, 1) + np.pi) % (2 * np.pi) - np.pi
    corners = np.nonzero(np.abs(turn) > radians(CORNER))[0]
    first = int(corners[0]) if len(corners) else 0
    ring = np.roll(ring, -first, axis=0)
    ring = np.vstack([ring, ring[:1]])
    stops = [*(corners - first), len(ring) - 1] if len(corners) else [0, len(ring) - 1]
    runs = [_thinned(ring[a : b + 1], spacing) for a, b in zip(stops[:-1], stops[1:], strict=True)]
    lifted = [[frame.lifted((float(a), float(b))) for a, b in run] for run in runs]
    if len(corners) == 0:
        return _within(_closed(lifted[0][:-1]))
    return _within([_run(run) for run in lifted])


def _thinned(run: Floats, spacing: float) -> Floats:
    """Return of points (n, 2) in a row both ends and those about `spacing` [mm] apart between."""
    way = np.r_[0.0, np.cumsum(np.hypot(*np.diff(run, axis=0).T))]
    count = max(2, int(np.ceil(way[-1] / spacing)) + 1, 4 if len(run) > 3 else 2)
    return run[np.unique(np.searchsorted(way, np.linspace(0.0, way[-1], count) - SHORT))]


def rounded_face(
    centre: tuple[float, float], width: float, height: float, radius: float, frame: Frame
) -> TopoDS_Face:
    """Return the face of a rectangle with round corners about a point of a plane [mm].

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.solids.properties import area
    >>> slot = rounded_face((0.0, 0.0), 50.0, 20.0, 10.0, at_station(5.0))
    >>> round(area(slot).value - (30 * 20 + 100 * np.pi), 6) + 0.0
    0.0
    """
    a, b, r = width / 2, height / 2, radius
    arcs = []
    for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        side, top = (sx * a, sy * (b - r)), (sx * (a - r), sy * b)
        bend = r * 0.5**0.5 - r
        ends = (side, top) if sx == sy else (top, side)
        arcs.append([ends[0], (sx * (a + bend), sy * (b + bend)), ends[1]])
    placed = [[_point(frame, centre, off) for off in arc] for arc in arcs]
    edges: list[TopoDS_Edge] = []
    for arc, (after, _, _) in zip(placed, [*placed[1:], placed[0]], strict=True):
        if r > SHORT:
            edges.append(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*arc).Value()).Edge())
        if arc[2].Distance(after) > SHORT:
            edges.append(BRepBuilderAPI_MakeEdge(arc[2], after).Edge())
    return _within(edges)


def _point(frame: Frame, centre: tuple[float, float], off: tuple[float, float]) -> gp_Pnt:
    return gp_Pnt(*frame.lifted((centre[0] + off[0], centre[1] + off[1])))


def _run(points: Sequence[tuple[float, float, float]]) -> TopoDS_Edge:
    if len(points) == 2:
        return BRepBuilderAPI_MakeEdge(gp_Pnt(*points[0]), gp_Pnt(*points[1])).Edge()
    return BRepBuilderAPI_MakeEdge(_curve(points, False)).Edge()


def _closed(points: Sequence[tuple[float, float, float]]) -> list[TopoDS_Edge]:
    """Return the edges of a smooth ring: a few short ones cut faster than one long."""
    curve = _curve(points, True)
    stops = np.linspace(curve.FirstParameter(), curve.LastParameter(), EDGES + 1).tolist()
    return [BRepBuilderAPI_MakeEdge(curve, a, b).Edge() for a, b in pairwise(stops)]


def _curve(points: Sequence[tuple[float, float, float]], closed: bool) -> Geom_BSplineCurve:
    through = TColgp_HArray1OfPnt(1, len(points))
    for i, point in enumerate(points, start=1):
        through.SetValue(i, gp_Pnt(*point))
    made = GeomAPI_Interpolate(through, closed, 1e-9)
    made.Perform()
    return made.Curve()


def _within(edges: Sequence[TopoDS_Edge]) -> TopoDS_Face:
    maker = BRepBuilderAPI_MakeWire()
    for edge in edges:
        maker.Add(edge)
    wire: TopoDS_Wire = maker.Wire()
    return BRepBuilderAPI_MakeFace(wire, True).Face()
