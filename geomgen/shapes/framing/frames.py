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
from shapely.geometry.polygon import orient

from geomgen.arrays import Floats
from geomgen.errors import GeometryError, looking_at
from geomgen.kernel.brep.plates import flat_face, moved_face, plate, side_faces
from geomgen.kernel.brep.smooth_wires import rounded_face, smooth_face
from geomgen.kernel.lofting.bodies import LoftedSkin, body
from geomgen.kernel.lofting.offsets import offset_outlines, offset_skin
from geomgen.kernel.lofting.sewing import Lean, free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.booleans import cut, cut_pieces
from geomgen.kernel.solids.properties import bounding_box
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import FrameOpening, FrameSheet, frame_parts
from geomgen.shapes.framing.ends import end_heights
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
# What a sheet of 60 mm that leans by 30 deg reaches out past the edge that both faces share [mm].
OUT = 60.0
# A cut less than this off the edge is none [mm]; all of a sheet lies nearer than FAR to its middle.
SHORT, FAR = 1e-3, 1e5
# A ring's inside is smaller than this nowhere [mm2]: own choice, a fist does not go through.
LEAST = 100.0


def frames(p: Parameters, pod: PodLines) -> list[NamedSolid]:
    """Return all frames; GeometryError names the one that can't be made."""
    made: list[NamedSolid] = []
    for i, frame in enumerate(p.frames):
        with looking_at(f"frames.{i}"):
            solids = _frame(p, pod, frame)
        for name, solid in zip(frame_parts(frame), solids, strict=True):
            notes = () if made else (CAUTION,)
            made.append(NamedSolid(name, "frame", solid, COLOUR, notes=notes))
    return made


@dataclass(frozen=True)
class SheetKnife:
    """What is cut out of a sheet: in words, its outline in the front plane [mm], its face there."""

    words: str
    outline: shapely.Polygon
    face: TopoDS_Face


def _frame(p: Parameters, pod: PodLines, frame: FrameSheet) -> list[TopoDS_Solid]:
    """Return the solid of a frame; of two side pieces the right one and the left one."""
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
    band = _band(p, frame, front, edge, sheet)
    knives = [
        *(k for o in frame.openings for k in _openings(o, front, edge, band, name)),
        *_notches(p, pod, front, frame.thickness, reach, band),
    ]
    pieces = len(frame_parts(frame))
    _refuse(knives, sheet.intersection(band), name, pieces)
    by = vec(frame.thickness * np.array(front.normal))
    whole = body(skin, name) if ring is None else _open_ring(skin, smooth_face(ring, front), by)
    knives = [*_ends(edge, band, front), *knives]
    if not knives:
        return [whole]
    cuts = [_through(knife.face, front, frame.thickness) for knife in knives]
    step = ", ".join(knife.words for knife in knives)
    if pieces == 1:
        return [cut(whole, cuts, name, step)]
    return _right_and_left(cut_pieces(whole, cuts, name, step), name, step)


def _band(
    p: Parameters, frame: FrameSheet, front: Frame, edge: shapely.Polygon, sheet: shapely.Geometry
) -> shapely.Polygon:
    """Return what of the front plane lies between the straight cuts of a frame [mm].

    GeometryError where a cut leaves nothing, cuts nothing off, or the pieces are not as many.
    """
    name, pieces = f"frame_{frame.name}", len(frame_parts(frame))
    x0, y0, x1, y1 = edge.bounds
    low, high = end_heights(p, frame, front)
    levels = [front.lifted((0.0, y))[2] for y in (y0, y1)]
    reaches = f"its sheet reaches from WL {levels[0]:.1f} to {levels[1]:.1f} mm there"
    for at, words in ((low, "below"), (high, "above")):
        if np.isfinite(at) and not y0 < at < y1:
            gone = (at <= y0) == (words == "above")
            level = front.lifted((0.0, at))[2]
            raise GeometryError(
                f"its straight cut {words}, at WL {level:.1f} mm, leaves "
                f"{'nothing of it' if gone else 'it whole'}: {reaches}",
                part=name,
                step="ends",
            )
    if low >= high:
        raise GeometryError(
            f"its straight cuts leave nothing of it: the lower one is {low - high:.1f} mm above "
            "the upper one",
            part=name,
            step="ends",
        )
    band = shapely.box(x0 - OUT, max(low, y0 - OUT), x1 + OUT, min(high, y1 + OUT))
    left = [piece for piece in shapely.get_parts(sheet.intersection(band)) if piece.area > 1.0]
    if len(left) != pieces:
        raise GeometryError(
            f"its straight cuts leave it in {len(left)} pieces, not in {pieces}: "
            + ("the ring is closed between them; leave one of the two out" if pieces == 2
               else "another height leaves one"),
            part=name,
            step="ends",
        )  # fmt: skip
    return band


def _ends(edge: shapely.Polygon, band: shapely.Polygon, front: Frame) -> Iterator[SheetKnife]:
    """Yield the knives of the straight cuts: all below and all above what is kept."""
    x0, y0, x1, y1 = band.bounds
    _, bottom, _, top = edge.bounds
    for low, high in ((bottom - OUT, y0), (y1, top + OUT)):
        if high - low > SHORT:
            outline = shapely.box(x0, low, x1, high)
            yield SheetKnife("straight cut", outline, _flat(outline, front))


def _right_and_left(pieces: list[TopoDS_Solid], name: str, step: str) -> list[TopoDS_Solid]:
    sides = sorted(pieces, key=lambda piece: -bounding_box(piece).high[1])
    if len(sides) != 2:
        raise GeometryError(f"it falls into {len(sides)} pieces, not two", part=name, step=step)
    return sides


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


def _refuse(knives: Sequence[SheetKnife], sheet: shapely.Geometry, name: str, most: int) -> None:
    """Raise GeometryError where a knife cuts nothing, or all leave more than `most` pieces."""
    for knife in knives:
        if knife.outline.intersection(sheet).area < 1.0:
            raise GeometryError(
                f"the {knife.words} cuts nothing: the sheet is open there already",
                part=name,
                step=knife.words,
            )
        rest = sheet.difference(knife.outline)
        pieces = [piece for piece in shapely.get_parts(rest) if piece.area > 1.0]
        if len(pieces) > most:
            raise GeometryError(
                f"the {knife.words} cuts the sheet into {len(pieces)} pieces: a wider ring, a "
                f"smaller opening or a strip less deep would leave {'one' if most == 1 else most}",
                part=name,
                step=knife.words,
            )
        sheet = rest


def _notches(
    p: Parameters,
    pod: PodLines,
    front: Frame,
    thickness: float,
    reach: tuple[float, float],
    band: shapely.Polygon,
) -> Iterator[SheetKnife]:
    """Yield the notches as far as they lie in the part of the plane that is kept."""
    _, low, _, high = band.bounds
    kept = shapely.box(-FAR, low, FAR, high)
    for stringer, outline in notches(p, pod, front, thickness, reach):
        own = shapely.Polygon(outline).intersection(kept)
        if own.geom_type == "Polygon" and own.area > 1.0:
            yield SheetKnife(f"notch for {stringer}", own, _flat(own, front))


def _flat(outline: shapely.Polygon, front: Frame) -> TopoDS_Face:
    """Return the face within a polygon of the front plane [mm]."""
    corners = list(orient(outline).exterior.coords)[:-1]
    return flat_face([front.lifted((float(a), float(b))) for a, b in corners])


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
    o: FrameOpening, front: Frame, edge: shapely.Polygon, band: shapely.Polygon, name: str
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
        if not band.covers(outline):
            away = "" if band.disjoint(outline) else "partly "
            raise GeometryError(
                f"the {words} is {away}cut away by the straight cut of the frame: move it, or the "
                "cut",
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
