"""The firewall and the hull in the firewall's plane, and the widest slit between them.

Told from proven meshes where they settle it, and measured on the exact surfaces; otherwise cut by
the kernel, which takes some ten times as long.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.brep.wires import face_within, inner_wires, outer_wire
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.openings.traced import outlined_opening, section_of
from geomgen.kernel.openings.window import PROBES, OpenArea, opening
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.outline_gap import widest_slit
from geomgen.kernel.sections.section import (
    ExactOutline,
    Outlined,
    along_wire,
    outlines,
    regions,
    summed,
)
from geomgen.kernel.solids.distance import Closest
from geomgen.kernel.solids.properties import Integral, face_area
from geomgen.measurements.firewall.holes import SheetHole

# Rims are followed in steps of so much [mm].
STEP = 1.0
METHOD = (
    "outline of the sheet against the hull's outline in the sheet's plane, looked at every "
    "millimetre, closer where it may be widest, then exact"
)


@dataclass(frozen=True)
class SeededPlane:
    """Where to look: the firewall's plane, a seed in it [mm], how far out [mm]."""

    plane: Plane
    seed: Vec3
    reach: float


@dataclass(frozen=True)
class FirewallSheet:
    """The largest piece of the sheet in its plane: area [mm2], with its holes filled, a point.

    `outline` is the piece with its holes in the plane's coordinates [mm], its rims as polygons.
    """

    net: Integral
    whole: Integral
    inside: Vec3
    holes: tuple[SheetHole, ...]
    outline: shapely.Polygon


@dataclass(frozen=True)
class SheetInPlane:
    """The sheet in its plane, what the hull alone leaves open there, the widest slit if any.

    `slit_bound` is how much wider [mm] a slit may be that lies between two looks.
    """

    sheet: FirewallSheet
    clear: OpenArea
    slit: Closest | None
    slit_bound: float


def traced(where: SeededPlane, sheet: Body, hull: Sequence[Body]) -> SheetInPlane | None:
    """Return what the meshes tell, on the exact surfaces; None where they do not settle it."""
    pieces = outlines(frame_round(where.plane, where.seed), sheet, where.reach)
    clear = outlined_opening(where.plane, where.seed, where.reach, hull)
    if not pieces or not isinstance(clear, Outlined):
        return None
    piece = max(pieces, key=lambda p: abs(sum(ring.area for ring in p.rings)))
    net, error, _ = summed(piece.rings)
    return _found(
        piece.frame,
        piece.rings,
        Integral(abs(net), error),
        [Integral(abs(ring.area), ring.error) for ring in piece.rings],
        section_of(clear),
        clear.rings[0],
    )


def cut(
    where: SeededPlane, sheet: TopoDS_Shape, hull: Mapping[str, TopoDS_Shape]
) -> SheetInPlane | None:
    """Return what the kernel's cuts tell; None when the plane passes no sheet."""
    if any(isinstance(shape, MeshPart) for shape in (sheet, *hull.values())):
        raise ExactDueError("the firewall's plane")
    frame = frame_round(where.plane, where.seed)
    pieces = regions(frame, sheet, "firewall")
    if not pieces:
        return None
    face = max(pieces, key=lambda piece: piece.area).face
    clear = opening(where.plane, where.seed, where.reach, list(hull.values()))
    wires = [outer_wire(face), *inner_wires(face)]
    return _found(
        frame,
        [along_wire(wire, frame) for wire in wires],
        face_area(face),
        [face_area(face_within(wire)) for wire in wires],
        clear,
        None if clear.face is None else along_wire(outer_wire(clear.face), frame),
    )


def _found(
    frame: Frame,
    rims: Sequence[ExactOutline],
    net: Integral,
    areas: Sequence[Integral],
    clear: OpenArea,
    wall: ExactOutline | None,
) -> SheetInPlane:
    """Join the largest piece of the sheet, its outer rim first, and the hull round it."""
    flat = [rim.at(rim.spread(STEP)) for rim in rims]
    outline = shapely.Polygon(flat[0], flat[1:])
    holes = [
        SheetHole(np.array([frame.lifted(at) for at in rim.tolist()]), abs(area.value))
        for rim, area in zip(flat[1:], areas[1:], strict=True)
    ]
    sheet = FirewallSheet(net, areas[0], _inside(frame, outline), tuple(holes), outline)
    if wall is None:
        return SheetInPlane(sheet, clear, None, 0.0)
    slit = widest_slit(rims[0], wall)
    rim, mate = (frame.lifted(at.tolist()) for at in (slit.rim, slit.wall))
    return SheetInPlane(sheet, clear, Closest(slit.gap, rim, mate), slit.bound)


def _inside(frame: Frame, shape: shapely.Polygon) -> Vec3:
    """Return a point of a piece, away from its holes."""
    low, high = np.array(shape.bounds).reshape(2, 2)
    for share in PROBES:
        flat = low + np.array(share) * (high - low)
        if shapely.contains_xy(shape, *flat):
            return frame.lifted(flat.tolist())
    spot = shapely.point_on_surface(shape)
    return frame.lifted((spot.x, spot.y))
