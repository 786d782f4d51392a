"""Points along the outlines of a face, within a mesh tolerance of the exact edges."""

import math

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_Line
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Vec3

STEP = "section"
# Ends of edges nearer than this meet [mm].
MEET = 1e-3
# Spans of a curve that are looked at one by one, and how often one is halved at most.
SPANS, HALVINGS = 8, 12


def sampled(
    wire: TopoDS_Wire, face: TopoDS_Face, chord: float
) -> tuple[Floats, tuple[int, ...], float]:
    """Return points (n, 3) [mm] along a wire, where edges start, the area [mm2] chords may miss.

    GeometryError when the edges do not join to a loop.
    """
    points: list[Vec3] = []
    corners: list[int] = []
    missed, last = 0.0, None
    walk = BRepTools_WireExplorer(wire, face)
    while walk.More():
        edge = walk.Current()
        walk.Next()
        if BRep_Tool.Degenerated_s(edge):
            continue
        run, skin = _along(edge, chord)
        missed += skin
        if last is not None and math.dist(last, run[0]) > MEET:
            raise GeometryError("an outline of the cut has a gap", step=STEP)
        corners.append(len(points))
        points += run[:-1]
        last = run[-1]
    if len(points) < 2 or last is None or math.dist(last, points[0]) > MEET:
        raise GeometryError("an outline of the cut does not close", step=STEP)
    return np.array(points), tuple(corners), missed


def _along(edge: TopoDS_Edge, chord: float) -> tuple[list[Vec3], float]:
    """Return points along an edge in the sense of its wire, and the area its chords may miss."""
    curve = BRepAdaptor_Curve(edge)
    t0, t1 = curve.FirstParameter(), curve.LastParameter()

    def point(t: float) -> Vec3:
        p = curve.Value(t)
        return (p.X(), p.Y(), p.Z())

    spans = 1 if curve.GetType() == GeomAbs_Line else SPANS
    ends = [(t, point(t)) for t in np.linspace(t0, t1, spans + 1).tolist()]
    points, missed = [ends[0][1]], 0.0
    tolerance = float(BRep_Tool.Tolerance_s(edge))
    for (ta, a), (tb, b) in zip(ends[:-1], ends[1:], strict=True):
        waiting = [(ta, a, tb, b, 0)]
        while waiting:
            s, p, t, q, depth = waiting.pop()
            middle = point(0.5 * (s + t))
            off, length = _off_chord(middle, p, q)
            if off > chord and depth < HALVINGS:
                half = 0.5 * (s + t)
                waiting += [(half, middle, t, q, depth + 1), (s, p, half, middle, depth + 1)]
                continue
            if off > chord:
                raise GeometryError("an edge of the cut is too rough to follow", step=STEP)
            points.append(q)
            missed += (off + 2 * tolerance) * length
    reverse = edge.Orientation() == TopAbs_REVERSED
    return (points[::-1] if reverse else points), missed


def _off_chord(middle: Vec3, a: Vec3, b: Vec3) -> tuple[float, float]:
    """Return how far a point stands off a chord, and the chord's length [mm]."""
    length = math.dist(a, b)
    if length < 1e-12:
        return math.dist(middle, a), length
    way = [(q - p) / length for p, q in zip(a, b, strict=True)]
    arm = [m - p for p, m in zip(a, middle, strict=True)]
    along = sum(c * w for c, w in zip(arm, way, strict=True))
    return math.sqrt(max(0.0, sum(c * c for c in arm) - along * along)), length
