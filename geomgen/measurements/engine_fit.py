"""Room round the engine: the least gap to hull, firewall, scoops, exit and fairing."""

from dataclasses import dataclass

from geomgen.kernel.distance import EXACT, closest
from geomgen.kernel.meeting import Body, meeting
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


def _exact(a: Body, b: Body, name: str, told: float) -> Room:
    """Return the solids' distance; the meshes' where the kernel's answer can't be right."""
    slack = a.deviation + b.deviation
    near = closest(a.solid, b.solid)
    right = abs(told - near.distance) <= slack + 1e-3
    gap, bound = (near.distance, 10 * EXACT) if right else (told, slack)
    return Room(gap, name, bound, (near.first, near.second))


def _rooms(engine: Body, neighbours: dict[str, Body]) -> list[Room]:
    """Measure every neighbour by its mesh; on the solids those that can be the nearest."""
    found = []
    for name, body in neighbours.items():
        met = meeting(engine, body)
        if met is not None:
            found.append(Room(-met.depth, name, met.error, (met.at, met.at)))
            continue
        slack = engine.deviation + body.deviation
        found.append(Room(mesh_gap(engine, body), name, slack))
    best = min((room.gap + room.bound for room in found), default=0.0)
    return [
        _exact(engine, neighbours[r.name], r.name, r.gap)
        if not r.points and r.gap - r.bound <= best
        else r
        for r in found
    ]


def _said(room: Room) -> str:
    about = "" if room.points else "about "
    return f"{room.name} {about}{room.gap:.1f} mm"


def engine_room(model: Model, bodies: dict[str, Body]) -> list[Measurement]:
    """Return engine.clearance [mm], the least of its neighbours; negative by the depth."""
    family = model.families
    engines = [name for name in family if family[name] == "engine"]
    around = {name: bodies[name] for name in family if family[name] in NEIGHBOURS}
    found = [room for name in engines for room in _rooms(bodies[name], around)]
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
