"""Joints that sealant closes: slits between two solids through which an opening would leak.

Parts that are trimmed to each other leave a gap, and a builder fills it. How wide a slit is, is
measured in the plane of the opening: the largest disc that can't pass from the opening to outside.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np
import shapely
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Vec
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.planes import frame_of
from geomgen.kernel.brep.plates import flat_face
from geomgen.kernel.brep.wire_points import sampled
from geomgen.kernel.brep.wires import wires_of
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.distance import vertex

# The widest slit between two solids that counts as sealed [mm] (own choice: a bead of sealant),
# and by how much, as a factor and in mm, a slit may be wider than the joint is stated to be: a
# plane that leans cuts it wider.
SEALED = 3.0
WIDER, MORE = 1.5, 0.05
# Outlines are sampled to this chord [mm]; a slit's width is told to `SHARP` [mm].
CHORD = 2e-3
SHARP = 5e-3
# A plug is so deep, less than any wall; goes so far into the walls and off the plane [mm].
DEPTH, INTO_WALL, THICK = 0.2, 0.02, 0.5
TOUCH = 0.02


@dataclass(frozen=True)
class Seal:
    """Plugs that close the slits; the widest one's width [mm], the solids beside.

    `area` [mm2] bounds what of the opening hangs on where in the slits the sealant ends.
    """

    plugs: tuple[TopoDS_Shape, ...]
    width: float
    between: tuple[int, ...]
    area: float


def sealed_width(joint: float) -> float:
    """Return the widest slit [mm] that counts as sealed where a joint [mm] is stated.

    >>> sealed_width(0.3), sealed_width(0.0), sealed_width(20.0)
    (0.5, 0.0, 3.0)
    """
    return min(round(WIDER * joint + MORE, 6), SEALED) if joint > 0.0 else 0.0


def sealed(
    face: TopoDS_Face, reach: float, solids: Sequence[TopoDS_Shape], most: float = SEALED
) -> Seal | None:
    """Return what closes a leaking face round its origin; None where that is no joint.

    `reach` is the half size of the face's window [mm]. A slit is a joint when it is no wider than
    `most` [mm] and at least two of the solids stand beside it.
    """
    frame = frame_of(face)
    void = _polygon(face, frame)
    width = _width(void, reach, most)
    if width is None:
        return None
    kept = _round_seed(void, width).buffer(width / 2)
    plugs = []
    between: set[int] = set()
    area = 0.0
    for piece in _leaks(void, kept, reach):
        beside = {i for i, solid in enumerate(solids) if _touches(piece, frame, solid)}
        if len(beside) < 2:
            return None
        between |= beside
        plug = piece.buffer(INTO_WALL, join_style="mitre")
        # The plug stands where the disc came to rest: by up to half of it deep in the slit.
        area += float(piece.area + shapely.intersection(plug, kept).area + pi * width**2 / 8)
        plugs.append(_prism(plug, frame))
    return Seal(tuple(plugs), width, tuple(sorted(between)), area)


def _polygon(face: TopoDS_Face, frame: Frame) -> shapely.Geometry:
    rings = [shapely.Polygon(frame.flat(sampled(wire, face, CHORD)[0])) for wire in wires_of(face)]
    rings.sort(key=lambda ring: -ring.area)
    sound = [shapely.make_valid(ring) for ring in rings]
    return shapely.difference(sound[0], shapely.union_all(sound[1:]))


def _round_seed(void: shapely.Geometry, width: float) -> shapely.Geometry:
    """Return where the middle of a disc of diameter `width` can go from the origin."""
    room = void.buffer(-width / 2)
    for part in shapely.get_parts(room):
        if shapely.contains_xy(part, 0.0, 0.0):
            return part
    return shapely.Polygon()


def _width(void: shapely.Geometry, reach: float, most: float) -> float | None:
    """Return the least diameter [mm] of a disc that can't get out; None above `most`."""

    def stays(width: float) -> bool:
        room = _round_seed(void, width)
        return not room.is_empty and np.abs(room.bounds).max() < reach - width / 2 - 1e-6

    if not stays(most):
        return None
    low, high = 0.0, most
    while high - low > SHARP:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if stays(middle) else (middle, high)
    return high


def _leaks(void: shapely.Geometry, kept: shapely.Geometry, reach: float) -> list[shapely.Polygon]:
    """Return the mouths of the slits: what is not kept but leads out, as far as a plug goes."""
    near = kept.buffer(DEPTH)
    found = []
    for part in shapely.get_parts(shapely.difference(void, kept)):
        if np.abs(part.bounds).max() < reach * (1 - 1e-9):
            continue
        for piece in shapely.get_parts(shapely.intersection(part, near)):
            if piece.area > 0 and shapely.distance(piece, kept) < CHORD:
                found.append(piece)
    return found


def _face_of(piece: shapely.Polygon, frame: Frame) -> TopoDS_Face:
    return flat_face([frame.lifted((x, y)) for x, y in _corners(piece).tolist()])


def _corners(piece: shapely.Polygon) -> Floats:
    return np.asarray(shapely.get_coordinates(shapely.simplify(piece, CHORD / 2).exterior)[:-1])


def _prism(piece: shapely.Polygon, frame: Frame) -> TopoDS_Shape:
    """Return a plug across the plane."""
    normal = np.array(frame.normal)
    foot = _face_of(piece, frame.moved(-THICK))
    return BRepPrimAPI_MakePrism(foot, gp_Vec(*(2 * THICK * normal).tolist())).Shape()


def _touches(piece: shapely.Polygon, frame: Frame, solid: TopoDS_Shape) -> bool:
    """Say whether a solid stands beside a slit: at a corner of its outline."""
    flat = _face_of(piece, frame)
    near = [skin for skin in faces_of(solid) if boxes_meet(loose_box(skin), loose_box(flat))]
    corners = [vertex(frame.lifted((x, y))) for x, y in _corners(piece).tolist()] if near else []
    return any(
        BRepExtrema_DistShapeShape(corner, skin).Value() < TOUCH
        for corner in corners
        for skin in near
    )
