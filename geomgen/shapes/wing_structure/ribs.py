"""Ribs as solids: one flat sheet for each piece that the notches leave, both hands."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from OCP.TopoDS import TopoDS_Solid
from shapely import LinearRing, Polygon

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.sheets import sheet
from geomgen.kernel.plain import FlatPart, Plane
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import ALL, NOSE, TAIL, TUBE, RibRow, Spar
from geomgen.shapes.piece import NamedSolid
from geomgen.shapes.wing_structure.inner_room import FIT, InnerRoom, room_of
from geomgen.shapes.wing_structure.joint_plan import joint_plans
from geomgen.shapes.wing_structure.rib_outline import (
    RibShape,
    blank,
    lightened,
    notched,
    ring_points,
)
from geomgen.shapes.wing_structure.spar_lines import SparSection, section_at, spar_sections
from geomgen.shapes.wing_structure.spars import CAUTION

COLOUR = (0.84, 0.72, 0.50)
# Corners round a tube's section; they stand off it by less than a thousandth of its radius.
ROUND = 96


@dataclass(frozen=True)
class RibPiece:
    """A piece of a rib: its part's name on the right, where its middle stands, its flat shape."""

    name: str
    room: InnerRoom
    s: float
    thickness: float
    shape: RibShape

    @property
    def through(self) -> bool:
        """Say whether it stands in the centre plane: there is one of it, and no hand."""
        return self.room.symmetric and abs(self.s) < 1e-6


def ribs(p: Parameters) -> list[NamedSolid]:
    """Return the solids of all ribs; GeometryError, naming the row, where one has no room."""
    found: list[NamedSolid] = []
    for row in p.ribs:
        for piece in rib_pieces(p, row):
            notes = () if found or p.spars else (CAUTION,)
            solid = NamedSolid(piece.name, "rib", _solid(piece), COLOUR, notes=notes)
            left = replace(solid.on_the_left(), notes=())
            found += [solid] if piece.through else [solid, left]
    return found


def places_of(p: Parameters, row: RibRow, room: InnerRoom) -> list[float]:
    """Return where the middles of a row's ribs stand along the span [mm], from inside out."""
    beside = list(_beside_boom(p, row, room)) if row.beside_boom else []
    beside += _beside_joints(p, row, room) if row.beside_joint else []
    found = [room.base + at for at in row.at] + beside
    if row.pitch is not None and row.start is not None and row.end is not None:
        many = max(1, math.ceil((row.end - row.start) / row.pitch - 1e-9))
        evenly = [room.base + s for s in np.linspace(row.start, row.end, many + 1).tolist()]
        # One beside a boom or joint stands for one of the pitch that would run into it.
        found += [s for s in evenly if all(abs(s - b) > row.thickness + FIT for b in beside)]
    return sorted(dict.fromkeys(round(s, 6) for s in found))


def _beside_boom(p: Parameters, row: RibRow, room: InnerRoom) -> Iterator[float]:
    broad = max(station.width for station in p.booms.stations) / 2
    off = broad + row.boom_gap + row.thickness / 2
    for s in (p.booms.buttock_line - off, p.booms.buttock_line + off):
        if s + row.thickness / 2 + row.skin + FIT <= room.ends[1]:
            yield s


def _beside_joints(p: Parameters, row: RibRow, room: InnerRoom) -> list[float]:
    joints = [spar.wing_joint for spar in p.spars if spar.of == row.of and spar.wing_joint]
    return [room.base + joint.at + side * (joint.gap + row.thickness) / 2
            for joint in joints for side in (-1, 1)]  # fmt: skip


def rib_pieces(p: Parameters, row: RibRow) -> list[RibPiece]:
    """Return the pieces of a row's ribs on the right, numbered from inside out."""
    room = room_of(p, row.of)
    courses = [(spar, spar_sections(room, spar)) for spar in p.spars if spar.of == row.of]
    plans = [plan for plan in joint_plans(p) if plan.spar.of == row.of]
    found: list[RibPiece] = []
    for number, s in enumerate(places_of(p, row, room), start=1):
        name = f"rib_{row.name}_{number}"
        faces = _faces(room, row, s, name)
        shape = blank([room.inset(face, row.skin) for face in faces], row.least_depth)
        passing = [got for one in courses if (got := _corners(*one, faces)) is not None]
        passing += [got for plan in plans if (got := plan.taken_up(faces)) is not None]
        pieces = notched(shape, passing, row.notch_gap, row.thickness)
        for what, piece in _named(pieces, row):
            hand = "" if room.symmetric and abs(s) < 1e-6 else "_right"
            holes = () if row.hole_web is None else lightened(piece, row.hole_web, row.least_hole)
            whole = f"{name}{what}{hand}"
            found.append(RibPiece(whole, room, s, row.thickness, RibShape(piece, holes)))
    if not found:
        raise GeometryError(
            "nothing is left of its ribs under the skin: look at its places, skin and pieces",
            part=f"rib_{row.name}",
            step="rib",
            look_at=[f"ribs.{row.name}"],
        )
    return found


def _faces(room: InnerRoom, row: RibRow, s: float, name: str) -> tuple[float, float]:
    low, high = room.ends
    a, b = s - row.thickness / 2, s + row.thickness / 2
    inside = b <= high - row.skin + 1e-6 and (a >= low - 1e-6 or (room.symmetric and s < 1e-6))
    if not inside:
        raise GeometryError(
            f"it stands at {s - room.base:.1f} mm, and the {room.name} has room for it from "
            f"{low - room.base:.1f} to {high - row.skin - room.base:.1f} mm",
            part=name,
            step="rib",
            look_at=[f"ribs.{row.name}"],
        )
    return a, b


def _corners(spar: Spar, sections: list[SparSection], faces: tuple[float, float]) -> Floats | None:
    """Return the corners (2, n, 2) [mm] of a spar in both faces; None where it is in neither."""
    if faces[1] < sections[0].s or faces[0] > sections[-1].s:
        return None
    if abs(faces[0] + faces[1]) < 1e-6:
        faces = (0.0, faces[1])
    found = [section_at(sections, s) for s in faces]
    if spar.kind != TUBE:
        return np.stack([c.corners for c in found])
    a, b = sections[0], sections[-1]
    return np.stack([_round(a, b, s) for s in faces])


def _round(a: SparSection, b: SparSection, s: float) -> Floats:
    """Return the section of a tube in a plane square to the span, an ellipse [mm]."""
    radius = (a.aft - a.fore) / 2
    ends = np.array([[c.s, (c.fore + c.aft) / 2, (sum(c.low) + sum(c.high)) / 4] for c in (a, b)])
    share = (s - a.s) / (b.s - a.s)
    middle = (1 - share) * ends[0] + share * ends[1]
    slope = (ends[1] - ends[0])[1:] / (b.s - a.s)
    steep = float(np.linalg.norm(slope))
    main = slope / steep if steep > 1e-12 else np.array([1.0, 0.0])
    turn = np.linspace(0.0, 2 * np.pi, ROUND, endpoint=False)
    grow = radius / math.cos(math.pi / ROUND)
    long, short = grow * math.sqrt(1 + steep**2), grow
    other = np.array([-main[1], main[0]])
    return np.asarray(
        middle[1:] + long * np.cos(turn)[:, None] * main + short * np.sin(turn)[:, None] * other
    )


def _named(pieces: list[Polygon], row: RibRow) -> Iterator[tuple[str, Polygon]]:
    """Yield the pieces that a row asks for, with what their names have for it.

    Nothing where only noses or tails are asked for and no spar parts them.
    """
    last = len(pieces) - 1
    for i, piece in enumerate(pieces):
        what = "" if last == 0 else NOSE if i == 0 else TAIL if i == last else f"middle_{i}"
        if row.pieces in (ALL, what):
            yield (f"_{what}" if what else "", piece)


def _solid(piece: RibPiece) -> TopoDS_Solid:
    room, s = piece.room, piece.s - piece.thickness / 2
    span = np.array(room.sections[0].span)

    def ring(of: LinearRing) -> Floats:
        return np.array([room.point(s, x, u) for x, u in ring_points(of).tolist()])

    outline = piece.shape.outline
    holes = [(room.point(s, x, u), r) for x, u, r in piece.shape.holes]
    by = (piece.thickness * span).tolist()
    plane = plane_of(piece)
    return sheet(
        plane,
        ring(outline.exterior),
        [ring(hole) for hole in outline.interiors],
        holes,
        (by[0], by[1], by[2]),
    )


def plane_of(piece: RibPiece) -> Plane:
    """Return the plane [mm] of a rib's inner face, its normal along the span, outward."""
    x, u = piece.shape.outline.representative_point().coords[0]
    return Plane(piece.room.point(piece.s - piece.thickness / 2, x, u), piece.room.sections[0].span)


def flat_piece(piece: RibPiece) -> FlatPart:
    """Return plane and thickness [mm] of a rib's piece."""
    return FlatPart(piece.name, plane_of(piece), piece.thickness)
