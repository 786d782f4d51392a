"""The least gaps of some parts to others and to the pilot."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.kernel.brep.boxes import boxes_apart
from geomgen.kernel.interference.meeting import Body, hull_gap, meeting, near_faces
from geomgen.kernel.plain import Limb, Vec3
from geomgen.kernel.solids.distance import EXACT, closest
from geomgen.measurements.pilot.cabin import room_from
from geomgen.measurements.pilot.limb_gap import WITHIN
from geomgen.measurements.subject import Boxes

Pair = tuple[tuple[str, str], float]
# What is farther off than this by its box is not looked at, unless nothing is nearer [mm].
NEAR = 20.0


@dataclass(frozen=True)
class PartGap:
    """The least gap [mm], its bound, between which two, and its two ends; minus the depth."""

    gap: float
    bound: float
    part: str
    other: str
    points: tuple[Vec3, Vec3]


def near_pairs(name: str, others: Sequence[str], boxes: Boxes) -> list[Pair]:
    """Return a part with each of others that may be the nearest, by their boxes [mm]."""
    each = sorted((boxes_apart(boxes[name], boxes[other]), other) for other in others)
    return [((name, other), off) for off, other in each if off <= max(NEAR, each[0][0])]


def least_gap(bodies: Mapping[str, Body], pairs: Sequence[Pair]) -> PartGap:
    """Return the least gap of pairs of parts; `pairs` name them with how far apart they surely are.

    They stand in the order of that distance [mm]. The least by the meshes is measured on the
    solids; where two share space it is how deep.
    """
    best, found = math.inf, pairs[0][0]
    for (a, b), off in pairs:
        if off > best:
            break
        gap = hull_gap(bodies[a].hull, bodies[b].hull)
        if gap < best:
            best, found = gap, (a, b)
    first, second = bodies[found[0]], bodies[found[1]]
    slack = first.deviation + second.deviation
    if best <= slack:
        met = meeting(first, second)
        if met is not None:
            return PartGap(-met.depth, met.error, *found, (met.at, met.foot))
    near = closest(*near_faces(first, second, best + slack))
    if abs(near.distance - best) > slack + 1e-3:
        near = closest(first.solid, second.solid)
    return PartGap(near.distance, 10 * EXACT, *found, (near.first, near.second))


def least_to_limbs(parts: Mapping[str, Body], limbs: Sequence[Limb]) -> PartGap:
    """Return the least gap of parts to limbs; what lies in a limb's rod is less than nothing."""
    found: PartGap | None = None
    for limb in limbs:
        for name, body in parts.items():
            if found is not None and _surely(limb, body) > found.gap:
                continue
            room = room_from(limb, body)
            if found is None or room.gap < found.gap:
                bound = WITHIN + body.deviation
                found = PartGap(room.gap, bound, name, room.limb, (room.on_part, room.on_limb))
    assert found is not None
    return found


def _surely(limb: Limb, body: Body) -> float:
    """Return how far a limb is off a body at the least [mm]: by boxes, the balls taken off."""
    ends = np.array([limb.start, limb.end])
    low, high = body.mesh.vertices.min(axis=0), body.mesh.vertices.max(axis=0)
    apart = np.maximum(np.maximum(low - ends.max(axis=0), ends.min(axis=0) - high), 0.0)
    return float(np.linalg.norm(apart)) - max(limb.start_radius, limb.end_radius)
