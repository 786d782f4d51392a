"""How near a body comes to an axis between two stations along it, told by its mesh first.

Only the faces that can be nearest are clipped to the stations, not the whole solid; what comes out
is held to the exact outlines in the planes of both stations and to the mesh between them.
"""

from dataclasses import dataclass
from math import inf

import numpy as np
import shapely

from geomgen.arrays import Floats, Ints
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import across, slab
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.plain import Axis, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.exact_rings import ROUNDED, ExactCut
from geomgen.kernel.sections.mesh_rings import mesh_rings
from geomgen.kernel.sections.mesh_slices import passed
from geomgen.kernel.sections.outline_gap import Wall
from geomgen.kernel.sections.plane_cut import shared
from geomgen.kernel.solids.distance import Closest, along, closest, on_axis, segment

# Figures of different ways to the same place agree to this [mm].
AGREES = 1e-5


@dataclass(frozen=True)
class Span:
    """Two distances along an axis, and how far out is looked [mm]."""

    axis: Axis
    front: float
    back: float
    reach: float

    def frame(self, at: float) -> Frame:
        """Return the plane across the axis at a distance [mm] along it."""
        up = across(self.axis.direction)
        x, y, z = np.cross(up, np.array(self.axis.direction)).tolist()
        return Frame(on_axis(self.axis, at), (x, y, z), up)


@dataclass(frozen=True)
class Told:
    """What the mesh tells: the radius that is surely reached, faces that may, how deep the least.

    `reached` is inf and `least` is inf where the mesh stays out of the span.
    """

    reached: float
    least: float
    faces: Ints


def told(span: Span, body: Body) -> Told:
    """Return what a mesh tells of the least radius [mm] between two stations."""
    frame, room = span.frame(0.0), body.deviation + ROUNDED
    height, flat = frame.height(body.mesh.vertices), frame.flat(body.mesh.vertices)
    tall = height[body.mesh.triangles]
    within = (tall.min(axis=1) <= span.back + room) & (tall.max(axis=1) >= span.front - room)
    here = np.nonzero(within)[0]
    if not len(here):
        return Told(inf, inf, np.zeros(0, dtype=np.int64))
    triangles = body.mesh.triangles[here]
    least = radii(flat[triangles])
    reached = _reached(span, height[triangles], flat[triangles]) + room
    faces = np.unique(body.mesh.face[here][least - room <= reached])
    return Told(reached, float(least.min()) - room, faces)


@dataclass(frozen=True)
class RoughRadius:
    """The least radius [mm] by a mesh alone, how far it may be off [mm], where."""

    radius: float
    bound: float
    at: Vec3


def rough_radius(span: Span, body: Body) -> RoughRadius | None:
    """Return the least radius [mm] of a mesh between two stations; None where it stays out.

    The stations are taken wider and narrower by what the mesh may be off: what lies between both
    is the bound.
    """
    room = body.deviation + ROUNDED
    frame = span.frame(0.0)
    corners = body.mesh.corners
    height = frame.height(corners.reshape(-1, 3)).reshape(-1, 3)
    flat = np.asarray(frame.flat(corners.reshape(-1, 3))).reshape(-1, 3, 2)
    wide = _clipped(height, flat, span.front - room, span.back + room)
    if not len(wide):
        return None
    away = radii(wide)
    near = int(np.argmin(away))
    inner = _clipped(height, flat, span.front + room, span.back - room)
    most = float(np.min(radii(inner), initial=inf)) + room
    least = float(away[near]) - room
    if most == inf:
        raise ExactDueError("it ends at the stations")
    at = frame.lifted((float(wide[near, 0, 0]), float(wide[near, 0, 1])))
    return RoughRadius(0.5 * (least + most), 0.5 * (most - least), at)


def _clipped(height: Floats, flat: Floats, low: float, high: float) -> Floats:
    """Return what of triangles (n, 3, 2) lies between two heights, as triangles (m, 3, 2)."""
    inside = (height.min(axis=1) >= low) & (height.max(axis=1) <= high)
    across = (height.max(axis=1) >= low) & (height.min(axis=1) <= high) & ~inside
    found = [flat[inside]]
    for tall, corners in zip(height[across], flat[across], strict=True):
        ring = [(h, *at) for h, at in zip(tall.tolist(), corners.tolist(), strict=True)]
        for limit, side in ((low, 1.0), (high, -1.0)):
            ring = _kept(ring, limit, side)
        points = np.array([at[1:] for at in ring])
        if len(points) >= 3:
            fan = [points[[0, k, k + 1]] for k in range(1, len(points) - 1)]
            found.append(np.array(fan))
    return np.concatenate(found)


def _kept(
    ring: list[tuple[float, float, float]], limit: float, side: float
) -> list[tuple[float, float, float]]:
    """Return the part of a polygon, its heights first, above a limit; below it where side is -1."""
    found: list[tuple[float, float, float]] = []
    for a, b in zip(ring, [*ring[1:], *ring[:1]], strict=True):
        here, there = side * (a[0] - limit), side * (b[0] - limit)
        if here >= 0.0:
            found.append(a)
        if (here >= 0.0) != (there >= 0.0):
            share = here / (here - there)
            x, y, z = (p + share * (q - p) for p, q in zip(a, b, strict=True))
            found.append((x, y, z))
    return found


def nearest_to_axis(span: Span, body: Body, seen: Told) -> Closest | None:
    """Return the exact least distance from the axis; None when it does not prove right."""
    line = segment(on_axis(span.axis, span.front), on_axis(span.axis, span.back))
    every, room = faces_of(body.solid), slab(span.axis, span.front, span.back, span.reach)
    pieces = [
        piece for number in seen.faces.tolist() for piece in shared(every[number], room) or ()
    ]
    if not pieces:
        return None
    found = min((closest(line, piece) for piece in pieces), key=lambda near: near.distance)
    at = along(span.axis, found.second)
    if not span.front - AGREES <= at <= span.back + AGREES:
        return None
    if not seen.least - AGREES <= found.distance <= seen.reached + AGREES:
        return None
    rims = [_rim(span, body, at, seen) for at in (span.front, span.back)]
    if any(rim is None or found.distance > rim + AGREES for rim in rims):
        return None
    return found


def radii(flat: Floats) -> Floats:
    """Return the distance (n,) of the origin from triangles (n, 3, 2) in the plane [mm]."""
    lines = shapely.linearrings(np.concatenate([flat, flat[:, :1]], axis=1))
    a, b, c = flat.transpose(1, 0, 2)
    turns = [p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0] for p, q in ((a, b), (b, c), (c, a))]
    inside = np.all(np.array(turns) > 0.0, axis=0) | np.all(np.array(turns) < 0.0, axis=0)
    return np.where(inside, 0.0, shapely.distance(lines, shapely.Point(0.0, 0.0)))


def _reached(span: Span, height: Floats, flat: Floats) -> float:
    """Return the least radius [mm] of corners between the stations and of sides in their planes."""
    between = (height >= span.front) & (height <= span.back)
    found = [float(np.min(np.linalg.norm(flat[between], axis=-1), initial=inf))]
    for at in (span.front, span.back):
        points = passed(flat, height - at)
        found.append(float(np.min(np.linalg.norm(points, axis=1), initial=inf)))
    return min(found)


def _rim(span: Span, body: Body, at: float, seen: Told) -> float | None:
    """Return the exact least radius [mm] in the plane of a station; None when it can't be told."""
    frame = span.frame(at)
    rings = mesh_rings(body.mesh, frame)
    if rings is None:
        return None
    cut, found = ExactCut(body, frame), inf
    for ring in rings:
        if np.linalg.norm(ring.points, axis=1).min() > seen.reached + 10 * body.deviation:
            continue
        exact = cut.ring(ring)
        if exact is None:
            return None
        foot = Wall(exact).foot(np.zeros((1, 2)))
        found = min(found, float(np.linalg.norm(foot)))
    return found
