"""How thick the firewall's sheet is where it is thinnest, along the normal of its plane."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.brep.compounds import together
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.line_crossings import LineCrossings
from geomgen.kernel.solids.probing import edges_in, points_on
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Along the rims of sheet and holes so many thicknesses are left out: cut along a hull or a drill
# that leans, the sheet ends in a wedge, or in a flange. Own choice: 1.5 times the wedge of 45 deg.
RIM = 1.5
# Rows and columns in which the sheet is looked at, places along its rims and along each edge;
# places this near to each other [mm] are one.
ROWS, AROUND, ON_EDGE, ONE = 31, 400, 65, 0.05
# How far a line across the sheet goes [mm], how exact it is, and what counts as as thick [mm].
FAR, GRAZING, EVEN = 1e4, 1e-7, 1e-6
# Faces that lean to each other by less than this are apart by the same everywhere [rad].
PARALLEL = 1e-10
# The least place is narrowed down to this [mm], by steps in these ways.
NEAR, WAYS = 1e-3, ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
CURVED = "a curved face bounds it there: between the places looked at it may be thinner"


@dataclass(frozen=True)
class _Thick:
    """A thickness [mm], where in the plane (2,), its two ends, and the faces there."""

    value: float
    at: Floats
    ends: tuple[Vec3, Vec3]
    faces: tuple[TopoDS_Face, TopoDS_Face]


def thickness(
    sheet: TopoDS_Shape,
    frame: Frame,
    section: shapely.Polygon,
    at: Vec3,
    body: Body | None = None,
) -> Measurement:
    """Return the least thickness [mm] of a sheet with a section in its plane, at `at` if even.

    Between flat faces it is least where their edges cross, as seen along the normal, or at the rim:
    all of these places are looked at, and rows of others. With its mesh in `body` lines are held
    against flat faces alone where no curved one is near, which takes a fifth of the time.
    """
    across = _Across(sheet, frame)
    known = across.at(frame.flat([at])[0])
    if known is None:
        return _record(None, place(at), (), "the sheet has no face on one side of its plane", 1)
    inner = section.buffer(-RIM * known.value)
    spots = asked = _spots(sheet, frame, inner)
    if body is not None:
        owner, pieces = _over(body, frame, inner, known.value)
        across.know(faces_of(sheet), owner, pieces)
        asked = spots[_beside_others(spots, faces_of(sheet), owner, pieces, known)]
    found = [thick for spot in asked if (thick := across.at(spot)) is not None]
    least = min(found, key=lambda each: each.value, default=known)
    if least.value < known.value - EVEN:
        known = _narrowed(across, inner, least)
    where = place(across.lifted(known.at))
    note = CURVED if None in map(plane_of, known.faces) else ""
    return _record(known.value, where, known.ends, note, len(spots) + 1)


def _over(body: Body, frame: Frame, inner: shapely.Geometry, layer: float) -> tuple[Ints, Any]:
    """Return what of a mesh lies over a section, within a layer [mm] on both sides of its plane.

    The face of each piece, and the piece as seen along the normal, grown by what the mesh is off.
    """
    corners = body.mesh.corners
    flat = frame.flat(corners.reshape(-1, 3)).reshape(-1, 3, 2)
    tall = frame.height(corners.reshape(-1, 3)).reshape(-1, 3)
    ahead, rise = np.roll(flat, -1, axis=1) - flat, np.roll(tall, -1, axis=1) - tall
    deep = layer + body.deviation
    # What of each side of a triangle is within the layer, as shares of its length.
    level = np.where(rise == 0.0, 1e-300, rise)
    ends = np.sort(np.stack([(-deep - tall) / level, (deep - tall) / level]), axis=0)
    low, high = np.maximum(ends[0], 0.0), np.minimum(ends[1], 1.0)
    within = low <= high
    some = np.nonzero(within.any(axis=1))[0]
    held = np.stack([flat + low[:, :, None] * ahead, flat + high[:, :, None] * ahead], axis=2)[some]
    first = held[np.arange(len(some)), within[some].argmax(axis=1)][:, None]
    held = np.where(within[some][:, :, None, None], held, first).reshape(len(some), -1, 2)
    pieces = shapely.buffer(shapely.convex_hull(shapely.linestrings(held)), body.deviation)
    over = shapely.intersects(inner, pieces)
    return body.mesh.face[some[over]], pieces[over]


def _beside_others(
    spots: Floats, faces: Sequence[TopoDS_Face], owner: Ints, pieces: Any, known: _Thick
) -> Bools:
    """Say of places (n, 2) whether the sheet may be thinner there than between two known faces.

    `owner` and `pieces` are what `_over` gives. Where the two are flat and even, only a piece of
    another one between them makes it thinner.
    """
    one, other = map(plane_of, known.faces)
    if one is None or other is None:
        return np.ones(len(spots), dtype=bool)
    if np.linalg.norm(np.cross(one.normal, other.normal)) > PARALLEL:
        return np.ones(len(spots), dtype=bool)
    own = [n for n, face in enumerate(faces) if any(face.IsSame(each) for each in known.faces)]
    others = shapely.STRtree(pieces[~np.isin(owner, own)])
    near, _ = others.query(shapely.points(spots), predicate="intersects")
    found = np.zeros(len(spots), dtype=bool)
    found[near] = True
    return found


class _Across:
    """Lines along the normal through a sheet, which is loaded once."""

    def __init__(self, sheet: TopoDS_Shape, frame: Frame) -> None:
        self._frame, self._lines = frame, LineCrossings(sheet, GRAZING)
        self._flat, self._curved = self._lines, shapely.Polygon()

    def know(self, faces: Sequence[TopoDS_Face], owner: Ints, pieces: Any) -> None:
        """Look at the flat faces alone where no piece (n,) of a curved one is in the way."""
        even = np.array([plane_of(face) is not None for face in faces], dtype=bool)
        flat = [faces[n] for n in np.unique(owner[even[owner]]).tolist()]
        self._flat = LineCrossings(together(flat), GRAZING)
        self._curved = shapely.union_all(pieces[~even[owner]])
        shapely.prepare(self._curved)

    def lifted(self, flat: Floats) -> Vec3:
        """Return a place of the plane in space [mm]."""
        return self._frame.lifted((float(flat[0]), float(flat[1])))

    def at(self, flat: Floats) -> _Thick | None:
        """Return the thickness at a place of the plane; None where a side has no face."""
        x, y, z = self.lifted(flat)
        way = self._frame.normal
        beside = shapely.intersects_xy(self._curved, *flat)
        lines = self._lines if beside else self._flat
        hits = lines.along((x, y, z), way, -FAR, FAR)
        ahead = min((hit for hit in hits if hit[0] >= 0.0), key=_how_far, default=None)
        behind = max((hit for hit in hits if hit[0] <= 0.0), key=_how_far, default=None)
        if ahead is None or behind is None:
            return None
        ends = [(x + w * way[0], y + w * way[1], z + w * way[2]) for w, _ in (behind, ahead)]
        return _Thick(ahead[0] - behind[0], flat, (ends[0], ends[1]), (behind[1], ahead[1]))


def _how_far(hit: tuple[float, TopoDS_Face]) -> float:
    return hit[0]


def _spots(sheet: TopoDS_Shape, frame: Frame, inner: shapely.Geometry) -> Floats:
    """Return the places (n, 2) of the plane at which the sheet is looked at, crossings first."""
    if inner.is_empty:
        return np.zeros((0, 2))
    shapely.prepare(inner)
    low, high = np.array(inner.bounds).reshape(2, 2)
    rows = [np.linspace(low[k], high[k], ROWS) for k in (0, 1)]
    curves = [EdgeCurve(edge) for edge in edges_in(sheet)]
    bends = [frame.flat(curve.points(curve.even(ON_EDGE))) for curve in curves]
    some = [_crossings(bends), *bends, np.stack(np.meshgrid(*rows), axis=-1).reshape(-1, 2)]
    some.append(frame.flat(points_on(sheet)))
    spots = np.concatenate(some)
    rims = [
        shapely.line_interpolate_point(inner.boundary, np.linspace(0, 1, AROUND), normalized=True)
    ]
    held = np.concatenate([spots[shapely.contains_xy(inner, spots)], shapely.get_coordinates(rims)])
    _, first = np.unique(np.round(held / ONE), axis=0, return_index=True)
    return held[np.sort(first)]


def _crossings(bends: list[Floats]) -> Floats:
    """Return where edges cross as they are seen along the normal (n, 2)."""
    lines = [shapely.LineString(bend) for bend in bends]
    both = [shapely.intersection(a, b) for a, b in combinations(lines, 2) if a.intersects(b)]
    return np.asarray(shapely.get_coordinates(both))


def _narrowed(across: _Across, inner: shapely.Geometry, least: _Thick) -> _Thick:
    """Return the least thickness round a place: at corners of the rim, then in steps halved."""
    corners = shapely.get_coordinates(inner.boundary)
    near = np.linalg.norm(corners - least.at, axis=1) <= 2 * inner.boundary.length / AROUND
    found = [thick for spot in corners[near] if (thick := across.at(spot)) is not None]
    least = min([least, *found], key=lambda each: each.value)
    a, b, c, d = inner.bounds
    step = max(c - a, d - b) / ROWS
    while step > NEAR:
        beside = [least.at + step * np.array(way) for way in WAYS]
        held = [spot for spot in beside if shapely.contains_xy(inner, *spot)]
        found = [thick for spot in held if (thick := across.at(spot)) is not None]
        best = min(found, key=lambda each: each.value, default=least)
        if best.value < least.value - EVEN:
            least = best
        else:
            step /= 2
    return least


def _record(
    value: float | None, where: str, ends: tuple[Vec3, ...], note: str, looks: int
) -> Measurement:
    return Measurement(
        "firewall.thickness", "firewall", "thickness of the sheet, where it is thinnest", value,
        "mm", f"lines across the sheet at {looks} places of its section, closer round the least; "
        "its rims are left out, half as wide again as it is thick", EVEN, where, ends, note,
        broken=value is None,
    )  # fmt: skip
