"""Room round the engine: the least gap to hull, firewall, scoops, exit and fairing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geomgen.kernel.distance import EXACT, closest
from geomgen.kernel.meeting import Body, meeting, near_faces
from geomgen.kernel.plain import Model, Vec3
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

NEIGHBOURS = ("pod", "firewall", "scoop", "exit", "tail_fairing")
# Meshes are looked at this far apart first, then twice as far, and no farther than the last [mm].
NEAREST = 25.0
FARTHEST = 5000.0


@dataclass(frozen=True)
class Room:
    """The gap to one neighbour [mm], with its bound and its two closest points if known."""

    gap: float
    name: str
    bound: float
    points: tuple[Vec3, ...] = ()


def mesh_gap(a: Body, b: Body) -> float:
    """Return the gap between two meshes [mm], looked for ever farther out."""
    reach = NEAREST
    while reach < FARTHEST:
        gap = float(a.hull.min_gap(b.hull, reach))
        if gap < reach:
            return gap
        reach *= 2
    return FARTHEST


def exact_room(a: Body, b: Body, rough: Room) -> Room:
    """Return the solids' distance; the meshes' where the kernel's answer can't be right."""
    slack = a.deviation + b.deviation
    near = closest(*near_faces(a, b, rough.gap + slack))
    right = abs(rough.gap - near.distance) <= slack + 1e-3
    gap, bound = (near.distance, 10 * EXACT) if right else (rough.gap, slack)
    return Room(gap, rough.name, bound, (near.first, near.second))


def rough_room(engine: Body, body: Body, name: str) -> Room:
    """Return the gap to one neighbour by the meshes; exact where the two share space."""
    met = meeting(engine, body)
    if met is not None:
        return Room(-met.depth, name, met.error, (met.at, met.at))
    return Room(mesh_gap(engine, body), name, engine.deviation + body.deviation)


def may_be_least(room: Room, rooms: Sequence[Room]) -> bool:
    """Say whether a rough gap may be the least once it is known exactly."""
    best = min(other.gap + other.bound for other in rooms)
    return not room.points and room.gap - room.bound <= best


def _said(room: Room) -> str:
    about = "" if room.points else "about "
    return f"{room.name} {about}{room.gap:.1f} mm"


def engine_room(model: Model, bodies: Mapping[str, Body]) -> list[Measurement]:
    """Return engine.clearance [mm], the least of its neighbours; negative by the depth.

    Every neighbour is measured by its mesh; on the solids those that can be the nearest.
    """
    found: list[Room] = []
    for name in engines(model):
        engine = bodies[name]
        rough = [rough_room(engine, bodies[other], other) for other in neighbours(model)]
        found += [
            exact_room(engine, bodies[r.name], r) if may_be_least(r, rough) else r for r in rough
        ]
    return room_record(found)


def engines(model: Model) -> list[str]:
    """Return the names of the engines' envelopes."""
    return [name for name, family in model.families.items() if family == "engine"]


def neighbours(model: Model) -> list[str]:
    """Return the names of what stands round an engine."""
    return [name for name, family in model.families.items() if family in NEIGHBOURS]


def room_record(found: Sequence[Room]) -> list[Measurement]:
    """Return the least of the gaps as a record."""
    if not found:
        return []
    least = min(found, key=lambda room: room.gap)
    each = sorted(found, key=lambda room: room.gap)
    return [
        Measurement(
            "engine.clearance",
            f"engine, {least.name}",
            "least gap between the engine and what is round it",
            least.gap,
            "mm",
            "shared space first, then the exact distance of the solids, checked by their meshes",
            least.bound,
            f"{least.name} at {place(least.points[1])}",
            least.points,
            "; ".join(_said(room) for room in each),
        )
    ]
