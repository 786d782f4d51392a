"""Straight holes drilled into a solid, each proved to take something of it.

Where a thin rod passes a long spline face the kernel now and then misses the crossing and hands the
body back uncut, or takes a part of the hole: of a large body volumes that add up, and points, can't
tell. Where the rod's seam lies decides it. So the hole itself must add up.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.booleans import CRUMB, divide, only, sized, volume
from geomgen.kernel.solids.properties import volume as integrated

# Where the seam of a rod is put, one after the other [deg]: own choice, no two evenly apart.
SEAMS = (0.0, 37.0, 101.0, 163.0, 229.0, 293.0)
# What holes take adds up to this share of them; volumes are worked out to this share of a body.
BALANCE, FINE = 1e-4, 1e-9


@dataclass(frozen=True)
class Drill:
    """A straight hole [mm]: the middle of its beginning, its unit direction, radius and length."""

    start: Vec3
    direction: Vec3
    radius: float
    length: float

    def on_the_left(self) -> "Drill":
        """Return the same hole on the other side."""
        (x, y, z), (a, b, c) = self.start, self.direction
        return Drill((x, -y, z), (a, -b, c), self.radius, self.length)

    def rod(self, seam: float = 0.0) -> TopoDS_Solid:
        """Return what the drill takes, its seam turned by an angle [deg]."""
        return cylinder(self.start, self.direction, self.radius, self.length, seam)


def drilled(body: TopoDS_Solid, drills: Sequence[Drill], part: str, step: str) -> TopoDS_Solid:
    """Return a body with holes, none of which may overlap another.

    GeometryError where one takes nothing of it, or it falls apart.

    >>> from geomgen.kernel.brep.primitives import box
    >>> plate = drilled(box((0, 0, 0), (9, 9, 2)), [Drill((4, 4, -1), (0, 0, 1), 1.0, 4.0)], "", "")
    >>> round(162.0 - volume(plate), 6)
    6.283185
    """
    rods = [drill.rod() for drill in drills]
    made = _drilled(body, rods, part, step)
    if not isinstance(made, GeometryError):
        return made
    for drill in drills:
        body = _one_drilled(body, drill, part, step)
    return body


def _one_drilled(body: TopoDS_Solid, drill: Drill, part: str, step: str) -> TopoDS_Solid:
    failed = GeometryError("no seam was tried", part=part, step=step)
    for seam in SEAMS:
        made = _drilled(body, [drill.rod(seam)], part, step)
        if not isinstance(made, GeometryError):
            return made
        failed = made
    raise failed


def _drilled(
    body: TopoDS_Solid, rods: Sequence[TopoDS_Solid], part: str, step: str
) -> TopoDS_Solid | GeometryError:
    """Return a body without rods, or what is wrong with the answer."""
    try:
        outside, inside = divide(body, rods, part, step)
        whole: TopoDS_Solid = only(sized(outside, volume(body)), part, step)
    except GeometryError as error:
        return error
    least = CRUMB * volume(rods[0])
    boxes = [loose_box(piece) for piece in inside if volume(piece) > least]
    if not all(any(boxes_meet(loose_box(rod), box) for box in boxes) for rod in rods):
        return GeometryError("a drill takes nothing of it", part=part, step=step)
    taken = sum(integrated(piece, FINE).value for piece in inside)
    lost = integrated(body, FINE).value - integrated(whole, FINE).value - taken
    if abs(lost) > BALANCE * taken:
        problem = f"a drill takes {taken:.3f} mm^3 of it, {lost:+.3f} mm^3 more are gone"
        return GeometryError(problem, part=part, step=step)
    return whole
