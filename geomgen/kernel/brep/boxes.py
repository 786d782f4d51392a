"""Loose boxes: quick to make, never too small, for sorting out what can't meet."""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from math import hypot

from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.plain import Vec3, vec


@dataclass(frozen=True)
class Box:
    """An axis-parallel box by two corners [mm]."""

    low: Vec3
    high: Vec3

    @property
    def size(self) -> Vec3:
        """Return the three edge lengths [mm].

        >>> Box((0.0, 1.0, 2.0), (1.0, 3.0, 5.0)).size
        (1.0, 2.0, 3.0)
        """
        a, b = self.low, self.high
        return (b[0] - a[0], b[1] - a[1], b[2] - a[2])

    @property
    def centre(self) -> Vec3:
        """Return the middle [mm].

        >>> Box((0.0, 1.0, 2.0), (1.0, 3.0, 5.0)).centre
        (0.5, 2.0, 3.5)
        """
        a, b = self.low, self.high
        return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)


def corners_of(box: Bnd_Box, gap: float) -> Box:
    """Return the kernel's box as ours, drawn in by the gap that the kernel added [mm]."""
    if box.IsVoid():
        raise GeometryError("an empty shape has no box", step="bounding box")
    low, high = box.CornerMin(), box.CornerMax()
    return Box(
        (low.X() + gap, low.Y() + gap, low.Z() + gap),
        (high.X() - gap, high.Y() - gap, high.Z() - gap),
    )


def once_a_shape(box_of: Callable[[TopoDS_Shape], Box]) -> Callable[[TopoDS_Shape], Box]:
    """Let a function of one shape give again what it gave for the last few."""
    seen: deque[tuple[TopoDS_Shape, Box]] = deque(maxlen=64)

    @wraps(box_of)
    def known(shape: TopoDS_Shape) -> Box:
        for one, box in seen:
            if one.IsSame(shape):
                return box
        box = box_of(shape)
        seen.append((shape, box))
        return box

    return known


@once_a_shape
def _kernels_loose_box(shape: TopoDS_Shape) -> Box:
    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box, False)
    return corners_of(box, 0.0)


def loose_box(shape: TopoDS_Shape) -> Box:
    """Return a box [mm] that surely holds the shape.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = loose_box(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())
    >>> box.low[0] <= 0.0 and box.high[2] >= 3.0
    True
    """
    if isinstance(shape, MeshPart):
        low, high = shape.ends
        return Box(vec(low), vec(high))
    return _kernels_loose_box(shape)


def boxes_meet(a: Box, b: Box, reach: float = 0.0) -> bool:
    """Say whether two boxes share a point, or come within `reach` [mm] of each other on each axis.

    >>> boxes_meet(Box((0, 0, 0), (1, 1, 1)), Box((2, 0, 0), (3, 1, 1)))
    False
    """
    return all(a.low[i] <= b.high[i] + reach and b.low[i] <= a.high[i] + reach for i in range(3))


def boxes_apart(a: Box, b: Box) -> float:
    """Return the distance between two boxes [mm]: what is in them is not nearer.

    >>> boxes_apart(Box((0, 0, 0), (1, 1, 1)), Box((4, 5, 0), (9, 9, 1)))
    5.0
    """
    sides = zip(a.low, a.high, b.low, b.high, strict=True)
    return hypot(*(max(0.0, low - top, bottom - high) for bottom, top, low, high in sides))


def holds(box: Box, point: Vec3) -> bool:
    """Say whether a point [mm] lies in a box.

    >>> holds(Box((0, 0, 0), (1, 1, 1)), (0.5, 2.0, 0.5))
    False
    """
    return all(box.low[i] <= point[i] <= box.high[i] for i in range(3))


def within(inner: Box, outer: Box) -> bool:
    """Say whether a box lies in another and touches none of its sides.

    >>> within(Box((1, 1, 1), (2, 2, 2)), Box((0, 0, 0), (3, 3, 2)))
    False
    """
    return all(outer.low[i] < inner.low[i] and inner.high[i] < outer.high[i] for i in range(3))
