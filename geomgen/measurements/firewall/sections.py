"""The firewall and the hull in the firewall's plane, and the widest slit between them.

Told from proven meshes where they settle it, and measured on the exact surfaces; otherwise cut by
the kernel, which takes some ten times as long.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.wire_points import sampled
from geomgen.kernel.brep.wires import face_within, inner_wires, outer_wire, wires_of
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.openings.traced import (
    Outlined,
    frame_round,
    outlined_material,
    outlined_opening,
)
from geomgen.kernel.openings.window import PROBES, Section, material, opening, points_in
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.exact_rings import Ring
from geomgen.kernel.sections.outline_gap import NARROWED, widest_slit
from geomgen.kernel.solids.distance import Closest, closest, vertex
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.properties import Integral, face_area
from geomgen.measurements.firewall.holes import SheetHole

SAMPLES = 400
# Where a wider slit may hide, the rim is looked at this often [mm].
FINE = 1.0 / 16.0
# A rim of the sheet is followed by chords no further off it [mm].
CHORD = 0.01


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
    clear: Section
    slit: Closest | None
    slit_bound: float
    method: str


def traced(where: SeededPlane, sheet: Body, hull: Sequence[Body]) -> SheetInPlane | None:
    """Return what the meshes tell, on the exact surfaces; None where they do not settle it."""
    pieces = outlined_material(where.plane, where.seed, where.reach, sheet)
    clear = outlined_opening(where.plane, where.seed, where.reach, hull)
    if not pieces or not isinstance(clear, Outlined):
        return None
    piece = max(pieces, key=lambda p: abs(sum(ring.area for ring in p.rings)))
    section, outer = piece.section(), piece.rings[0]
    slit = widest_slit(outer, clear.rings[0])
    return SheetInPlane(
        FirewallSheet(
            Integral(section.area or 0.0, section.error or 0.0),
            Integral(outer.area, outer.error),
            _inside(piece),
            tuple(_hole(piece, ring) for ring in piece.rings[1:]),
            _outline(piece),
        ),
        clear.section(),
        Closest(slit.gap, piece.lifted(slit.rim), clear.lifted(slit.wall)),
        slit.bound,
        "outline of the sheet against the hull's outline in the sheet's plane, looked at every "
        "millimetre, closer where it may be widest, then exact",
    )


def _hole(piece: Outlined, ring: Ring) -> SheetHole:
    rim = np.array([piece.lifted(flat) for flat in ring.at(ring.spread(1.0))])
    return SheetHole(rim, abs(ring.area))


def _outline(piece: Outlined) -> shapely.Polygon:
    outer, *holes = (ring.at(ring.spread(1.0)) for ring in piece.rings)
    return shapely.Polygon(outer, holes)


def _inside(piece: Outlined) -> Vec3:
    """Return a point of a piece, away from its holes."""
    shape = _outline(piece)
    low, high = np.array(shape.bounds).reshape(2, 2)
    for share in PROBES:
        flat = low + np.array(share) * (high - low)
        if shapely.contains_xy(shape, *flat):
            return piece.lifted(flat)
    spot = shapely.point_on_surface(shape)
    return piece.lifted(np.array([spot.x, spot.y]))


def cut(
    where: SeededPlane, sheet: TopoDS_Shape, hull: Mapping[str, TopoDS_Shape]
) -> SheetInPlane | None:
    """Return what the kernel's cuts tell; None when the plane passes no sheet."""
    faces = material(where.plane, where.seed, where.reach, sheet)
    if not faces:
        return None
    face = max(faces, key=lambda f: face_area(f).value)
    clear = opening(where.plane, where.seed, where.reach, list(hull.values()))
    outer = face_within(outer_wire(face))
    slit, bound = (None, 0.0) if clear.face is None else _slit(where, clear.face, face)
    return SheetInPlane(
        FirewallSheet(
            face_area(face),
            face_area(outer),
            points_in(face)[0],
            _holes(face),
            _outline_of(frame_round(where.plane, where.seed), face),
        ),
        clear,
        slit,
        bound,
        "outline of the sheet against the hull's outline in the sheet's plane, sampled at "
        f"{SAMPLES} points of each edge, closer where it may be widest, then exact",
    )


def _outline_of(frame: Frame, face: TopoDS_Face) -> shapely.Polygon:
    rims = [frame.flat(sampled(wire, face, CHORD)[0]) for wire in wires_of(face)]
    rims.sort(key=lambda rim: -shapely.Polygon(rim).area)
    return shapely.Polygon(rims[0], rims[1:])


def _holes(face: TopoDS_Face) -> tuple[SheetHole, ...]:
    found = []
    for wire in inner_wires(face):
        curves = map(EdgeCurve, edges_in(wire))
        rim = np.concatenate([curve.points(curve.even(SAMPLES)) for curve in curves])
        found.append(SheetHole(rim, abs(face_area(face_within(wire)).value)))
    return tuple(found)


def _slit(
    where: SeededPlane, clear: TopoDS_Face, face: TopoDS_Face
) -> tuple[Closest | None, float]:
    """Return the widest gap [mm] between the sheet's edge and the hull in the sheet's plane.

    With it, how much wider one may be: between two samples no more than their distance allows.
    """
    frame, hull = frame_round(where.plane, where.seed), outer_wire(clear)
    # Against lines, not points: a slit is narrower than points on the hull are apart.
    flat = [frame.flat(c.points(c.even(4 * SAMPLES))) for c in map(EdgeCurve, edges_in(hull))]
    walls = shapely.MultiLineString(flat)
    shapely.prepare(walls)
    curves = map(EdgeCurve, edges_in(outer_wire(face)))
    rims = [_Rim(frame, walls, curve, curve.even(SAMPLES)) for curve in curves]
    if not rims:
        return None, 0.0
    least = max(float(rim.gaps.max()) for rim in rims)
    rims = [rim.closer(least) for rim in rims]
    widest = max(rims, key=lambda rim: float(rim.gaps.max()))
    found = _narrowed(widest.curve, hull, float(widest.at[widest.gaps.argmax()]))
    most = max(float(rim.most().max()) for rim in rims)
    return found, max(NARROWED, most - found.distance)


class _Rim:
    """An edge of the sheet looked at in some places: its gaps to the walls there [mm]."""

    def __init__(self, frame: Frame, walls: shapely.Geometry, curve: EdgeCurve, at: Floats) -> None:
        self.frame, self.walls, self.curve, self.at = frame, walls, curve, at
        points = frame.flat(curve.points(at))
        self.gaps = np.asarray(shapely.distance(shapely.points(points), walls))
        self.ways = np.linalg.norm(np.diff(points, axis=0), axis=1)

    def most(self) -> Floats:
        """Return how wide the gap may be between each two places."""
        return np.asarray((self.gaps[1:] + self.gaps[:-1] + self.ways) / 2)

    def closer(self, least: float) -> "_Rim":
        """Return the rim with more places where a gap wider than `least` may hide."""
        more = [self.at]
        for i in np.flatnonzero(self.most() >= least):
            count = int(np.ceil(self.ways[i] / FINE))
            more.append(np.linspace(self.at[i], self.at[i + 1], count, endpoint=False)[1:])
        return _Rim(self.frame, self.walls, self.curve, np.sort(np.concatenate(more)))


def _narrowed(curve: EdgeCurve, hull: TopoDS_Shape, at: float) -> Closest:
    """Return the exact gap at the widest place near a parameter of a curve."""
    first, last = curve.first, curve.last

    def near(u: float) -> Closest:
        return closest(vertex(curve.at(u)), hull)

    step = (last - first) / (SAMPLES - 1)
    while step > 1e-5 * (last - first):
        tried = [min(max(at + k * step, first), last) for k in (-1, 0, 1)]
        at = max(tried, key=lambda u: near(u).distance)
        step /= 2
    return near(at)
