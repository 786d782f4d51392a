"""What each part is joined to: does a chain of joints lead from it to the pod, and how well seated.

A joint is where two parts come within reach of each other: the widest gap that the file states for
any joint, and a millimetre (own choice); parts of a skin that is parted, the gap stated for them,
and a millimetre. What hangs on legs or mounts that are not drawn (the
engine, wheels without a leg) and what turns is not asked; parts that are fixed to the engine hang
on it. A leg is held by what it is rooted in and by nothing else, a wheel by its own leg.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.contact import Seat, seat
from geomgen.kernel.interference.meeting import Body, hull_gap
from geomgen.kernel.interference.surely_apart import surely_within
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.sections.section import cross_section
from geomgen.measurements.fit.engine_fit import engines, fixed
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Added to the widest gap of a joint, for what bonds the two [mm]: own choice.
BOND = 1.0
# Held by mounts that are not drawn, by legs where there are none, or by the foam round them.
UNDRAWN = ("wheel", "engine", "tank", "spar", "rib", "joint_plate", "joint_pin")
# Parts that stand on others with their ends, or hang on them: of those the seat is looked at.
SEATED = ("tailplane", "fin", "pylon", "leg", "boom")
# A wing that hangs on these is held by as much of them as bears on it.
HOLDING = ("pylon", "boom")
# How the seat of a part is looked at: not, as that of its end, or of whatever side it lies on. A
# squat pylon is broader at its end than anywhere, and stands on it all the same.
Look = Literal["", "end", "any side"]
UNSEEN: Final = ""
ITS_END: Final = "end"
ANY_SIDE: Final = "any side"
ENDS = ("pylon", "leg")
# A seat that runs round a part has no one direction and no section to be compared with; where one
# is, the section is taken this far behind the seat [mm]. A part whose section there is so many
# times its least one lies on the other with its side. All own choice.
ONE_WAY, BEHIND, LYING = 0.45, 10.0, 3.0
AXES: tuple[Vec3, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
JOINED = (
    "the widest gap stated for any joint and 1 mm more (own choice); a leg to what it is rooted in "
    "alone, a wheel to its own leg; not asked: wheels whose leg is not drawn, engine and tanks, "
    "whose mounts are not, spars and ribs, and what turns"
)
PARTED = f"; parts of a skin that is parted: within the gap stated for them and {BOND:g} mm more"
SEAT = (
    "tailplane, fins, pylon, booms, legs: skin within reach of the next part on the way to the "
    "pod, as a share of the part's section; a wing on pylon or booms: of theirs"
)
# Gaps are looked for this much farther out than they may be [mm].
NEXT = 1.0


@dataclass(frozen=True)
class MeasuredSeat:
    """How a joint of two parts is seated: area [mm2] and where it is [mm].

    `shares` are, of the first and the second part, the seat over the part's section; None where
    that was not looked at or the seat runs round the part.
    """

    area: float
    at: Vec3
    shares: tuple[float | None, float | None]


NOT_LOOKED_AT = MeasuredSeat(0.0, (0.0, 0.0, 0.0), (None, None))


@dataclass(frozen=True)
class NearestPart:
    """The part that is nearest to another, and the gap between their meshes [mm]."""

    name: str
    gap: float


def reach(model: Model) -> float:
    """Return how near two parts are that count as joined [mm]."""
    return model.joint_gap + BOND


def reach_of(model: Model, a: str, b: str) -> float:
    """Return how near two parts count as joined [mm]; those of one skin as that is parted.

    >>> families = {"wing_centre": "wing", "wing_outer_left": "wing", "pod": "pod"}
    >>> model = Model(families=families, joint_gap=2.0, joint_gaps=(("wing", "wing", 20.0),))
    >>> reach_of(model, "wing_centre", "wing_outer_left"), reach_of(model, "wing_centre", "pod")
    (21.0, 3.0)
    """
    families = (model.families[a], model.families[b])
    parted = (gap + BOND for *pair, gap in model.joint_gaps if tuple(pair) == families)
    return max((reach(model), *parted)) if len(set(families)) == 1 else reach(model)


def joint(a: Body, b: Body, within: float) -> float | None:
    """Return the gap of two bodies [mm] that come `within` [mm] of each other by their meshes."""
    gap = float(a.hull.min_gap(b.hull, within + NEXT))
    if a.first or b.first:
        slack = a.deviation + b.deviation
        if abs(gap - within) <= slack and not surely_within(a, b, within):
            raise ExactDueError("whether they are joined")
    return None if gap > within else gap


def seated(a: Body, b: Body, within: float, looked_at: tuple[Look, Look]) -> MeasuredSeat:
    """Return how the joint of two bodies within reach [mm] is seated.

    `looked_at` says of which of the two the seat is compared with the section.
    """
    seats = [
        seat(one.mesh.corners, search_of(other.mesh), within) for one, other in ((a, b), (b, a))
    ]
    small = min(seats, key=lambda found: found.area)
    first = _share(a, b, seats[0], looked_at[0])
    second = _share(b, a, seats[1], looked_at[1])
    return MeasuredSeat(small.area, small.middle, (first, second))


def _share(body: Body, other: Body, found: Seat, look: Look) -> float | None:
    """Return a seat as a share of the body's section behind it; None where it is not looked at.

    A part that lies on the other with its side has the smaller of both parts' least sections.
    """
    if look == UNSEEN:
        return None
    if found.flat <= ONE_WAY * found.area:
        return None if found.area else 0.0
    x, y, z = np.subtract(found.middle, BEHIND * np.array(found.way)).tolist()
    whole, least = _section(body, (x, y, z), found.way), _least(body, (x, y, z))
    if look == ANY_SIDE and whole > LYING * least:
        whole = min(least, _least(other, found.middle))
    return found.flat / whole if whole > 0.0 else None


def _section(body: Body, at: Vec3, way: Vec3) -> float:
    """Return the section [mm2] of a body's mesh through a point across a direction."""
    return round(float(cross_section(body.hull, frame_round(Plane(at, way), at)).area()), 6)


def _least(body: Body, at: Vec3) -> float:
    """Return the least section [mm2] through a point across the axes; 0 where none meets it."""
    areas = [_section(body, at, way) for way in AXES]
    return min((area for area in areas if area > 0.0), default=0.0)


def looked_at(model: Model, a: str, b: str) -> tuple[Look, Look]:
    """Say of two parts how the seat of each on the other is looked at; on a wheel or leg not."""
    first, second = model.families[a], model.families[b]
    return _look(first, second), _look(second, first)


def _look(family: str, other: str) -> Look:
    if family not in SEATED or other in ("wheel", "leg"):
        return UNSEEN
    return ITS_END if family in ENDS else ANY_SIDE


def held(model: Model) -> list[str]:
    """Return the parts that must be joined to something drawn."""
    turning = {model.swept, *model.rotating}
    on_legs = {strut.wheel for strut in model.struts if strut.leg}
    return [
        n
        for n, f in model.families.items()
        if n in on_legs or (f not in UNDRAWN and n not in turning)
    ]


def may_hold(model: Model, a: str, b: str) -> bool:
    """Say whether a joint of two parts can hold one of them: legs and wheels have but one each.

    Glazing hangs on the pod and holds nothing.
    """
    families = {model.families.get(a), model.families.get(b)}
    if "canopy" in families and families != {"canopy", "pod"}:
        return False
    for strut in model.struts:
        if strut.wheel in (a, b):
            return strut.leg in (a, b)
    for strut in model.struts:
        if strut.leg in (a, b):
            return strut.rooted_in in (model.families[a], model.families[b])
    return True


def loose(model: Model, pairs: Iterable[tuple[str, str]]) -> list[str]:
    """Return the parts that no chain of joined pairs leads from to the pod."""
    holding = [pair for pair in pairs if may_hold(model, *pair)]
    chained = _chained(_roots(model), [*holding, *_by_file(model)])
    return [name for name in held(model) if name not in chained]


def _roots(model: Model) -> list[str]:
    pods = [n for n, family in model.families.items() if family == "pod"]
    return [*pods, *engines(model)] if pods else []


def nearest(body: Body, others: Mapping[str, Body]) -> NearestPart | None:
    """Return the nearest of some other bodies by the meshes; None where there are none."""
    return min(
        (NearestPart(name, hull_gap(body.hull, other.hull)) for name, other in others.items()),
        key=lambda found: found.gap,
        default=None,
    )


def attached(
    model: Model,
    joints: Collection[tuple[str, str]],
    near: Mapping[str, NearestPart] | None = None,
) -> list[Measurement]:
    """Return parts.attached, the number of parts that no chain of joined pairs leads to the pod.

    `near` is what is nearest to each loose part of what leads to the pod. Nothing where the model
    has no pod.
    """
    roots = [n for n, family in model.families.items() if family == "pod"]
    if not roots:
        return []
    off = loose(model, joints)
    said = [_joined_to(name, joints, model) for name in held(model) if name not in roots]
    told = [
        _what_would_do(model, name, found) for name, found in (near or {}).items() if name in off
    ]
    return [
        Measurement(
            "parts.attached",
            ", ".join(off) or "all parts",
            "parts from which no chain of joints leads to the pod",
            float(len(off)),
            "1",
            f"joined: within {reach(model):.1f} mm by the meshes, {JOINED}"
            + (PARTED if any(one == other for one, other, _ in model.joint_gaps) else ""),
            0.0,
            note="; ".join([*told, *said]),
        )
    ]


def _what_would_do(model: Model, name: str, found: NearestPart) -> str:
    if any(name == strut.leg for strut in model.struts):
        return (
            f"{name} is loose, {found.gap:.1f} mm from {found.name}, which the file roots it in: "
            "move the root of the leg into it"
        )
    return (
        f"{name} is loose, {found.gap:.1f} mm from {found.name}, the nearest part that leads to "
        f"the pod: join the two in the file, or move it nearer; if the engine carries it, add its "
        f"name to engine.fixed_parts"
    )


def _by_file(model: Model) -> list[tuple[str, str]]:
    """Return the pairs that the file says are joined: the engine and what is fixed to it."""
    return [(engine, name) for engine in engines(model) for name in fixed(model)]


def _chained(roots: Sequence[str], links: Sequence[tuple[str, str]]) -> set[str]:
    """Return all that chains of links reach from the roots."""
    found, size = set(roots), 0
    while size != len(found):
        size = len(found)
        for a, b in links:
            if a in found or b in found:
                found |= {a, b}
    return found


def _joined_to(name: str, joints: Collection[tuple[str, str]], model: Model) -> str:
    to = [b if a == name else a for a, b in joints if name in (a, b)]
    if name in fixed(model):
        to += [f"{engine} (the file says so)" for engine in engines(model)]
    return f"{name} to {' and '.join(to)}" if to else f"{name} to nothing"


def seats(model: Model, joints: Mapping[tuple[str, str], MeasuredSeat]) -> list[Measurement]:
    """Return parts.seat: the least seat of the parts that stand on others.

    Of all ways that the joints lead to the pod along, each part's best counts. Nothing where
    nothing that leads to the pod is looked at.
    """
    best = {name: row for name, row in _ways(model, joints).items() if row.told}
    if not best:
        return []
    name = min(best, key=lambda part: best[part].share)
    least = best[name]
    return [
        Measurement(
            "parts.seat",
            f"{name}, {least.on}",
            "least share of a part's section that it bears on, by the best way to the pod",
            least.share,
            "1",
            f"{SEAT} {BEHIND:g} mm behind it (own choice); 1 where the joint runs round the part",
            None,
            f"{name} at {place(least.seat.at)}",
            (least.seat.at,),
            "; ".join(
                f"{part} on {row.on} {100 * row.share:.0f} % ({row.seat.area:.0f} mm^2)"
                for part, row in best.items()
            ),
        )
    ]


@dataclass(frozen=True)
class _Standing:
    """What a part stands on, the share of its section that bears there, and how it is seated.

    Of other parts than those that are looked at the share is 1 and not `told`.
    """

    on: str
    share: float
    told: bool
    seat: MeasuredSeat


def _ways(model: Model, joints: Mapping[tuple[str, str], MeasuredSeat]) -> dict[str, _Standing]:
    """Return what each part stands on, on the way to the pod whose least share is the largest.

    A fin that bears well on the tailplane is none the better held: the tailplane stands on it.
    """
    links = [
        (part, _Standing(other, *_bearing(model, part, other, shares), found))
        for pair, found in joints.items()
        if may_hold(model, *pair)
        for part, other, shares in (
            (*pair, found.shares),
            (*pair[::-1], found.shares[::-1]),
        )
    ]
    least, ways = dict.fromkeys(_roots(model), 1.0), dict[str, _Standing]()
    for more in ((), [name for _, name in _by_file(model)]):
        least |= {name: 1.0 for name in more if name not in least}
        while True:
            rows = [row for row in links if row[0] not in least and row[1].on in least]
            if not rows:
                break
            part, row = max(
                rows, key=lambda r: (min(r[1].share, least[r[1].on]), r[1].share, r[1].seat.area)
            )
            least[part], ways[part] = min(row.share, least[row.on]), row
    return ways


def _bearing(
    model: Model, part: str, other: str, shares: tuple[float | None, ...]
) -> tuple[float, bool]:
    """Return the share that counts of a part on another, and whether it was looked at."""
    own, its = shares
    if model.families[part] in SEATED:
        share = own
    elif model.families[part] == "wing" and model.families[other] in HOLDING:
        share = its
    else:
        return 1.0, False
    # A seat that runs all round holds by itself.
    return 1.0 if share is None else min(share, 1.0), True
