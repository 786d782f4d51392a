"""Room of limbs in the pod and from other parts: a limb outside the pod or inside a part has none.

A distance alone knows no sides: a head above the roof is as far from it as one below. So the
middles of a limb's balls are looked at too: rays across the pod leave the cabin through one wall,
from outside they meet none or two.
"""

from collections.abc import Iterable, Sequence
from math import cos, pi, sin

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.plain import Limb, Plane, Vec3, vec
from geomgen.kernel.second_library import passes
from geomgen.measurements.pilot.limb_gap import LimbGap, farthest_out, middles, nearest

# So many rays are sent across, none along an axis; more than half of them must say "inside".
RAYS = 16
SKEW = 0.11
# Middles of balls are looked at this far apart [mm], or nearer.
APART = 20.0
ACROSS = tuple(
    (0.0, cos(SKEW + 2 * pi * k / RAYS), sin(SKEW + 2 * pi * k / RAYS)) for k in range(RAYS)
)
# Ways in which it is looked whether a point lies in a part.
THROUGH = ((0.577, 0.211, 0.789), (-0.314, 0.871, 0.378), (0.109, -0.632, 0.767))


def room_in_pod(limb: Limb, pods: Sequence[Body], closed: Sequence[Body] = ()) -> LimbGap:
    """Return the room [mm] of a limb to the inside of the pod; negative where it is not inside.

    `pods` are the pieces of the pod, and its canopy. Rays leave by the joint between those: where
    `closed` is given, which has none, they are sent through that.
    """
    search = search_of(*(body.mesh for body in pods))
    points, radii = _balls(limb)
    out = np.array([not _in_cabin(closed or pods, point) for point in points])
    if out.any():
        return farthest_out(limb, points[out], radii[out], search)
    return nearest(limb, search)


def room_from(limb: Limb, body: Body) -> LimbGap:
    """Return the room [mm] from a limb to a part; negative where it reaches into it."""
    search = search_of(body.mesh)
    points, radii = _balls(limb)
    within = np.array([_holds(body, point) for point in points])
    if within.any():
        return farthest_out(limb, points[within], radii[within], search)
    return nearest(limb, search)


def room_ahead_of(limb: Limb, body: Body, plane: Plane) -> LimbGap:
    """Return the room [mm] from a limb to a part that it should be ahead of.

    `plane` lies in the part, its normal away from where the limb should be. What is behind it is
    not free, however far from the part.
    """
    points, radii = _balls(limb)
    behind = (points - np.array(plane.origin)) @ np.array(plane.normal)
    if (behind <= 0.0).all():
        return room_from(limb, body)
    at = int((behind + radii).argmax())
    normal = np.array(plane.normal)
    foot = points[at] - behind[at] * normal
    skin = points[at] + radii[at] * normal
    return LimbGap(-float(behind[at] + radii[at]), limb.name, vec(skin + 0.0), vec(foot + 0.0))


def least(rooms: Iterable[tuple[LimbGap, str, float]]) -> tuple[LimbGap, str, float]:
    """Return the least of some gaps [mm], its part, how far that one's mesh is off [mm]."""
    return min(rooms, key=lambda row: row[0].gap)


def _balls(limb: Limb) -> tuple[Floats, Floats]:
    length = float(np.linalg.norm(np.subtract(limb.end, limb.start)))
    return middles(limb, np.linspace(0.0, 1.0, 2 + int(length / APART)))


def _in_cabin(pods: Sequence[Body], point: Floats) -> bool:
    """Say whether most rays across leave by one wall: two skins, or six where a wall comes back."""
    inside = 0
    for sent, way in enumerate(ACROSS):
        # No more are sent than it takes to know of most.
        if 2 * inside > RAYS or 2 * (inside + RAYS - sent) <= RAYS:
            break
        inside += _passes(pods, point, way) % 4 == 2
    return 2 * inside > RAYS


def _holds(body: Body, point: Floats) -> bool:
    """Say whether a point lies in a part: most rays pass its skin an odd number of times."""
    return sum(_passes((body,), point, way) % 2 for way in THROUGH) > 1


def _passes(bodies: Sequence[Body], point: Floats, way: Vec3) -> int:
    return sum(passes(body.hull, vec(point), way) for body in bodies)
