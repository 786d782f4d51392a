"""Edges of a shape as polylines, once for all faces that share them."""

from dataclasses import dataclass, field

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_C2
from OCP.TopAbs import (
    TopAbs_EDGE,
    TopAbs_FORWARD,
    TopAbs_REVERSED,
    TopAbs_ShapeEnum,
    TopAbs_VERTEX,
    TopAbs_WIRE,
)
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.curve_points import CurvePoints, edge_curve, plane_curve

BASE = 24
PER_PIECE = 8
# Where a curve turns by more than this between samples [rad], look closer, a few times.
SHARP, SPLIT, CLOSER = 0.3, 8, 3
# Shorter edges [mm] are crumbs of booleans: their ends become one vertex. No two points of an edge
# come closer than this; single precision could not tell them apart far from the origin.
TINY = 1e-3
MOST = 400


@dataclass
class MeshedEdge:
    """One edge: samples to judge it by, the demand for points along it, its final points.

    `bend` (s-1,) is the demand of its bend for a sag of 1 mm and `turn` (s-1,) its turn [rad]
    between samples; `demand` (s-1,) the pieces wanted there, which faces may raise. `parameters`
    (k,) are the final ones and `vertices` the numbers of its two ends.
    """

    curve: CurvePoints
    samples: Floats
    vertices: tuple[int, int]
    degenerate: bool
    bend: Floats
    turn: Floats
    demand: Floats
    least: int = 1
    tiny: bool = False
    used: bool = False
    parameters: Floats = field(default_factory=lambda: np.empty(0))


@dataclass(frozen=True)
class EdgeSide:
    """An edge's use in a wire of a face: which edge, forwards or not, its curve in the plane."""

    edge: int
    forward: bool
    curve: CurvePoints

    def uv(self, parameters: Floats) -> Floats:
        """Return u, v (k, 2) [mm, rad or 1 by kind] on the face at `parameters` of the edge."""
        return self.curve.at(parameters)


def mapped(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> TopTools_IndexedMapOfShape:
    """Return the kernel's numbered map of sub-shapes, each once whatever its orientation."""
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, kind, found)
    return found


def vertex_points(shape: TopoDS_Shape) -> tuple[TopTools_IndexedMapOfShape, Floats]:
    """Return the map of vertices and their points (n, 3) [mm]."""
    vertices = mapped(shape, TopAbs_VERTEX)
    at = [BRep_Tool.Pnt_s(TopoDS.Vertex(vertices.FindKey(i + 1))) for i in range(vertices.Size())]
    return vertices, np.array([(p.X(), p.Y(), p.Z()) for p in at]).reshape(-1, 3)


def edges_of(
    shape: TopoDS_Shape, vertices: TopTools_IndexedMapOfShape
) -> tuple[TopTools_IndexedMapOfShape, list[MeshedEdge]]:
    """Return the map of edges and each edge's samples with the demand of its own bend."""
    numbers = mapped(shape, TopAbs_EDGE)
    found = []
    for i in range(numbers.Size()):
        edge = TopoDS.Edge(numbers.FindKey(i + 1).Oriented(TopAbs_FORWARD))
        found.append(_sampled(edge, vertices))
    return numbers, found


def _sampled(edge: TopoDS_Edge, vertices: TopTools_IndexedMapOfShape) -> MeshedEdge:
    ends = TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge)
    if ends[0].IsNull() or ends[1].IsNull():
        raise GeometryError("one of its edges has no end", step="mesh")
    places = (vertices.FindIndex(ends[0]) - 1, vertices.FindIndex(ends[1]) - 1)
    if BRep_Tool.Degenerated_s(edge):
        first, last = BRep_Tool.Range_s(edge)
        samples = np.linspace(first, last, BASE + 1)
        nil = np.zeros(BASE)
        return MeshedEdge(edge_curve(edge), samples, places, True, nil, nil, nil)
    asked, curve = BRepAdaptor_Curve(edge), edge_curve(edge)
    first, last = asked.FirstParameter(), asked.LastParameter()
    count = min(MOST, BASE + PER_PIECE * asked.NbIntervals(GeomAbs_C2))
    samples = np.linspace(first, last, count + 1)
    step, turn = _turns(curve, samples)
    for _ in range(CLOSER):
        sharp = (turn > SHARP) & (step > TINY)
        if not sharp.any():
            break
        inside = samples[:-1, None] + np.arange(1, SPLIT) / SPLIT * np.diff(samples)[:, None]
        samples = np.sort(np.r_[samples, inside[sharp].reshape(-1)])
        step, turn = _turns(curve, samples)
    count = len(samples) - 1
    bend = np.sqrt(turn * step / 8)
    least = 3 if places[0] == places[1] else 1
    tiny = float(step.sum()) < TINY
    return MeshedEdge(curve, samples, places, False, bend, turn, np.zeros(count), least, tiny)


def _turns(curve: CurvePoints, samples: Floats) -> tuple[Floats, Floats]:
    """Return the chords [mm] and the turns of the tangent [rad] between samples."""
    at, way = curve.with_tangents(samples)
    step = np.linalg.norm(np.diff(at, axis=0), axis=1)
    size = np.linalg.norm(way, axis=1, keepdims=True)
    unit = np.where(size > 1e-12 * size.max(), way / np.maximum(size, 1e-300), np.nan)
    turn = np.nan_to_num(np.arccos(np.clip((unit[1:] * unit[:-1]).sum(axis=1), -1.0, 1.0)))
    # Noise of a straight edge is no turn.
    turn[turn < 1e-7] = 0.0
    return step, turn


def loops_of(face: TopoDS_Face, numbers: TopTools_IndexedMapOfShape) -> list[list[EdgeSide]]:
    """Return the wires of a face as sides in order, the face on their left in its uv plane."""
    forward = TopoDS.Face(face.Oriented(TopAbs_FORWARD))
    loops = []
    wires = TopExp_Explorer(forward, TopAbs_WIRE)
    while wires.More():
        wire = TopoDS.Wire(wires.Current())
        wires.Next()
        loop, walk = [], BRepTools_WireExplorer(wire, forward)
        while walk.More():
            edge = walk.Current()
            found = BRep_Tool.CurveOnSurface_s(edge, forward, 0.0, 1.0)
            if edge.Orientation() not in (TopAbs_FORWARD, TopAbs_REVERSED) or found is None:
                raise GeometryError("an edge does not bound its face", step="mesh")
            _same_range(TopoDS.Edge(edge), forward)
            is_forward = edge.Orientation() == TopAbs_FORWARD
            loop.append(EdgeSide(numbers.FindIndex(edge) - 1, is_forward, plane_curve(found)))
            walk.Next()
        if len(loop) != _bounding_count(wire):
            raise GeometryError("a wire of a face does not close", step="mesh")
        # Booleans may leave wires that lie inside a face and bound nothing.
        if loop:
            loops.append(loop)
    return loops


def _same_range(edge: TopoDS_Edge, face: TopoDS_Face) -> None:
    along, plane = BRep_Tool.Range_s(edge), BRep_Tool.Range_s(edge, face)
    slack = 1e-6 * abs(along[1] - along[0])
    if abs(along[0] - plane[0]) > slack or abs(along[1] - plane[1]) > slack:
        raise GeometryError("an edge runs differently on its face", step="mesh")


def _bounding_count(wire: TopoDS_Shape) -> int:
    count, walk = 0, TopExp_Explorer(wire, TopAbs_EDGE)
    while walk.More():
        count += walk.Current().Orientation() in (TopAbs_FORWARD, TopAbs_REVERSED)
        walk.Next()
    return count


def settle(edge: MeshedEdge) -> None:
    """Lay the final parameters so that every piece takes an equal share of the demand."""
    floor = 1e-3 * max(1.0, float(edge.demand.sum())) / len(edge.demand)
    running = np.r_[0.0, np.cumsum(np.maximum(edge.demand, floor))]
    pieces = max(edge.least, int(np.ceil(running[-1] / 1.001 - 1e-9)))
    shares = np.linspace(0.0, running[-1], pieces + 1)
    edge.parameters = np.interp(shares, running, edge.samples)
    edge.parameters[[0, -1]] = edge.samples[[0, -1]]


def inner_points(edge: MeshedEdge) -> Floats:
    """Return the points (k-2, 3) [mm] between the ends of a settled edge; crowded ones go."""
    points = edge.curve.at(edge.parameters)
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    left = np.linalg.norm(points[1:-1] - points[-1], axis=1)
    if np.all(steps[:-1] > TINY) and np.all(left > TINY):
        return points[1:-1]
    kept, last = [0], points[0]
    for i in range(1, len(points) - 1):
        if min(np.linalg.norm(points[i] - last), np.linalg.norm(points[i] - points[-1])) > TINY:
            kept.append(i)
            last = points[i]
    edge.parameters = edge.parameters[[*kept, len(points) - 1]]
    return np.asarray(points[kept[1:]])
