"""How far spars and ribs stand inside the skins of what holds them, and how deep that is there."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.skin_gap import on_edges, skin_gaps
from geomgen.kernel.plain import Plane, Vec3, vec
from geomgen.kernel.second_library import passes
from geomgen.kernel.sections.section import passed

# Edges of the parts' meshes are looked at so often [mm].
EVERY = 40.0
# Ways in which it is looked whether a point lies in a body; none along an axis.
RAYS: tuple[Vec3, ...] = ((0.109, -0.632, 0.767), (0.577, 0.211, 0.789), (-0.314, 0.871, 0.378))
FAR = 1e5
# Faces this near to the edge of a slit are its own [mm].
NEAR_SLIT = 0.01
# The depth is looked at in so many places along a spar, not nearer to its ends than this share.
PLACES, SHORT = 15, 0.01
# Skins are taken to slope no more than to this sine to the way of the depth: own choice.
STEEPEST = 0.05


@dataclass(frozen=True)
class SkinRoom:
    """The least distance [mm] of a part to the skin that holds it, and where; minus outside."""

    gap: float
    bound: float
    part: str
    at: Vec3


@dataclass(frozen=True)
class SparDepth:
    """At a place along the span [mm]: depth between the skins and of the spar there [mm].

    `off` is how far the depth between the skins may be off [mm].
    """

    along: float
    skins: float
    spar: float
    at: Vec3
    off: float


@dataclass(frozen=True)
class SkinSlit:
    """Where a host is parted so that half of it comes off: the plane in its middle, its gap [mm].

    What runs through it counts as inside: there is no skin across it.
    """

    plane: Plane
    gap: float

    def off(self, points: Floats) -> Floats:
        """Return how far points (..., 3) stand off its middle along the normal [mm]."""
        return np.asarray((points - np.array(self.plane.origin)) @ np.array(self.plane.normal))


def room_under_skin(
    parts: Mapping[str, Body], every: Mapping[str, Body], slits: Sequence[SkinSlit] = ()
) -> SkinRoom:
    """Return the least room [mm] of parts inside the host's bodies, of which one may hold each.

    A part with a hand is held by none of the other hand. In `slits` the host goes on.
    """
    found = []
    for name, part in parts.items():
        hosts = [body for host, body in every.items() if not _other_hand(name, host)]
        points = on_edges(part.solid, part.mesh, EVERY)
        each = [
            skin_gaps(h.solid, _without_ends(h.mesh, slits), h.deviation, points) for h in hosts
        ]
        gaps, bounds, sides = (np.stack(rows) for rows in zip(*each, strict=True))
        nearest = gaps.argmin(axis=0), np.arange(len(points))
        gap, bound, side = gaps[nearest], bounds[nearest], sides[nearest]
        rest = _left_over(part, hosts, slits)
        if rest:
            inside = np.array([any(holds(h, q) for h in hosts for q in _beside(p, slits))
                               for p in points])  # fmt: skip
            # So near a skin its mesh does not tell the sides apart, its surface does.
            close = (gap <= 2 * max(h.deviation for h in hosts)) & (side != 0.0)
            inside = np.where(close, side < 0.0, inside)
            gap = np.where(inside, gap, -gap)
        at = int(gap.argmin())
        found.append(SkinRoom(float(gap[at]), float(bound[at]), name, vec(points[at])))
        found += _thick(name, rest, 2 * (part.deviation + max(h.deviation for h in hosts)))
    return min(found, key=lambda room: room.gap)


def _other_hand(part: str, host: str) -> bool:
    return {part.rpartition("_")[2], host.rpartition("_")[2]} == {"left", "right"}


def _without_ends(mesh: Mesh, slits: Sequence[SkinSlit]) -> Mesh:
    """Return a host's mesh without the faces that it ends with in slits."""
    kept = np.ones(len(mesh.triangles), dtype=bool)
    for slit in slits:
        kept &= np.abs(slit.off(mesh.corners)).max(axis=1) > slit.gap / 2 + NEAR_SLIT
    if kept.all():
        return mesh
    return replace(mesh, triangles=mesh.triangles[kept], face=mesh.face[kept], uv=mesh.uv[kept])


def _beside(point: Floats, slits: Sequence[SkinSlit]) -> list[Floats]:
    """Return a point (3,) [mm] and, where it stands in a slit, its places beside that."""
    found = [point]
    for slit in slits:
        off, half = float(slit.off(point)), slit.gap / 2 + 2 * NEAR_SLIT
        if abs(off) <= half:
            normal = np.array(slit.plane.normal)
            found += [point + (half - off) * normal, point - (half + off) * normal]
    return found


def _left_over(part: Body, hosts: Sequence[Body], slits: Sequence[SkinSlit]) -> list[Any]:
    """Return the pieces of a part's mesh that are left when the hosts' meshes are taken off it.

    What stands in slits is left out: it goes on beside them.
    """
    rest = part.hull
    for host in hosts:
        rest = rest - host.hull
    pieces = [rest]
    for slit in slits:
        normal, half = np.array(slit.plane.normal), slit.gap / 2 + NEAR_SLIT
        at = float(np.array(slit.plane.origin) @ normal)
        pieces = [
            half_
            for one in pieces
            for half_ in (one.trim_by_plane(normal.tolist(), at + half),
                          one.trim_by_plane((-normal).tolist(), half - at))
        ]  # fmt: skip
    return [piece for one in pieces for piece in one.decompose() if not piece.is_empty()]


def _thick(name: str, pieces: Sequence[Any], least: float) -> Iterator[SkinRoom]:
    """Yield pieces outside of the hosts, thicker than meshes are fine, as minus their depth [mm].

    A hole through the host may pass between the places that are looked at. How thick a piece is on
    average stands for its depth.
    """
    for piece in pieces:
        deep = 2 * piece.volume() / piece.surface_area()
        if deep > least:
            low, high = np.array(piece.bounding_box()).reshape(2, 3)
            yield SkinRoom(-deep, least, name, vec((low + high) / 2))


def holds(body: Body, point: Floats) -> bool:
    """Say whether a point (3,) [mm] lies in a body: two rays of three pass its skin oddly often."""
    first = _odd(body, point, RAYS[0])
    second = _odd(body, point, RAYS[1])
    return first if first == second else _odd(body, point, RAYS[2])


def _odd(body: Body, point: Floats, way: Vec3) -> bool:
    return passes(body.hull, vec(point), way) % 2 == 1


def depths(
    parts: Sequence[Body], hosts: Sequence[Body], along: int, across: int
) -> list[SparDepth]:
    """Return the depth [mm] of the host and of a spar in places along axis `along`.

    `across` is the axis of the depth. Only places where the host has two skins round the spar.
    """
    corners = np.concatenate([part.mesh.corners for part in parts])
    low, high = corners[..., along].min(), corners[..., along].max()
    less = SHORT * (high - low)
    places = np.linspace(low + less, high - less, PLACES)
    return list(_each(corners, parts, hosts, places, along, across))


def _each(
    corners: Floats,
    parts: Sequence[Body],
    hosts: Sequence[Body],
    places: Floats,
    along: int,
    across: int,
) -> Iterator[SparDepth]:
    for s in places.tolist():
        points = passed(corners, corners[..., along] - s)
        if not len(points):
            continue
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        blur = max(part.deviation for part in parts)
        skins = [gap for host in hosts if (gap := _between_skins(host, middle, across, blur))]
        if skins:
            deep, off = max(skins)
            yield SparDepth(s, deep, _own_depth(parts, middle, across), vec(middle), off)


def _own_depth(parts: Sequence[Body], middle: Floats, across: int) -> float:
    """Return how far a spar's pieces reach along an axis through a point (3,) [mm]."""
    start, end = middle.copy(), middle.copy()
    start[across], end[across] = -FAR, FAR
    hits = [hit for part in parts for hit in part.hull.ray_cast(start.tolist(), end.tolist())]
    return float(np.ptp([hit.position[across] for hit in hits])) if hits else 0.0


def _between_skins(
    host: Body, middle: Floats, across: int, blur: float
) -> tuple[float, float] | None:
    """Return the distance [mm] of the host's skins on both sides of a point, its bound [mm].

    The point may be off by `blur` [mm] in each coordinate; None outside.
    """
    if not holds(host, middle):
        return None
    reached, off = 0.0, 0.0
    for way in (-FAR, FAR):
        end = middle.copy()
        end[across] += way
        met = host.hull.ray_cast(middle.tolist(), end.tolist())
        if not met:
            return None
        hit = min(met, key=lambda hit: abs(hit.position[across] - middle[across]))
        reached += abs(hit.position[across] - middle[across])
        normal = np.abs(hit.normal)
        # A skin that slopes is farther off along the ray than square to it, and as the ray moves.
        aside = float(normal.sum() - normal[across]) * blur
        off += (host.deviation + aside) / max(float(normal[across]), STEEPEST)
    return reached, off
