"""Fittings: flat plates with their bolt holes, on frames, firewall, spars and ribs.

A foot stands off the face that it is bolted to by its gap; the plate grows away from that face.
"""

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import looking_at
from geomgen.kernel.brep.plates import flat_face, pierced_face, plate
from geomgen.kernel.brep.wires import outer_wire
from geomgen.kernel.plain import BoltedPlate, Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.attachments import FORE, POD, BoltedFitting
from geomgen.parameters.records.structure.framing import frame_parts
from geomgen.shapes.firewall import firewall_frame
from geomgen.shapes.framing.published import front_of
from geomgen.shapes.piece import NamedSolid

COLOUR = (0.45, 0.47, 0.52)
CAUTION = (
    "fittings are geometry, not strength: bolts, plates and what carries them have to be designed "
    "and checked by someone qualified"
)
X, Y, Z = np.eye(3)
# Across and up along a plate for each side that it may lie on; across times up points off the face.
WAYS = {
    "aft": (Y, Z),
    "fore": (-Y, Z),
    "outboard": (-X, Z),
    "inboard": (X, Z),
    "above": (Y, -X),
    "below": (Y, X),
}
OTHER = {"outboard": "inboard", "inboard": "outboard"}


def fittings(p: Parameters) -> list[NamedSolid]:
    """Return all fittings, of mirrored ones both hands."""
    made: list[NamedSolid] = []
    for i, row in enumerate(p.fittings):
        with looking_at(f"fittings.{i}"):
            solid = _solid(row, face_of(p, row))
        name = f"fitting_{row.name}" + ("_right" if row.mirrored else "")
        notes = () if made else (CAUTION,)
        piece = NamedSolid(name, "fitting", solid, COLOUR, notes=notes)
        made += [piece, piece.on_the_left()] if row.mirrored else [piece]
    return made


def fitting_names(row: BoltedFitting) -> list[str]:
    """Return the names of the parts that a fitting's table makes."""
    name = f"fitting_{row.name}"
    return [f"{name}_right", f"{name}_left"] if row.mirrored else [name]


def face_of(p: Parameters, row: BoltedFitting) -> Frame:
    """Return the face [mm] that a fitting is bolted to, its middle there, its normal off the face.

    Of a mirrored one it is that of the right hand.
    """
    if row.on is not None:
        return _on_sheet(p, row, row.on)
    assert row.station is not None
    side = OTHER.get(row.side, row.side) if row.buttock_line < 0.0 else row.side
    sweep = -row.sweep if row.buttock_line < 0.0 else row.sweep
    turn = _swept(sweep) @ _leaning(row.tilt)
    across, up = (vec(turn @ way) for way in WAYS[side])
    return Frame((row.station, row.buttock_line, row.waterline), across, up)


def _on_sheet(p: Parameters, row: BoltedFitting, on: str) -> Frame:
    """Return where a sheet's fore or aft face has a buttock line and a waterline."""
    if on == "firewall":
        origin, normal = firewall_frame(p)
        front = Frame(origin, (0.0, 1.0, 0.0), vec(np.cross(normal, (0.0, 1.0, 0.0))))
        thickness = p.firewall.thickness
    else:
        sheet = next(frame for frame in p.frames if on in frame_parts(frame))
        front, thickness = front_of(p, sheet), sheet.thickness
    face = front if row.side == FORE else front.moved(thickness)
    high = (row.waterline - face.origin[2]) / face.up[2]
    place = replace(face, origin=face.lifted((row.buttock_line, high)))
    return replace(place, across=vec(-np.array(face.across))) if row.side == FORE else place


def _leaning(tilt: float) -> Floats:
    """Return the turn (3, 3) of what leans top aft by an angle [deg]."""
    c, s = cos(radians(tilt)), sin(radians(tilt))
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def _swept(sweep: float) -> Floats:
    """Return the turn (3, 3) of what is swept, on the right, by an angle [deg]."""
    c, s = cos(radians(sweep)), sin(radians(sweep))
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def bolt_places(row: BoltedFitting) -> list[tuple[float, float]]:
    """Return where the bolts stand in the plate, from its middle [mm], row by row."""
    b = row.bolts
    apart, rows_apart = b.pitch or 0.0, b.row_pitch if b.row_pitch is not None else b.pitch or 0.0
    return [
        ((i - (b.columns - 1) / 2) * apart, (j - (b.rows - 1) / 2) * rows_apart)
        for j in range(b.rows)
        for i in range(b.columns)
    ]


def _solid(row: BoltedFitting, face: Frame) -> TopoDS_Solid:
    foot = face.moved(row.gap)
    a, b = row.width / 2, row.height / 2
    corners = [foot.lifted(corner) for corner in ((-a, -b), (a, -b), (a, b), (-a, b))]
    drilled = [foot.lifted(place) for place in bolt_places(row)]
    outline = outer_wire(flat_face(corners))
    sheet = pierced_face(foot.plane, outline, (), drilled, row.bolts.diameter / 2)
    return plate(sheet, vec(row.thickness * np.array(foot.normal)))


def bolted_plates(p: Parameters) -> dict[str, BoltedPlate]:
    """Return where the plates of fittings lie, by the names of their parts [mm]."""
    found: dict[str, BoltedPlate] = {}
    for row in p.fittings:
        face = face_of(p, row)
        published = [BoltedPlate(face.plane, face.up, row.thickness, row.gap)]
        if row.mirrored:
            flip = BoltedPlate(
                replace(face.plane, origin=_left(face.origin), normal=_left(face.normal)),
                _left(face.up), row.thickness, row.gap,
            )  # fmt: skip
            published.append(flip)
        found |= dict(zip(fitting_names(row), published, strict=True))
    return found


def _left(point: Vec3) -> Vec3:
    return (point[0], -point[1], point[2])


def inside_others(p: Parameters) -> dict[str, str]:
    """Return of fittings that stand inside wing or tail the family of that, by part."""
    return {
        name: row.inside for row in p.fittings if row.inside != POD for name in fitting_names(row)
    }
