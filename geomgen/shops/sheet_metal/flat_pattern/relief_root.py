"""The round root of a relief cut: where it stands, how large it is.

It reaches a sheet's thickness past the beginning of both bends, and its radius is that of the
sheet's thickness at least (common practice): a slit that is narrower ends in a hole.
"""

import math
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.record import Point
from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.tabs import TabPlane

# A slit that is narrower than twice this [mm] where it reaches the bend is none.
LEAST = 0.1


@dataclass(frozen=True)
class TabEdge:
    """An edge of a tab in the flat: its place amid the mould line's flat image, and its way out."""

    start: Floats
    way: Floats

    def at(self, out: Floats, distance: float) -> Point:
        """Return where the edge reaches a distance [mm] from the origin along `out`."""
        run = (distance - float(self.start @ out)) / float(self.way @ out)
        x, y = (self.start + run * self.way).tolist()
        return (x, y)


@dataclass(frozen=True)
class Root:
    """The arc at the end of a slit [mm]: its ends on both edges, bulge, centre, radius."""

    ends: tuple[Point, Point]
    bulge: float
    centre: Point
    radius: float

    def along(self, point: Floats, way: Floats) -> float:
        """Return how far [mm] a point has to go along a unit way to leave the circle; 0 outside.

        >>> root = Root(((0.0, 0.0), (0.0, 0.0)), 0.0, (0.0, 0.0), 5.0)
        >>> root.along(np.array([0.0, 3.0]), np.array([1.0, 0.0]))
        4.0
        """
        off = point - np.array(self.centre)
        inside = self.radius**2 - float(off @ off)
        if inside <= 0.0:
            return 0.0
        ahead = float(off @ way)
        return math.sqrt(ahead**2 + inside) - ahead


def root_of(
    edges: tuple[TabEdge, TabEdge], plans: tuple[TabPlane, TabPlane], bending: Bending
) -> Root:
    """Return the root between the edges of two tabs; GeometryError where the slit closes before.

    A slit wide enough ends in an arc that touches both edges; a narrower one in a hole about the
    place where the bends begin.
    """
    ways = [side.way / np.linalg.norm(side.way) for side in edges]
    out = (ways[0] + ways[1]) / np.linalg.norm(ways[0] + ways[1])
    side = np.array([-out[1], out[0]])
    level = float((edges[0].start + edges[1].start) @ out) / 2
    feet = [np.array(edge.at(out, level)) for edge in edges]
    middle = (feet[0] + feet[1]) / 2
    half = float((feet[1] - feet[0]) @ side) / 2
    slope = float((ways[1] - ways[0]) @ side) / float((ways[0] + ways[1]) @ out)
    run = min(
        (float((np.array(p.mould) - middle) @ np.array(p.out)) - bending.setback(p.angle))
        / float(out @ np.array(p.out))
        for p in plans
    )
    # From the middle of the slit to either edge, square to it.
    clear = (half + run * slope) / math.hypot(1.0, slope)
    if clear < LEAST:
        raise GeometryError(
            "a relief cut closes before it reaches the bend",
            part="firewall",
            step="relief cuts",
            look_at=["handoff.sheet.relief_width", "handoff.sheet.relief_pitch"],
        )
    radius = max(clear, bending.thickness)
    centre = middle + run * out
    more = math.acos(clear / radius)
    ends = [
        np.array(foot_on(edge, centre)) + radius * math.sin(more) * way
        for edge, way in zip(edges, ways, strict=True)
    ]
    turn = math.pi - 2 * math.atan(slope) + 2 * more
    (ax, ay), (bx, by), (x, y) = (point.tolist() for point in (*ends, centre))
    return Root(((ax, ay), (bx, by)), -math.tan(turn / 4), (x, y), radius)


def foot_on(edge: TabEdge, point: Floats) -> Point:
    """Return the point of an edge that is nearest to a point [mm]."""
    way = edge.way / np.linalg.norm(edge.way)
    x, y = (edge.start + float((point - edge.start) @ way) * way).tolist()
    return (x, y)
