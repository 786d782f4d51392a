"""How far a solid reaches to either side, by upright planes that touch it; how long a strip is."""

from dataclasses import dataclass
from math import dist

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.distance import closest

# The planes stand this far beside the solid's loose box, as slabs so thick [mm].
BESIDE, THICK = 10.0, 1.0
# An edge whose ends are less than this share of its chord apart along the strip runs across it.
ALONG = 0.5
SIDES = 4
# The four rows of edges may end apart by this share of the strip, as slanting ends have them.
ENDS = 0.02


def broadest(solid: TopoDS_Shape) -> tuple[Vec3, Vec3]:
    """Return the points [mm] of a solid that reach furthest to the left and to the right.

    >>> left, right = broadest(box((0, -3, 0), (1, 2, 1)))
    >>> round(left[1], 9), round(right[1], 9)
    (-3.0, 2.0)
    """
    room = loose_box(solid)
    (x0, y0, z0), (x1, y1, z1) = room.low, room.high
    left = box((x0, y0 - BESIDE - THICK, z0), (x1, y0 - BESIDE, z1))
    right = box((x0, y1 + BESIDE, z0), (x1, y1 + BESIDE + THICK, z1))
    return closest(solid, left).first, closest(solid, right).first


def lengthwise(solid: TopoDS_Shape, axis: int) -> float | None:
    """Return the length [mm] of a strip along axis 0, 1 or 2: that of its middle line.

    None where it has not four rows of edges from end to end.

    >>> round(lengthwise(box((0, 0, 0), (500, 20, 30)), 0), 9)
    500.0
    """
    rows = [edge for edge in _edges(solid) if _runs(edge, axis)]
    if not rows:
        return None
    ends = [_ends(edge) for edge in rows]
    reached = sum(abs(b[axis] - a[axis]) for a, b in ends)
    every = [point[axis] for pair in ends for point in pair]
    long = max(every) - min(every)
    if abs(reached - SIDES * long) > ENDS * SIDES * long:
        return None
    lengths = (GCPnts_AbscissaPoint.Length_s(BRepAdaptor_Curve(edge)) for edge in rows)
    return float(sum(lengths)) / SIDES


@dataclass(frozen=True)
class StraightPart:
    """A straight part of a strip: its ends and length on its middle line [mm]."""

    start: Vec3
    end: Vec3
    length: float

    @property
    def way(self) -> Vec3:
        """Return the unit vector [1] along it."""
        a, b, c = (
            (y - x) / dist(self.start, self.end) for x, y in zip(self.start, self.end, strict=True)
        )
        return (a, b, c)


def straight_parts(solid: TopoDS_Shape, axis: int) -> list[StraightPart]:
    """Return the straight parts of a strip along axis 0, 1 or 2, in their order [mm].

    Each is the middle of four edges from one place to the next. None where it has no such rows.

    >>> [part.length for part in straight_parts(box((0, 0, 0), (500, 20, 30)), 0)]
    [500.0]
    """
    found: dict[tuple[float, float], list[tuple[Vec3, Vec3]]] = {}
    for edge in (edge for edge in _edges(solid) if _runs(edge, axis)):
        a, b = sorted(_ends(edge), key=lambda point: point[axis])
        found.setdefault((round(a[axis], 3), round(b[axis], 3)), []).append((a, b))
    if any(len(rows) != SIDES for rows in found.values()):
        return []
    parts = []
    for _, rows in sorted(found.items()):
        start, end = (_mean([row[i] for row in rows]) for i in (0, 1))
        parts.append(StraightPart(start, end, dist(start, end)))
    return parts


def _mean(points: list[Vec3]) -> Vec3:
    return vec(sum(values) / len(points) for values in zip(*points, strict=True))


def _edges(solid: TopoDS_Shape) -> list[TopoDS_Edge]:
    """Return each edge once, whichever way the faces beside it run along it."""
    every = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(solid, TopAbs_EDGE, every)
    found = [TopoDS.Edge(every.FindKey(i)) for i in range(1, every.Extent() + 1)]
    return [edge for edge in found if not BRep_Tool.Degenerated_s(edge)]


def _ends(edge: TopoDS_Edge) -> tuple[Vec3, Vec3]:
    curve = BRepAdaptor_Curve(edge)
    a, b = (curve.Value(t) for t in (curve.FirstParameter(), curve.LastParameter()))
    return (a.X(), a.Y(), a.Z()), (b.X(), b.Y(), b.Z())


def _runs(edge: TopoDS_Edge, axis: int) -> bool:
    a, b = _ends(edge)
    return abs(b[axis] - a[axis]) > ALONG * dist(a, b) > 0.0
