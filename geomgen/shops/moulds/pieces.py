"""Pieces that the machine takes: halves cut across, with two dowel holes in each joint face.

Cut across x to the machine's length, and where a length is too broad or too high for the router,
across y and z.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations
from math import ceil, inf, isfinite
from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Solid, TopoDS_Wire
from shapely import intersection_all, union_all
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.brep.wires import outer_wire
from geomgen.kernel.lofting.quadrants import sewn_pieces
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.second_library import cross_section, hull_of
from geomgen.kernel.solids.booleans import cut, divide
from geomgen.kernel.solids.properties import bounding_box, kernel_box, volume
from geomgen.kernel.trimming.scribed import MarkedMesh
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shops.figures import plain
from geomgen.shops.moulds.bodies import ON_LINES, key_of, skin_grown
from geomgen.shops.moulds.flange import hole_volume
from geomgen.shops.moulds.outline import points_along
from geomgen.shops.moulds.split import MouldHalf, Split, half_space
from geomgen.shops.stock import over, router_room

# A joint dowel goes so many diameters into each piece, its middle so many off the skin.
DEEP, CLEAR = 3.0, 2.0
# Where the two dowels stand along a joint face: not alike, so that a piece fits one way only.
AT = (0.2, 0.7)
# Holes are proved to this share of their volume; integrals to that of the whole.
PROOF, NOISE = 1e-3, 2e-8
LEVEL = 1e-4
FREE = (-inf, inf)
DowelAxis = tuple[Vec3, Vec3]
# Pieces across and up are fewer than this; each leaves so much of the router's room [mm].
MOST, SPARE = 40, 1e-3
# Room for them is told by meshes this near to the pieces, this far inside of the joint [mm].
ROUGH, NEAR = 0.5, 0.05


@dataclass(frozen=True)
class MouldPiece:
    """A piece of a half: its solid, the stations it lies between, the axes of its dowel holes.

    An axis goes from its mouth in the joint face to its bottom [mm]. `cuts` are the planes across
    x, y and z that it was cut at, infinite where there is none [mm]; `marked` is its mesh with
    grooves or raised lines.
    """

    solid: TopoDS_Solid
    start: float
    end: float
    dowels: tuple[DowelAxis, ...] = ()
    cuts: tuple[tuple[float, float], ...] = (FREE, FREE, FREE)
    marked: MarkedMesh | None = None

    @property
    def holes(self) -> int:
        """Return how many dowel holes are bored into it."""
        return len(self.dowels)


def depth_of(mould: Mould) -> float:
    """Return how deep [mm] a joint dowel goes into each piece."""
    return DEEP * mould.dowel_diameter


def stations(low: float, high: float, longest: float | None) -> list[float]:
    """Return where to cut a length [mm] into equal pieces, none longer than `longest`.

    >>> stations(0.0, 2700.0, 1250.0)
    [900.0, 1800.0]
    """
    count = 1 if longest is None else max(1, ceil((high - low) / longest - 1e-9))
    return [low + (high - low) * i / count for i in range(1, count)]


def pieces(p: Parameters, mould: Mould, gap: float, half: MouldHalf) -> list[MouldPiece]:
    """Return a half, fore to aft, in pieces that the machine takes, the joint dowels bored.

    The mould's surface lies `gap` [mm] outside of the body. What is too broad or too high for the
    router is cut in its breadth and height, too: of a length from the centre plane outward, then
    up. Raises GeometryError when a joint face has no room for its dowels.
    """
    box = kernel_box(half.solid)
    cuts = stations(box.low[0], box.high[0], mould.machine_length)
    solids = [half.solid]
    if cuts and mould.part in ON_LINES:
        solids = sewn_pieces(skin_grown(p, mould, gap, cuts), half.name, cuts, mould.part)
    elif cuts:
        solids = _sawn(p, mould, half, cuts, box)
    ends, planes = [box.low[0], *cuts, box.high[0]], [-inf, *cuts, inf]
    whole = [
        MouldPiece(solid, *span, (), (along, FREE, FREE))
        for solid, span, along in zip(solids, pairwise(ends), pairwise(planes), strict=True)
    ]
    small = [small for piece in whole for small in _in_breadth(p, mould, piece)]
    if len(small) > len(whole):
        axes = _between_all(p, mould, small)
    else:
        axes = _between_lengths(p, mould, solids, cuts)
    return [_pinned(piece, held, mould) for piece, held in zip(small, axes, strict=True)]


def _pinned(piece: MouldPiece, axes: list[DowelAxis], mould: Mould) -> MouldPiece:
    holes = [_bore(mould, *axis) for axis in axes]
    return replace(piece, solid=bored(piece.solid, holes, mould), dowels=tuple(axes))


def _in_breadth(p: Parameters, mould: Mould, piece: MouldPiece) -> list[MouldPiece]:
    """Return a piece in as few as the router takes: equal breadths, each in equal heights."""
    room = router_room(p)
    if room is None or over(kernel_box(piece.solid).size, room) <= 0.0:
        return [piece]
    whole = bounding_box(piece.solid)
    size = whole.size
    tries = [(a, b) for a in range(1, MOST) for b in range(1, MOST) if _fits(size, (a, b), room)]
    if not tries:
        raise GeometryError(
            f"the router has no room for it, in {MOST} pieces across and up either",
            part=mould.part,
            step="pieces",
            look_at=["handoff.stock.router", key_of(p, mould, "machine_length")],
        )
    across, up = min(tries, key=lambda n: (n[0] * n[1], max(n)))
    slabs = _parted(mould, piece, 1, across)
    if whole.centre[1] < 0.0:
        slabs.reverse()
    found = []
    for slab in slabs:
        own = bounding_box(slab.solid).size
        least = next(n for n in range(1, up + 1) if n == up or _fits(own, (1, n), room))
        found += _parted(mould, slab, 2, least)
    return found


def _fits(size: Vec3, counts: tuple[int, int], room: Sequence[float]) -> bool:
    parts = (
        side / count + SPARE * (count > 1) for side, count in zip(size[1:], counts, strict=True)
    )
    return over((size[0], *parts), room) <= 0.0


def _parted(mould: Mould, piece: MouldPiece, axis: int, count: int) -> list[MouldPiece]:
    """Return a piece in equal parts across y (1) or z (2)."""
    box, normal = bounding_box(piece.solid), np.eye(3)[axis]
    low, high = box.low[axis], box.high[axis]
    cuts = [low + (high - low) * i / count for i in range(1, count)]
    rest, found = piece.solid, []
    for at in cuts:
        origin = np.where(normal > 0, at, np.array(box.centre))
        behind = half_space(Split(vec(origin), vec(normal)), 4 * max(box.size))
        above, below = divide(rest, [behind], mould.part, "pieces")
        if len(above) != 1 or len(below) != 1:
            raise GeometryError(
                f"cut at {('BL', 'WL')[axis - 1]} {at:.0f} mm for the router it falls into more "
                "than two pieces: a router with more room, or shorter pieces, may do",
                part=mould.part,
                step="pieces",
                look_at=["handoff.stock.router", "handoff.moulds"],
            )
        found.append(below[0])
        rest = above[0]
    made = []
    for solid, span in zip([*found, rest], pairwise([-inf, *cuts, inf]), strict=True):
        planes = [*piece.cuts]
        planes[axis] = span
        made.append(replace(piece, solid=solid, cuts=tuple(planes)))
    return made


def _sawn(
    p: Parameters, mould: Mould, half: MouldHalf, cuts: list[float], box: Box
) -> list[TopoDS_Solid]:
    rest, found = half.solid, []
    for x in cuts:
        middle = box.centre
        ahead = half_space(Split((x, middle[1], middle[2]), (1.0, 0.0, 0.0)), 4 * max(box.size))
        aft, fore = divide(rest, [ahead], mould.part, "pieces")
        if len(aft) != 1 or len(fore) != 1:
            raise GeometryError(
                f"cut at station {x:.0f} mm it falls into more than two pieces",
                part=mould.part,
                step="pieces",
                look_at=[key_of(p, mould, "machine_length")],
            )
        found.append(fore[0])
        rest = aft[0]
    return [*found, rest]


def _between_lengths(
    p: Parameters, mould: Mould, solids: list[TopoDS_Solid], cuts: list[float]
) -> list[list[DowelAxis]]:
    """Return the dowels of each of the lengths of a half, two in each joint."""
    axes: list[list[DowelAxis]] = [[] for _ in solids]
    for i, x in enumerate(cuts):
        points = _drills(p, mould, solids[i], x)
        axes[i] += _axes(mould, points, 0, x, -1.0)
        axes[i + 1] += _axes(mould, points, 0, x, 1.0)
    return axes


def _between_all(p: Parameters, mould: Mould, made: Sequence[MouldPiece]) -> list[list[DowelAxis]]:
    """Return the dowels of pieces cut in breadth, too: two in each joint that has room for them.

    GeometryError where that leaves a piece unpinned.
    """
    axes: list[list[DowelAxis]] = [[] for _ in made]
    hulls = [hull_of(mesh(piece.solid, ROUGH, part=mould.part)) for piece in made]
    held = list(range(len(made)))
    for axis in range(3):
        for a, b in permutations(range(len(made)), 2):
            at = made[a].cuts[axis][1]
            if not isfinite(at) or at != made[b].cuts[axis][0]:
                continue
            both = [(hulls[a], -1.0), (hulls[b], 1.0)]
            points = _shared(mould, both, axis, at, [*axes[a], *axes[b]])
            if points is None:
                continue
            axes[a] += _axes(mould, points, axis, at, -1.0)
            axes[b] += _axes(mould, points, axis, at, 1.0)
            held = [held[a] if group == held[b] else group for group in held]
    loose = next((piece for piece, group in zip(made, held, strict=True) if group != held[0]), None)
    if loose is not None:
        box = bounding_box(loose.solid)
        raise GeometryError(
            f"the piece from STA {box.low[0]:.0f} to {box.high[0]:.0f}, BL {box.low[1]:.0f} to "
            f"{box.high[1]:.0f}, WL {box.low[2]:.0f} to {box.high[2]:.0f} has no joint with room "
            f"for two dowels of {plain(mould.dowel_diameter)} mm",
            part=mould.part,
            step="joint dowels",
            look_at=[key_of(p, mould, "dowel_diameter"), "handoff.stock.router"],
        )
    return axes


def _shared(
    mould: Mould,
    both: Sequence[tuple[Any, float]],
    axis: int,
    at: float,
    bored_already: Sequence[DowelAxis],
) -> Floats | None:
    """Return the middles (2, 2) [mm] of the dowels between two pieces; None where there is no room.

    `both` are the meshes of the pieces and which way they lie from the joint. Both have to be there
    as deep as the dowels go, and clear of the dowels that they have already.
    """
    areas = [
        _section(hull, axis, at + way * by)
        for hull, way in both
        for by in (NEAR, depth_of(mould) + 1.0)
    ]
    room = intersection_all(areas).buffer(-CLEAR * mould.dowel_diameter - ROUGH)
    room = room.difference(union_all([_kept(mould, one, axis, at) for one in bored_already]))
    if room.is_empty:
        return None
    room = max(getattr(room, "geoms", [room]), key=lambda g: g.area)
    points = _two_in(room)
    apart = float(np.linalg.norm(points[1] - points[0]))
    return points if apart >= CLEAR * mould.dowel_diameter else None


def _kept(mould: Mould, dowel: DowelAxis, axis: int, at: float) -> BaseGeometry:
    """Return what of a joint's plane a dowel bored already keeps free of others; none far off."""
    ends, room = np.array(dowel), CLEAR * mould.dowel_diameter
    if np.abs(ends[:, axis] - at).min() > depth_of(mould) + room:
        return Polygon()
    return LineString(np.delete(ends, axis, axis=1)).buffer(room)


def _section(hull: Any, axis: int, at: float) -> BaseGeometry:
    """Return the area of a mesh in the plane across an axis [mm], by its two other coordinates."""
    origin, (across, up) = np.eye(3)[axis] * at, np.delete(np.eye(3), axis, axis=0)
    rings = cross_section(hull, Frame(vec(origin), vec(across), vec(up))).to_polygons()
    return union_all([Polygon(ring).buffer(0) for ring in rings])


def _drills(p: Parameters, mould: Mould, solid: TopoDS_Solid, x: float) -> Floats:
    """Return the middles (2, 2) y, z [mm] of the dowels in the joint face at a station."""
    face = Polygon(points_along(_joint(solid, x))[:, 1:])
    room = face.buffer(0).buffer(-CLEAR * mould.dowel_diameter)
    if room.is_empty:
        raise GeometryError(
            f"the joint at station {x:.0f} mm has no room for two dowels of "
            f"{plain(mould.dowel_diameter)} mm",
            part=mould.part,
            step="joint dowels",
            look_at=[key_of(p, mould, "dowel_diameter"), key_of(p, mould, "machine_length")],
        )
    room = max(getattr(room, "geoms", [room]), key=lambda g: g.area)
    return _two_in(room)


def _two_in(room: BaseGeometry) -> Floats:
    """Return two points (2, 2) well apart in a region, on the middle of its breadth there."""
    low_y, low_z, high_y, high_z = room.bounds
    upright = high_z - low_z > high_y - low_y
    found = []
    for share in AT:
        if upright:
            z = low_z + share * (high_z - low_z)
            across = LineString([(low_y - 1, z), (high_y + 1, z)])
        else:
            y = low_y + share * (high_y - low_y)
            across = LineString([(y, low_z - 1), (y, high_z + 1)])
        inside = room.intersection(across)
        widest = max(getattr(inside, "geoms", [inside]), key=lambda g: g.length)
        found.append(widest.interpolate(0.5, normalized=True).coords[0])
    return np.array(found)


def _joint(solid: TopoDS_Solid, x: float) -> TopoDS_Wire:
    for face in faces_of(solid):
        plane = plane_of(face)
        if plane is not None:
            level = abs(abs(plane.normal[0]) - 1.0) < LEVEL
            if level and abs(plane.origin[0] - x) < LEVEL:
                return outer_wire(face)
    raise GeometryError(f"it has no joint face at station {x:.1f} mm", step="joint dowels")


def _axes(mould: Mould, drills: Floats, axis: int, at: float, way: float) -> list[DowelAxis]:
    mouths = np.insert(drills, axis, at, axis=1)
    bottoms = np.insert(drills, axis, at + way * depth_of(mould), axis=1)
    return [(vec(a), vec(b)) for a, b in zip(mouths, bottoms, strict=True)]


def _bore(mould: Mould, mouth: Vec3, bottom: Vec3) -> TopoDS_Solid:
    """Return the knife of a dowel hole, which begins a millimetre out of its mouth."""
    way = np.sign(np.array(bottom) - mouth)
    begin = vec(np.array(mouth) - way)
    return cylinder(begin, vec(way), mould.dowel_diameter / 2, depth_of(mould) + 1)


def bored(solid: TopoDS_Solid, holes: list[TopoDS_Solid], mould: Mould) -> TopoDS_Solid:
    """Return a piece with its joint dowels bored, proved: each hole takes its whole volume."""
    if not holes:
        return solid
    made = cut(solid, holes, mould.part, "joint dowels")
    whole = volume(solid).value
    taken = whole - volume(made).value
    wanted = len(holes) * hole_volume(mould.dowel_diameter, depth_of(mould))
    if abs(taken - wanted) > PROOF * wanted + NOISE * whole:
        raise GeometryError(
            f"its dowel holes take {taken:.1f} mm^3 and not {wanted:.1f} mm^3: they break out",
            part=mould.part,
            step="joint dowels",
            look_at=["handoff.moulds"],
        )
    return made
