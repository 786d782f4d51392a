"""The firewall and the hull in the firewall's plane, and the widest slit between them.

Told from proven meshes where they settle it, and measured on the exact surfaces; otherwise cut by
the kernel, which takes some ten times as long.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepTools import BRepTools
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape

from geomgen.kernel.distance import Closest, closest, vertex
from geomgen.kernel.meeting import Body
from geomgen.kernel.openings import PROBES, Section, material, opening, points_in
from geomgen.kernel.outline_gap import NARROWED, widest_slit
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.probing import edges_in
from geomgen.kernel.properties import Integral, face_area
from geomgen.kernel.traced_openings import (
    Outlined,
    frame_round,
    outlined_material,
    outlined_opening,
)

SAMPLES = 400


@dataclass(frozen=True)
class Place:
    """Where to look: the firewall's plane, a seed in it [mm], how far out [mm]."""

    plane: Plane
    seed: Vec3
    reach: float


@dataclass(frozen=True)
class Sheet:
    """The largest piece of the sheet in its plane: area [mm2], with its holes filled, a point."""

    net: Integral
    whole: Integral
    inside: Vec3


@dataclass(frozen=True)
class Found:
    """The sheet in its plane, what the hull alone leaves open there, the widest slit if any.

    `slit_bound` is how much wider [mm] a slit may be that lies between two looks.
    """

    sheet: Sheet
    clear: Section
    slit: Closest | None
    slit_bound: float
    method: str


def traced(where: Place, sheet: Body, hull: Sequence[Body]) -> Found | None:
    """Return what the meshes tell, on the exact surfaces; None where they do not settle it."""
    pieces = outlined_material(where.plane, where.seed, where.reach, sheet)
    clear = outlined_opening(where.plane, where.seed, where.reach, hull)
    if not pieces or not isinstance(clear, Outlined):
        return None
    piece = max(pieces, key=lambda p: abs(sum(ring.area for ring in p.rings)))
    section, outer = piece.section(), piece.rings[0]
    slit = widest_slit(outer, clear.rings[0])
    return Found(
        Sheet(
            Integral(section.area or 0.0, section.error or 0.0),
            Integral(outer.area, outer.error),
            _inside(piece),
        ),
        clear.section(),
        Closest(slit.gap, piece.lifted(slit.rim), clear.lifted(slit.wall)),
        slit.bound,
        "outline of the sheet against the hull's outline in the sheet's plane, looked at every "
        "millimetre, closer where it may be widest, then exact",
    )


def _inside(piece: Outlined) -> Vec3:
    """Return a point of a piece, away from its holes."""
    outer, *holes = (ring.at(ring.spread(1.0)) for ring in piece.rings)
    shape = shapely.Polygon(outer, holes)
    low, high = outer.min(axis=0), outer.max(axis=0)
    for share in PROBES:
        flat = low + np.array(share) * (high - low)
        if shapely.contains_xy(shape, *flat):
            return piece.lifted(flat)
    spot = shapely.point_on_surface(shape)
    return piece.lifted(np.array([spot.x, spot.y]))


def cut(where: Place, sheet: TopoDS_Shape, hull: Mapping[str, TopoDS_Shape]) -> Found | None:
    """Return what the kernel's cuts tell; None when the plane passes no sheet."""
    faces = material(where.plane, where.seed, where.reach, sheet)
    if not faces:
        return None
    face = max(faces, key=lambda f: face_area(f).value)
    clear = opening(where.plane, where.seed, where.reach, list(hull.values()))
    outer = BRepBuilderAPI_MakeFace(BRepTools.OuterWire_s(face), True).Face()
    slit, bound = (None, 0.0) if clear.face is None else _slit(where, clear.face, face)
    return Found(
        Sheet(face_area(face), face_area(outer), points_in(face)[0]),
        clear,
        slit,
        bound,
        "outline of the sheet against the hull's outline in the sheet's plane, sampled at "
        f"{SAMPLES} points of each edge, then exact about the widest",
    )


def _slit(where: Place, clear: TopoDS_Face, face: TopoDS_Face) -> tuple[Closest | None, float]:
    """Return the widest gap [mm] between the sheet's edge and the hull in the sheet's plane.

    With it, how much wider one may be: between two samples no more than their distance allows.
    """
    frame, hull = frame_round(where.plane, where.seed), BRepTools.OuterWire_s(clear)
    # Against lines, not points: a slit is narrower than points on the hull are apart.
    walls = shapely.MultiLineString([_flat(frame, edge, 4 * SAMPLES) for edge in edges_in(hull)])
    shapely.prepare(walls)
    gap, widest, share, most = -1.0, None, 0.0, 0.0
    for rim in edges_in(BRepTools.OuterWire_s(face)):
        points = _flat(frame, rim, SAMPLES)
        rough = shapely.distance(shapely.points(points), walls)
        ways = np.linalg.norm(np.diff(points, axis=0), axis=1)
        most = max(most, float((rough[1:] + rough[:-1] + ways).max() / 2))
        if rough.max() > gap:
            gap, widest, share = float(rough.max()), rim, int(rough.argmax()) / (SAMPLES - 1)
    if widest is None:
        return None, 0.0
    found = _narrowed(BRepAdaptor_Curve(widest), hull, share)
    return found, max(NARROWED, most - found.distance)


def _narrowed(curve: BRepAdaptor_Curve, hull: TopoDS_Shape, share: float) -> Closest:
    """Return the exact gap at the widest place near a share of a curve."""
    a, b = curve.FirstParameter(), curve.LastParameter()

    def near(at: float) -> Closest:
        p = curve.Value(a + at * (b - a))
        return closest(vertex((p.X(), p.Y(), p.Z())), hull)

    step = 1.0 / (SAMPLES - 1)
    while step > 1e-5:
        tried = [min(max(share + k * step, 0.0), 1.0) for k in (-1, 0, 1)]
        share = max(tried, key=lambda at: near(at).distance)
        step /= 2
    return near(share)


def _flat(frame: Frame, edge: TopoDS_Edge, count: int) -> NDArray[np.float64]:
    """Return points (count, 2) in a plane, spread evenly over the parameters of an edge."""
    curve = BRepAdaptor_Curve(edge)
    at = np.linspace(curve.FirstParameter(), curve.LastParameter(), count).tolist()
    return frame.flat([(p.X(), p.Y(), p.Z()) for p in map(curve.Value, at)])
