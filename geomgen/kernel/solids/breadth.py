"""How far a solid reaches to either side: the exact places where upright planes touch it."""

from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.distance import closest

# The planes stand this far beside the solid's loose box, as slabs so thick [mm].
BESIDE, THICK = 10.0, 1.0


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
