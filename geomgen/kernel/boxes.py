"""Loose boxes: quick to make, never too small, for sorting out what can't meet."""

from collections import deque

from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.plain import Vec3
from geomgen.kernel.properties import Box

_seen: deque[tuple[TopoDS_Shape, Box]] = deque(maxlen=64)


def loose_box(shape: TopoDS_Shape) -> Box:
    """Return a box [mm] that surely holds the shape.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = loose_box(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())
    >>> box.low[0] <= 0.0 and box.high[2] >= 3.0
    True
    """
    for known, found in _seen:
        if known.IsSame(shape):
            return found
    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box, False)
    low, high = box.CornerMin(), box.CornerMax()
    found = Box((low.X(), low.Y(), low.Z()), (high.X(), high.Y(), high.Z()))
    _seen.append((shape, found))
    return found


def boxes_meet(a: Box, b: Box) -> bool:
    """Say whether two boxes share a point.

    >>> boxes_meet(Box((0, 0, 0), (1, 1, 1)), Box((2, 0, 0), (3, 1, 1)))
    False
    """
    return all(a.low[i] <= b.high[i] and b.low[i] <= a.high[i] for i in range(3))


def holds(box: Box, point: Vec3) -> bool:
    """Say whether a point lies in a box.

    >>> holds(Box((0, 0, 0), (1, 1, 1)), (0.5, 2.0, 0.5))
    False
    """
    return all(box.low[i] <= point[i] <= box.high[i] for i in range(3))
