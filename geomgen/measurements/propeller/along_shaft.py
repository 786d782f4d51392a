"""How near a part comes to the swept volume along the shaft, at whatever radius it stands.

The swept volume is wider at the tips than at the roots. From a straight side of its profile, a gap
along the shaft is the distance square to that cone, over the cosine of its slope: exact, as the
kernel measures distances. The meshes tell which faces can be nearest, and prove the answer.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, inf
from typing import NamedTuple

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import ring
from geomgen.kernel.interference.meeting import Body, meeting
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.sections.near_axis import Span, radii
from geomgen.kernel.sections.revolution import cone
from geomgen.kernel.sections.section import ROUNDED, shared
from geomgen.kernel.solids.booleans import common
from geomgen.kernel.solids.distance import EXACT, along, closest, extreme
from geomgen.measurements.least_gap import bound_of_least
from geomgen.measurements.propeller.swept import Swept, SweptSide

# Parts farther than this along the shaft are not looked for [mm].
FAR = 2e4
# A side that narrows outward by more than this slope is refused: its cone is not convex.
LEVEL = 1e-6
# Each triangle is looked at in so many steps a side.
STEPS = 8
# So many triangles that may be nearest are looked at first.
FEW = 500


class Reach(NamedTuple):
    """A gap to a part [mm], where the part is nearest [mm], and how far the gap may be off [mm]."""

    gap: float
    at: Vec3
    bound: float = 10 * EXACT


def least_of(of_parts: Mapping[str, Reach | None]) -> tuple[str, Reach] | None:
    """Return the part or side that is nearest, its gap; the bound covers what may be nearer.

    >>> far, near = Reach(9.0, (0.0, 0.0, 0.0), 3.0), Reach(8.0, (0.0, 0.0, 0.0), 1.0)
    >>> name, least = least_of({"wing": far, "boom": near, "pod": None})
    >>> name, least.gap, least.bound
    ('boom', 8.0, 2.0)
    """
    found = {name: reach for name, reach in of_parts.items() if reach is not None}
    if not found:
        return None
    _, name, _ = min((reach.gap, name, reach.at) for name, reach in found.items())
    bound = bound_of_least([(reach.gap, reach.bound) for reach in found.values()])
    return name, found[name]._replace(bound=bound)


def along_the_shaft(swept: Swept, name: str, body: Body, disc: Body) -> Reach | None:
    """Return the least gap along the shaft [mm] and where; None where it is out of the ring.

    Negative where it stands in the swept volume: by the length along the shaft that they share.
    `disc` is the swept volume with its mesh. GeometryError when the figure does not prove right.
    """
    met = meeting(disc, body)
    if met is not None:
        pieces = common(body.solid, swept.solid(), name, "what stands in the swept volume")
        found = [_depth(swept, piece) for piece in pieces]
        return min(found, default=Reach(-met.depth, met.at))
    sides = enumerate(swept.sides())
    least = least_of({str(n): _from_side(swept, side, name, body) for n, side in sides})
    return None if least is None else least[1]


def _depth(swept: Swept, piece: TopoDS_Shape) -> Reach:
    x, y, z = swept.axis.direction
    _, aft = extreme(piece, (x, y, z))
    _, fore = extreme(piece, (-x, -y, -z))
    return Reach(along(swept.axis, fore) - along(swept.axis, aft), aft)


@dataclass(frozen=True)
class _Seen:
    """What a mesh tells of the gap [mm]: surely not more, surely not less, faces that may be it.

    `at` is the corner of the mesh that is nearest [mm].
    """

    most: float
    least: float
    faces: Ints
    at: Vec3


def _from_side(swept: Swept, side: SweptSide, name: str, body: Body) -> Reach | None:
    if side.way * side.slope > LEVEL:
        raise GeometryError(
            "the swept volume is narrower at the tips than at the roots: no gap along the shaft",
            part=swept.name,
        )
    seen = _seen(swept, side, body)
    if not len(seen.faces):
        return None
    if body.first and not np.isfinite(seen.most):
        raise ExactDueError("it stands at the rim of the ring")
    if body.rough and np.isfinite(seen.most):
        bound = 0.5 * (seen.most - seen.least)
        return Reach(0.5 * (seen.most + seen.least), seen.at, bound)
    ends = (swept.middle - FAR, swept.middle)
    if side.way < 0:
        ends = (swept.middle, swept.middle + FAR)
    room = ring(swept.axis, *ends, side.inner, side.outer)
    every = faces_of(body.solid)
    pieces = [
        piece for number in seen.faces.tolist() for piece in shared(every[number], room) or ()
    ]
    outer = side.outer + abs(side.slope) * FAR
    face = cone(swept.axis, (side.at, side.inner), (side.station(outer), outer))
    near = [closest(face, piece) for piece in pieces]
    gaps = [Reach(n.distance * hypot(1.0, side.slope), n.second) for n in near]
    least = min(gaps, default=None)
    if (inf if least is None else least.gap) > seen.most or (least and least.gap < seen.least):
        raise GeometryError(
            "the kernel's distance along the shaft and the mesh's do not agree", part=name
        )
    return least


def _seen(swept: Swept, side: SweptSide, body: Body) -> _Seen:
    frame = Span(swept.axis, 0.0, 0.0, 0.0).frame(0.0)
    off = body.deviation * hypot(1.0, side.slope) + ROUNDED
    height, flat = frame.height(body.mesh.vertices), frame.flat(body.mesh.vertices)
    tall, wide = height[body.mesh.triangles], flat[body.mesh.triangles]
    gap = _gaps(side, tall, np.linalg.norm(wide, axis=-1))
    out = np.linalg.norm(wide, axis=-1).max(axis=1) >= side.inner - off
    here = np.nonzero(out & (gap.max(axis=1) >= -off) & (radii(wide) <= side.outer + off))[0]
    if not len(here):
        return _Seen(inf, inf, np.zeros(0, dtype=np.int64), (0.0, 0.0, 0.0))
    # A gap is concave over a triangle, as a distance from the axis is convex: least at a corner.
    least = gap[here].min(axis=1) - off
    few = here[np.argsort(least, kind="stable")[:FEW]]
    most = _most(side, tall[few], wide[few], off)
    if most == inf:
        most = _most(side, tall[here], wide[here], off)
    faces = np.unique(body.mesh.face[here][least <= most])
    row = int(np.argmin(least))
    corner = body.mesh.corners[here[row], int(np.argmin(gap[here[row]]))]
    return _Seen(most, max(float(least[row]), 0.0), faces, vec(corner))


def _most(side: SweptSide, tall: Floats, wide: Floats, off: float) -> float:
    """Return a gap that is surely reached: at points of triangles that lie in the ring."""
    grid = [(i, j, STEPS - i - j) for i in range(STEPS + 1) for j in range(STEPS + 1 - i)]
    share = np.array(grid) / STEPS
    radius = np.linalg.norm(np.einsum("pc,ncd->npd", share, wide), axis=-1)
    gap = _gaps(side, tall @ share.T, radius)
    within = (radius >= side.inner + off) & (radius <= side.outer - off) & (gap > off)
    return float(np.min(gap[within], initial=inf)) + off


def _gaps(side: SweptSide, height: Floats, radius: Floats) -> Floats:
    return np.asarray(side.way * (side.at + side.slope * (radius - side.inner) - height))
