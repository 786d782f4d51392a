"""The course of a gear leg, from the records alone: where it ends, which way it lies, how thick.

A leg runs straight from its root. Without a fork it ends on the axle's line, beside the tyre on the
side of its root, and an axle leads from there to the hub. With a fork it ends over the tyre, in the
wheel's middle plane, at the bridge of two blades.
"""

from dataclasses import dataclass
from math import dist, hypot

from geomgen.parameters.records.landing_gear import Leg, Wheel

Vec = tuple[float, float, float]
# The end stands off the tyre by half of what the leg measures across the wheel there, which hangs
# on the leg's direction, and so on its end: so many steps find both.
STEPS = 60
# A leg whose level share is less stands upright [1].
UPRIGHT = 1e-6


@dataclass(frozen=True)
class LegCourse:
    """The right-hand leg: root, end of its straight line, middle of the wheel [mm].

    `side` is 1 where the end stands to the right of the wheel, -1 to the left, 0 for a fork.
    `off` is how far the end, or a fork's bridge, is from the wheel's middle [mm].
    """

    root: Vec
    end: Vec
    axle: Vec
    side: float
    off: float

    @property
    def length(self) -> float:
        """The length of the straight leg [mm]."""
        return dist(self.root, self.end)


def course(w: Wheel, leg: Leg) -> LegCourse:
    """Return the course of a wheel's leg [mm]."""
    root = (leg.station, leg.buttock_line, leg.waterline)
    axle = (w.station, w.buttock_line, w.waterline)
    if leg.fork:
        off = w.diameter / 2 + leg.tyre_gap + max(leg.axle_diameter, _end_thickness(leg)) / 2
        away = hypot(root[0] - axle[0], root[2] - axle[2]) or 1.0
        x, z = ((root[k] - axle[k]) / away for k in (0, 2))
        return LegCourse(root, (axle[0] + off * x, axle[1], axle[2] + off * z), axle, 0.0, off)
    side = 1.0 if root[1] >= axle[1] else -1.0
    off = w.width / 2 + leg.tyre_gap
    end = (axle[0], axle[1] + side * off, axle[2])
    for _ in range(STEPS):
        end = (axle[0], axle[1] + side * (off + across_wheel(leg, root, end)), axle[2])
    return LegCourse(root, end, axle, side, abs(end[1] - axle[1]))


def across_wheel(leg: Leg, root: Vec, end: Vec) -> float:
    """Return half of what a leg's end measures along the axle [mm]."""
    breadth, thickness = leaf_ways(root, end)
    if leg.kind == "tube":
        return hypot(breadth[1], thickness[1]) * (leg.diameter or 0.0) / 2
    b, t = leaf_size(leg, at_root=False)
    return (b * abs(breadth[1]) + t * abs(thickness[1])) / 2


def leaf_size(leg: Leg, at_root: bool) -> tuple[float, float]:
    """Return breadth and thickness of a leaf at its root or its end [mm]; 0 where left out."""
    both = (
        (leg.root_breadth, leg.root_thickness) if at_root else (leg.tip_breadth, leg.tip_thickness)
    )
    return both[0] or 0.0, both[1] or 0.0


def leaf_ways(root: Vec, end: Vec) -> tuple[Vec, Vec]:
    """Return unit vectors [1] along the breadth and the thickness of a leg between two points.

    The breadth is level and square to the leg: fore and aft where a leg stands out sideways,
    across where it runs aft, fore and aft where it stands upright.

    >>> leaf_ways((0.0, 0.0, 500.0), (0.0, 500.0, 0.0))[0]
    (1.0, 0.0, 0.0)
    >>> leaf_ways((0.0, 0.0, 500.0), (300.0, 0.0, 100.0))[0]
    (0.0, -1.0, 0.0)
    """
    far = dist(root, end) or 1.0
    x, y, z = ((b - a) / far for a, b in zip(root, end, strict=True))
    level = hypot(x, y)
    b = (y / level, 0.0 - x / level, 0.0) if level > UPRIGHT else (1.0, 0.0, 0.0)
    t = (y * b[2] - z * b[1], z * b[0] - x * b[2], x * b[1] - y * b[0])
    return b, t


def _end_thickness(leg: Leg) -> float:
    return (leg.diameter if leg.kind == "tube" else leg.tip_thickness) or 0.0
