"""Frames and bulkheads: sheets across the pod whose edge follows the inside of its skin.

The edge is a surface at a true distance from the hull's lines, as the firewall's is, so the gap for
the bond is the same all round and through the thickness. All else is cut square to the sheet: the
inside of a ring, openings, notches for stringers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, tan

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape, TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import GeometryError, looking_at
from geomgen.kernel.brep.plates import flat_face, moved_face, plate, side_faces
from geomgen.kernel.brep.smooth_wires import rounded_face, smooth_face
from geomgen.kernel.lofting.bodies import LoftedSkin, body
from geomgen.kernel.lofting.offsets import offset_outlines, offset_skin
from geomgen.kernel.lofting.sewing import Lean, free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.booleans import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import FrameOpening, FrameSheet
from geomgen.shapes.framing.notches import notches
from geomgen.shapes.framing.published import front_of
from geomgen.shapes.hull import PodLines
from geomgen.shapes.piece import NamedSolid

COLOUR = (0.80, 0.70, 0.50)
CAUTION = (
    "frames and stringers are geometry, not strength: have the structure designed and checked by "
    "someone qualified"
)
# Knives reach this far past both faces of the sheet [mm].
PAST = 2.0
# A ring's inside is smaller than this nowhere [mm2]: own choice, a fist does not go through.
LEAST = 100.0


def frames(p: Parameters, pod: PodLines) -> list[NamedSolid]:
    """Return all frames; GeometryError names the one that can't be made."""
    made: list[NamedSolid] = []
    for i, frame in enumerate(p.frames):
        with looking_at(f"frames.{i}"):
            solid = _frame(p, pod, frame)
        notes = () if made else (CAUTION,)
        made.append(NamedSolid(f"frame_{frame.name}", "frame", solid, COLOUR, notes=notes))
    return made


@dataclass(frozen=True)
class SheetKnife:
    """What is cut out of a sheet: in words, its outline in the front plane [mm], its face there."""

    words: str
    outline: shapely.Polygon
    face: TopoDS_Face


def _frame(p: Parameters, pod: PodLines, frame: FrameSheet) -> TopoDS_Solid:
    name, front = f"frame_{frame.name}", front_of(p, frame)
    lean = Lean(tan(radians(frame.tilt)), p.propeller.waterline)
    aft = frame.thickness / cos(radians(frame.tilt))
    start, inward = frame.station, pod.wall + frame.gap
    skin = offset_skin(pod.lines, inward, start, start + aft, name, lean)
    stations = np.array([start, start + aft / 2, start + aft])
    fore, middle, back = offset_outlines(pod.lines, inward, stations, name, lean)
    edge = shapely.intersection(*(shapely.Polygon(_both(front.flat(rim))) for rim in (fore, back)))
    sheet, ring = edge, None
    if frame.width is not None:
        ring = _inside(front.flat(middle), frame.width, name)
        sheet = edge.difference(shapely.Polygon(ring))
    reach = (float(min(fore[:, 0].min(), back[:, 0].min())), float(back[:, 0].max()))
    reach = (reach[0], max(reach[1], float(fore[:, 0].max())))
    knives = [
        *(k for o in frame.openings for k in _openings(o, front, edge, name)),
        *_notches(p, pod, front, frame.thickness, reach),
    ]
    _refuse(knives, sheet, name)
    by = vec(frame.thickness * np.array(front.normal))
    whole = body(skin, name) if ring is None else _open_ring(skin, smooth_face(ring, front), by)
    if not knives:
        return whole
    cuts = [_through(knife.face, front, frame.thickness) for knife in knives]
    return cut(whole, cuts, name, ", ".join(knife.words for knife in knives))


def _open_ring(skin: LoftedSkin, inside: TopoDS_Face, by: Vec3) -> TopoDS_Solid:
    """Return the sheet inside a skin without what a face of its front plane sweeps through it."""
    walls = tuple(side_faces(inside, by))
    faces: list[TopoDS_Shape] = [*skin.faces, *walls]
    for station in (skin.start, skin.end):
        rims = [free_edges_at(some, station, skin.lean) for some in (skin.faces, walls)]
        if not all(rims):
            raise GeometryError("its inside does not reach through the sheet", step="open ring")
        faces.append(plane_face(station, wire_of(rims[0]), wire_of(rims[1]), skin.lean))
    return sew(faces, "frame")


def _refuse(knives: Sequence[SheetKnife], sheet: shapely.Geometry, name: str) -> None:
    """Raise GeometryError where a knife cuts nothing, or all of them cut the sheet apart."""
    for knife in knives:
        if knife.outline.intersection(sheet).area < 1.0:
            raise GeometryError(
                f"the {knife.words} cuts nothing: the sheet is open there already",
                part=name,
                step=knife.words,
            )
        rest = sheet.difference(knife.outline)
        pieces = [piece for piece in shapely.get_parts(rest) if piece.area > 1.0]
        if len(pieces) > 1:
            raise GeometryError(
                f"the {knife.words} cuts the sheet into {len(pieces)} pieces: a wider ring, a "
                "smaller opening or a strip less deep would leave one",
                part=name,
                step=knife.words,
            )
        sheet = rest


def _notches(
    p: Parameters, pod: PodLines, front: Frame, thickness: float, reach: tuple[float, float]
) -> Iterator[SheetKnife]:
    for stringer, outline in notches(p, pod, front, thickness, reach):
        face = flat_face([front.lifted((float(a), float(b))) for a, b in outline])
        yield SheetKnife(f"notch for {stringer}", shapely.Polygon(outline), face)


def _both(half: Floats) -> Floats:
    """Return the whole outline (n, 2) of a right-hand half (k, 2), keel to crown [mm]."""
    return np.vstack([half, (half * [-1.0, 1.0])[-2:0:-1]])


def _inside(half: Floats, width: float, name: str) -> Floats:
    """Return the inside (n, 2) of a ring of a width [mm], measured in the sheet's middle plane."""
    left = shapely.Polygon(_both(half)).buffer(-width, quad_segs=32)
    if left.geom_type != "Polygon" or left.area < LEAST:
        raise GeometryError(
            f"a ring {width:g} mm wide leaves no single opening in the middle: make it narrower, "
            "or full (leave width out) with openings of its own",
            part=name,
            step="open ring",
        )
    return np.array(left.exterior.coords)[:-1]


def _openings(
    o: FrameOpening, front: Frame, edge: shapely.Polygon, name: str
) -> Iterator[SheetKnife]:
    words = f"opening for {o.use}"
    for side in (1.0, -1.0) if o.mirrored else (1.0,):
        centre = (side * o.buttock_line, (o.waterline - front.origin[2]) / front.up[2])
        outline = _outline(o, centre)
        if not edge.covers(outline):
            raise GeometryError(
                f"the {words} runs out through the edge of the sheet: make it smaller or move it "
                "inward",
                part=name,
                step=words,
            )
        wide, high, radius = o.width or 0.0, o.height or 0.0, o.corner_radius
        if o.diameter is not None:
            wide, high, radius = o.diameter, o.diameter, o.diameter / 2
        yield SheetKnife(words, outline, rounded_face(centre, wide, high, radius, front))


def _outline(o: FrameOpening, centre: tuple[float, float]) -> shapely.Polygon:
    if o.diameter is not None:
        return shapely.Point(centre).buffer(o.diameter / 2)
    r = o.corner_radius
    a, b = (o.width or 0.0) / 2 - r, (o.height or 0.0) / 2 - r
    x, y = centre
    return shapely.box(x - a, y - b, x + a, y + b).buffer(r)


def _through(face: TopoDS_Face, front: Frame, thickness: float) -> TopoDS_Solid:
    """Return the knife that a face of the front plane sweeps through the sheet."""
    n = np.array(front.normal)
    return plate(moved_face(face, vec(-PAST * n)), vec((thickness + 2 * PAST) * n))
