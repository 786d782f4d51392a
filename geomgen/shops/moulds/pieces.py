"""Pieces that the machine takes: halves cut across, with two dowel holes in each joint face."""

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

import numpy as np
from OCP.TopoDS import TopoDS_Solid, TopoDS_Wire
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.brep.wires import outer_wire
from geomgen.kernel.lofting.quadrants import sewn_pieces
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.booleans import cut, divide
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.kernel.trimming.scribed import MarkedMesh
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shops.figures import plain
from geomgen.shops.moulds.bodies import ON_LINES, key_of, skin_grown
from geomgen.shops.moulds.flange import hole_volume
from geomgen.shops.moulds.outline import points_along
from geomgen.shops.moulds.split import MouldHalf, Split, half_space

# A joint dowel goes so many diameters into each piece, its middle so many off the skin.
DEEP, CLEAR = 3.0, 2.0
# Where the two dowels stand along a joint face: not alike, so that a piece fits one way only.
AT = (0.2, 0.7)
# Holes are proved to this share of their volume; integrals to that of the whole.
PROOF, NOISE = 1e-3, 2e-8
LEVEL = 1e-4
FREE = (-inf, inf)


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
    dowels: tuple[tuple[Vec3, Vec3], ...] = ()
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

    The mould's surface lies `gap` [mm] outside of the body. Raises GeometryError when a joint face
    has no room for its dowels.
    """
    box = kernel_box(half.solid)
    cuts = stations(box.low[0], box.high[0], mould.machine_length)
    if not cuts:
        return [MouldPiece(half.solid, box.low[0], box.high[0])]
    if mould.part in ON_LINES:
        solids = sewn_pieces(skin_grown(p, mould, gap, cuts), half.name, cuts, mould.part)
    else:
        solids = _sawn(p, mould, half, cuts, box)
    ends = [box.low[0], *cuts, box.high[0]]
    drills = [_drills(p, mould, solid, x) for solid, x in zip(solids, cuts, strict=False)]
    made = []
    for i, (solid, (start, end)) in enumerate(zip(solids, pairwise(ends), strict=True)):
        axes = [*(_axes(mould, drills[i - 1], start, 1.0) if i else [])]
        axes += _axes(mould, drills[i], end, -1.0) if i < len(cuts) else []
        holes = [_bore(mould, *axis) for axis in axes]
        low, high = start if i else -inf, end if i < len(cuts) else inf
        along = ((low, high), FREE, FREE)
        made.append(MouldPiece(bored(solid, holes, mould), start, end, tuple(axes), along))
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


def _axes(mould: Mould, drills: Floats, x: float, way: float) -> list[tuple[Vec3, Vec3]]:
    to = x + way * depth_of(mould)
    return [((x, y, z), (to, y, z)) for y, z in drills.tolist()]


def _bore(mould: Mould, mouth: Vec3, bottom: Vec3) -> TopoDS_Solid:
    """Return the knife of a dowel hole, which begins a millimetre out of its mouth."""
    (x, y, z), way = mouth, float(np.sign(bottom[0] - mouth[0]))
    begin = (x - way, y, z)
    return cylinder(begin, (way, 0.0, 0.0), mould.dowel_diameter / 2, depth_of(mould) + 1)


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
