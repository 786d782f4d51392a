"""True distances round the propeller: swept volume and shaken spinner to fixed parts."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, dist, pi
from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.primitives import across, disc
from geomgen.kernel.interference.meeting import Body, hull_gap, meeting, near_faces, triangles
from geomgen.kernel.interference.near_triangles import Triangles, nearest_points
from geomgen.kernel.plain import Axis, Shake, Vec3, vec
from geomgen.kernel.second_library import second_library
from geomgen.kernel.solids.booleans import cut_pieces
from geomgen.kernel.solids.distance import EXACT, Closest, closest
from geomgen.measurements.least_gap import bound_of_least
from geomgen.measurements.place import place
from geomgen.measurements.propeller.along_shaft import FAR
from geomgen.measurements.propeller.swept import Swept
from geomgen.measurements.record import Measurement

# The circle of the shake is drawn round by a polygon of so many corners.
CORNERS = 32


@dataclass(frozen=True)
class PartDistance:
    """The distance to one part [mm], its bound, and the two closest points where they are right."""

    gap: float
    bound: float
    points: tuple[Vec3, ...] = ()


def near_blades(swept: Swept, volume: Body, body: Body, turns: bool) -> PartDistance | None:
    """Return how near a fixed part comes to the swept volume [mm]; negative by the depth.

    Of a part that `turns` with the shaft (the engine's envelope holds its shaft) what lies within
    the hub's hole does not count; None where nothing else is left of it.
    """
    met = meeting(volume, body)
    if met is not None:
        return PartDistance(-met.depth, met.error, (met.at, met.at))
    slack = volume.deviation + body.deviation
    if turns:
        return _off_the_hub(swept, volume, body)
    rough = hull_gap(volume.hull, body.hull)
    if body.rough:
        both = nearest_points(triangles(volume), triangles(body), rough)
        return PartDistance(rough, slack, () if both is None else (vec(both[0]), vec(both[1])))
    found = closest(*near_faces(volume, body, rough + slack))
    return _proven(found, rough, slack)


def _proven(found: Closest, rough: float, slack: float) -> PartDistance:
    """Return the solids' distance; the meshes' without points where the kernel's can't be right."""
    if abs(found.distance - rough) <= slack + 1e-3:
        return PartDistance(found.distance, 10 * EXACT, (found.first, found.second))
    return PartDistance(rough, slack)


def _off_the_hub(swept: Swept, volume: Body, body: Body) -> PartDistance | None:
    manifold3d = second_library()
    hub = disc(swept.axis, swept.front - FAR, swept.back + FAR, swept.hole)
    pieces: list[TopoDS_Shape] = list(cut_pieces(body.solid, [hub], "engine", "less its shaft"))
    if not pieces:
        return None
    x, y, z = swept.axis.direction
    side = across(swept.axis.direction)
    other = tuple(np.cross((x, y, z), side).tolist())
    ends = [_ring(swept.axis, side, other, at, swept.hole) for at in (-FAR, FAR)]
    rough = hull_gap(volume.hull, body.hull - manifold3d.Manifold.hull_points(np.concatenate(ends)))
    found = min((closest(volume.solid, piece) for piece in pieces), key=lambda near: near.distance)
    # The polygon stands out of the hub by so much where it is cut off.
    slack = volume.deviation + body.deviation + swept.hole * (1 / cos(pi / CORNERS) - 1)
    return _proven(found, rough, slack)


def _ring(axis: Axis, side: Vec3, other: Any, at: float, radius: float) -> Any:
    """Return corners (n, 3) of a polygon round a circle about the axis [mm]."""
    turn = 2 * pi * np.arange(CORNERS) / CORNERS
    out = radius / cos(pi / CORNERS)
    flat = np.outer(np.cos(turn), side) + np.outer(np.sin(turn), other)
    return np.array(axis.origin) + at * np.array(axis.direction) + out * flat


def shaken(spinner: Body, axis: Axis, shake: Shake) -> Any:
    """Return the hull of all places that a spinner shakes to, as the mesh library's solid.

    Each point moves by up to `axial` [mm] along the axis and by up to `radial` [mm] across it.
    """
    manifold3d = second_library()
    side = across(axis.direction)
    other = np.cross(axis.direction, side).tolist()
    still = manifold3d.Manifold.hull(spinner.hull).to_mesh64().vert_properties[:, :3]
    centre = Axis((0.0, 0.0, 0.0), axis.direction)
    ways = [_ring(centre, side, other, at, shake.radial) for at in (-shake.axial, shake.axial)]
    every = still[:, None] + np.concatenate(ways)[None]
    return manifold3d.Manifold.hull_points(every.reshape(-1, 3))


def near_spinner(spinner: Body, body: Body, axis: Axis, shake: Shake) -> PartDistance:
    """Return what is left between a fixed part and the spinner wherever it shakes to [mm].

    0 where they strike. The points are on the spinner as it is shaken nearest, and on the part.
    """
    slack = spinner.deviation + body.deviation
    more = shake.radial * (1 / cos(pi / CORNERS) - 1)
    swung = shaken(spinner, axis, shake)
    left = hull_gap(swung, body.hull)
    found = nearest_points(_triangles_of(swung), triangles(body), left) if left > 0.0 else None
    if found is None:
        rest = closest(*near_faces(spinner, body, hull_gap(spinner.hull, body.hull) + slack))
        return PartDistance(0.0, slack + more, (rest.second, rest.second))
    first, second = (vec(point) for point in found)
    return PartDistance(dist(first, second), slack + more, (first, second))


def _triangles_of(hull: Any) -> Triangles:
    made = hull.to_mesh64()
    corners = made.vert_properties[:, :3][made.tri_verts]
    return Triangles(corners, np.zeros(len(corners), dtype=np.int64))


def blades_record(swept: Swept, of_parts: Mapping[str, PartDistance | None]) -> Measurement:
    """Return the least true distance of the swept volume to fixed parts as a record."""
    what = "swept volume to fixed parts, straight across"
    method = (
        "shared space first, then the exact distance of the solids, checked by their meshes; "
        "of the engine only what lies outside the hub"
    )
    return _record("prop.clearance", swept.name, what, method, of_parts)


def spinner_record(
    name: str, shake: Shake, of_parts: Mapping[str, PartDistance | None]
) -> Measurement:
    """Return the least room that is left round the shaken spinner as a record."""
    what = "room round the spinner that is left when the engine shakes"
    method = (
        f"hull of the spinner's mesh moved by {shake.axial:g} mm along the shaft and "
        f"{shake.radial:g} mm across it, to the meshes of fixed parts; the engine shakes with it "
        "and does not count; the points are those at rest"
    )
    return _record("prop.spinner_clearance", name, what, method, of_parts)


def _record(
    id_: str, own: str, what: str, method: str, of_parts: Mapping[str, PartDistance | None]
) -> Measurement:
    found = [(near.gap, name, near) for name, near in of_parts.items() if near is not None]
    if not found:
        return Measurement(id_, own, what, None, "mm", method, note="there is no fixed part")
    gap, name, near = min(found, key=lambda row: row[:2])
    return Measurement(
        id_,
        name,
        what,
        gap,
        "mm",
        method,
        bound_of_least([(gap, each.bound) for gap, _, each in found]),
        f"{name} at {place(near.points[1])}" if near.points else name,
        near.points,
        "" if gap > 0 else f"{name} is struck",
    )
