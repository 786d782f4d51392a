"""Straight holes drilled into a solid, each proved to take something of it.

Where a thin rod passes a long spline face the kernel now and then misses the crossing and hands the
body back uncut, or takes a part of the hole: of a large body volumes that add up, and points, can't
tell. Where the rod's seam lies decides it. So the hole itself must add up.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.brep.primitives import across, cylinder
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.booleans import divide, only, sized, volume
from geomgen.kernel.solids.line_crossings import LineCrossings
from geomgen.kernel.solids.properties import volume as integrated

# Where the seam of a rod is put, one after the other [deg]: own choice, no two evenly apart.
SEAMS = (0.0, 37.0, 101.0, 163.0, 229.0, 293.0)
# What holes take adds up to this share of them; volumes are worked out to this share of a body.
BALANCE, FINE = 1e-4, 1e-9
GRAZING = 1e-6
# Lines along a hole, on rings of equal areas, by which it is told what it should take, and by what
# share of a whole hole the answer may be off that: a hole at an edge is told coarsely. Own choice.
RINGS, ROUND, OFF = 3, 8, 0.12


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

    def takes(self, lines: LineCrossings) -> tuple[float, float]:
        """Return what it should take of a solid, and what a whole hole would [mm3], by lines.

        It begins outside of it.
        """
        one = np.array(across(self.direction))
        two = np.cross(self.direction, one)
        chords = []
        for i in range(RINGS):
            off = self.radius * math.sqrt((i + 0.5) / RINGS)
            for angle in np.linspace(0.0, 2 * math.pi, ROUND, endpoint=False) + 0.3 * (i + 1):
                at = self.start + off * (math.cos(angle) * one + math.sin(angle) * two)
                passed = lines.along(vec(at), self.direction, 0.0, self.length)
                far = sorted(length for length, _ in passed)
                far += [self.length] * (len(far) % 2)
                chords.append(sum(b - a for a, b in zip(far[::2], far[1::2], strict=True)))
        area = math.pi * self.radius**2
        return area * float(np.mean(chords)), area * max(chords)

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
    made = _drilled(body, drills, 0.0, part, step)
    if not isinstance(made, GeometryError):
        return made
    for drill in drills:
        body = _one_drilled(body, drill, part, step)
    return body


def _one_drilled(body: TopoDS_Solid, drill: Drill, part: str, step: str) -> TopoDS_Solid:
    failed = GeometryError("no seam was tried", part=part, step=step)
    for seam in SEAMS:
        made = _drilled(body, [drill], seam, part, step)
        if not isinstance(made, GeometryError):
            return made
        failed = made
    raise failed


def _drilled(
    body: TopoDS_Solid, drills: Sequence[Drill], seam: float, part: str, step: str
) -> TopoDS_Solid | GeometryError:
    """Return a body without what drills take, or what is wrong with the answer."""
    rods = [drill.rod(seam) for drill in drills]
    try:
        outside, inside = divide(body, rods, part, step)
        whole: TopoDS_Solid = only(sized(outside, volume(body)), part, step)
    except GeometryError as error:
        return error
    boxes = [(loose_box(piece), integrated(piece, FINE).value) for piece in inside]
    lines = LineCrossings(body, GRAZING)
    for drill, rod in zip(drills, rods, strict=True):
        taken = sum(size for box, size in boxes if boxes_meet(loose_box(rod), box))
        due, full = drill.takes(lines)
        if taken == 0.0:
            return GeometryError("a drill takes nothing of it", part=part, step=step)
        if full and abs(taken - due) > OFF * full:
            problem = f"a drill takes {taken:.3f} mm^3 of it, and should take {due:.3f} mm^3"
            return GeometryError(problem, part=part, step=step)
    taken = sum(size for _, size in boxes)
    lost = integrated(body, FINE).value - integrated(whole, FINE).value - taken
    if abs(lost) > BALANCE * taken:
        problem = f"drills take {taken:.3f} mm^3 of it, {lost:+.3f} mm^3 more are gone"
        return GeometryError(problem, part=part, step=step)
    return whole
