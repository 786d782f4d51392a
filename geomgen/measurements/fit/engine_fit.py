"""Room round the engine: the least gap to any part but those that are fixed to it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body, hull_gap, meeting, near_faces, triangles
from geomgen.kernel.interference.near_triangles import nearest_points
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.distance import EXACT, closest
from geomgen.measurements.least_gap import bound_of_least
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# So many neighbours are named with their gaps, the nearest first.
NAMED = 8
EVERY = "every part but what is fixed to the engine or turns on its shaft; "
ON_SOLIDS = EVERY + "the exact distance of the solids, checked by their meshes"
ON_MESHES = EVERY + "the distance of the meshes, where the solids' exact one does not agree with it"
SHARED = EVERY + "how deep the two share space"


@dataclass(frozen=True)
class NeighbourGap:
    """The gap to one neighbour [mm], with its bound and its two closest points if known.

    The points are as far apart as the gap is wide, give or take the bound; of parts that share
    space as far as they are deep.
    """

    gap: float
    name: str
    bound: float
    points: tuple[Vec3, ...] = ()


def exact_room(a: Body, b: Body, rough: NeighbourGap) -> NeighbourGap:
    """Return the solids' distance; the meshes', with its own two points, where that can't be right.

    Right is what the meshes allow and what the kernel's own two points are apart.
    """
    slack = a.deviation + b.deviation
    if a.rough or b.rough:
        return _of_meshes(a, b, rough)
    near = closest(*near_faces(a, b, rough.gap + slack))
    own = math.dist(near.first, near.second)
    if abs(rough.gap - near.distance) <= slack + 1e-3 and abs(own - near.distance) <= 10 * EXACT:
        return NeighbourGap(near.distance, rough.name, 10 * EXACT, (near.first, near.second))
    return _of_meshes(a, b, rough)


def _of_meshes(a: Body, b: Body, rough: NeighbourGap) -> NeighbourGap:
    points = nearest_points(triangles(a), triangles(b), rough.gap)
    if points is None:
        raise GeometryError(
            f"the meshes of engine and {rough.name} are said to be {rough.gap:.3f} mm apart and no "
            "two of their triangles are",
            part=rough.name,
            step="engine.clearance",
        )
    first, second = (vec(point) for point in points)
    return NeighbourGap(
        math.dist(first, second), rough.name, a.deviation + b.deviation, (first, second)
    )


def rough_room(engine: Body, body: Body, name: str) -> NeighbourGap:
    """Return the gap to one neighbour by the meshes; how deep it is where the two share space."""
    met = meeting(engine, body)
    if met is not None:
        return NeighbourGap(-met.depth, name, met.error, (met.at, met.foot))
    return NeighbourGap(hull_gap(engine.hull, body.hull), name, engine.deviation + body.deviation)


def may_be_least(room: NeighbourGap, rooms: Sequence[NeighbourGap]) -> bool:
    """Say whether a rough gap may be the least once it is known exactly."""
    best = min(other.gap + other.bound for other in rooms)
    return not room.points and room.gap - room.bound <= best


def engines(model: Model) -> list[str]:
    """Return the names of the engines' envelopes."""
    return [name for name, family in model.families.items() if family == "engine"]


def neighbours(model: Model, engine: str) -> list[str]:
    """Return what stands round an engine: every part that does not move with it.

    Propeller and spinner turn on its shaft, and `on_engine` are fixed to it.
    """
    own = {engine, model.swept, *model.rotating, *fixed(model)}
    return [name for name in model.families if name not in own]


def fixed(model: Model) -> list[str]:
    """Return the names of the parts that are fixed to the engine."""
    return [name for name, family in model.families.items() if family in model.on_engine]


def room_record(found: Sequence[NeighbourGap], left_out: Sequence[str] = ()) -> list[Measurement]:
    """Return the least of the gaps as a record; `left_out` names what is fixed to the engine."""
    if not found:
        return []
    each = sorted(found, key=lambda room: room.gap)
    least = each[0]
    return [
        Measurement(
            "engine.clearance",
            f"engine, {least.name}",
            "least gap between the engine and what is round it",
            least.gap,
            "mm",
            _method(least),
            bound_of_least([(room.gap, room.bound) for room in each]),
            f"{least.name} at {place(least.points[1])}",
            least.points,
            "; ".join(_said(each, left_out)),
        )
    ]


def _method(room: NeighbourGap) -> str:
    """Return how a gap was taken: its bound tells, for the solids' own is far below a mesh's."""
    if room.gap < 0:
        return SHARED
    return ON_SOLIDS if room.bound <= 10 * EXACT else ON_MESHES


def _said(each: Sequence[NeighbourGap], left_out: Sequence[str]) -> list[str]:
    said = [_gap_of(room) for room in each[:NAMED]]
    if len(each) > NAMED:
        said.append(f"{len(each) - NAMED} other parts farther off")
    if left_out:
        said.append(f"not counted, fixed to the engine: {', '.join(left_out)}")
    return said


def _gap_of(room: NeighbourGap) -> str:
    about = "" if room.points else "about "
    return f"{room.name} {about}{room.gap:.1f} mm"
