"""The flange round a split: a board of its own behind the split, with dowel holes and datum flats.

A board and not a part of the half: it is cut from sheet, the half from a block, and the skin is
laid over both. Its working face lies in the split, its thickness behind it, so the boards of the
two halves carry the same holes and the moulds made on them meet.
"""

from dataclasses import dataclass
from math import ceil, pi

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Solid, TopoDS_Wire
from scipy.spatial.distance import pdist, squareform
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.polygon import orient

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.plates import moved_face, pierced_face, plate
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.lofting.folded import Folds, folded_plate
from geomgen.kernel.lofting.lean_edge import smooth_wire
from geomgen.kernel.plain import Plane, vec
from geomgen.kernel.solids.booleans import common, cut
from geomgen.kernel.solids.properties import area, volume
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.parameters.rules.shops import WIDEST_DOWEL
from geomgen.shops.figures import plain
from geomgen.shops.moulds.bodies import key_of
from geomgen.shops.moulds.outline import SplitPlane, points_along, sheet_of
from geomgen.shops.moulds.split import Split, slab

# The outer edge may leave the true distance by this [mm]; nothing is measured from it.
ROUGH = 0.02
# Depth of a datum flat, as a share of the flange's width.
FLAT = 0.1
# One dowel stands off its even place by so many diameters, or by this share of the pitch.
ODD, ODD_SHARE = 1.5, 0.25
LEAST = 3
# Where along the outline the first dowel may stand, as shares of the even distance, in turn.
SHIFTS = (0.0, 0.25, 0.5, 0.125, 0.375)
ON_FLAT = 1e-6
PROOF = 1e-6
# A fold whose ends are no further apart than this [mm], along and in height, runs straight across.
ACROSS = 1e-9


@dataclass(frozen=True)
class FlangePlan:
    """A flange in the plane of its split [mm]: outer edge, hole, dowels (n, 2) and their pitch.

    `flats` are the two datum flats, along and aside; `near` is how near a bent board follows the
    split.
    """

    sheet: SplitPlane
    outer: Polygon
    hole: TopoDS_Wire
    dowels: Floats
    pitch: float
    flats: tuple[float, float]
    near: float

    def flat_lengths(self) -> tuple[float, float]:
        """Return how long [mm] the two datum flats are."""
        low_along, low, aft, high = self.outer.bounds
        edge = self.outer.exterior
        on_aft = edge.intersection(box(aft - ON_FLAT, low, aft + ON_FLAT, high))
        on_low = edge.intersection(box(low_along, low - ON_FLAT, aft, low + ON_FLAT))
        a, b = on_aft.bounds, on_low.bounds
        return (a[3] - a[1], b[2] - b[0])


def plan(p: Parameters, mould: Mould, split: Split, hole: TopoDS_Wire) -> FlangePlan:
    """Return the flange in its plane round the outline `hole` of the split."""
    if mould.dowel_diameter > WIDEST_DOWEL * mould.flange:
        raise GeometryError(
            f"a flange {plain(mould.flange)} mm wide does not hold dowels of "
            f"{plain(mould.dowel_diameter)} mm",
            part=mould.part,
            step="flange",
            look_at=[key_of(p, mould, "flange"), key_of(p, mould, "dowel_diameter")],
        )
    sheet = sheet_of(split)
    inner = Polygon(sheet.flat(points_along(hole))).buffer(0)
    outer = Polygon(inner.buffer(mould.flange, quad_segs=64).exterior).simplify(ROUGH)
    middle = LineString(inner.buffer(mould.flange / 2, quad_segs=64).exterior.coords)
    dowels, pitch = spread(middle, mould.dowel_pitch, mould.dowel_diameter)
    low_along, low, aft, high = outer.bounds
    flats = (aft - FLAT * mould.flange, low + FLAT * mould.flange)
    squared = outer.intersection(box(low_along, flats[1], flats[0], high))
    return FlangePlan(sheet, orient(squared), hole, dowels, pitch, flats, split.near)


def spread(line: LineString, pitch: float, diameter: float) -> tuple[Floats, float]:
    """Return dowels (n, 2) along a closed line and their largest distance along it [mm].

    They are spread evenly but for one, so that turned over or round they fit in one way only.

    >>> ring = LineString([(0, 0), (900, 0), (900, 900), (0, 900), (0, 0)])
    >>> found, largest = spread(ring, 1000.0, 8.0)
    >>> len(found), largest
    (4, 912.0)
    """
    count = max(LEAST, ceil(line.length / pitch))
    while True:
        even = line.length / count
        off = min(ODD * diameter, ODD_SHARE * even)
        if even + off <= pitch:
            break
        count += 1
    every = [_dowels(line, count, off, more * even) for more in SHIFTS]
    # On an outline that is its own mirror image one odd dowel may stand on the axis of it.
    return next((at for at in every if not fits(at, diameter)), every[0]), even + off


def _dowels(line: LineString, count: int, off: float, first: float) -> Floats:
    """Return evenly spread dowels (n, 2), from a place [mm] along the line on, the first moved."""
    even = line.length / count
    at = [first + off, *(first + i * even for i in range(1, count))]
    return np.array([line.interpolate(s % line.length).coords[0] for s in at])


def fits(points: Floats, diameter: float) -> int:
    """Return in how many wrong ways points (n, 2) [mm] can be laid on themselves.

    >>> square = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]])
    >>> fits(square, 8.0), fits(square + [[17.0, 0.0], [0, 0], [0, 0], [0, 0]], 8.0)
    (7, 0)
    """
    apart = squareform(pdist(points))
    play, ways = 0.1 * diameter, 0
    for i in range(len(points)):
        for j in range(len(points)):
            if i == j or abs(apart[i, j] - apart[0, 1]) > play:
                continue
            for over in (False, True):
                right = (i, j, over) == (0, 1, False)
                ways += not right and _laid(points, i, j, over, play)
    return ways


def _laid(points: Floats, i: int, j: int, over: bool, play: float) -> bool:
    """Say whether points laid so that the first two come on `i` and `j` all meet one another."""
    z = points[:, 0] + 1j * points[:, 1]
    own = (z - z[0]) / (z[1] - z[0]) * abs(z[1] - z[0])
    way = (z[j] - z[i]) / abs(z[j] - z[i])
    laid = z[i] + way * (own.conj() if over else own)
    return bool(np.abs(laid[:, None] - z[None, :]).min(axis=1).max() < play)


def board(mould: Mould, split: Split, drawn: FlangePlan) -> TopoDS_Solid:
    """Return the flange behind the half on the side of the split's normal, in one solid."""
    thick, radius = mould.flange_thickness, mould.dowel_diameter / 2
    if not split.strips:
        return _prism(_face(drawn, radius), -thick * drawn.sheet.normal, mould.part)
    folds = _folds(split, drawn.sheet)
    if folds is None:
        return _bent(mould, split, drawn)
    flat = folded_plate(_face(drawn), folds, thick, mould.part)
    drilled = _drilled(flat, mould, drawn, folds)
    _require_volume(drilled, area(_face(drawn, radius)).value * thick, mould.part)
    return drilled


def _folds(split: Split, sheet: SplitPlane) -> Folds | None:
    """Return the folds of a split, straight across its plane; None where it twists instead."""
    rows = [split.strips[0].poles[:, 0], *(strip.poles[:, -1] for strip in split.strips)]
    off = np.array(rows) - sheet.origin
    places = np.stack([off @ sheet.along, off @ sheet.normal], axis=-1)
    if np.ptp(places, axis=1).max() > ACROSS or any(s.degree != 1 for s in split.strips):
        return None
    return Folds(sheet.origin, sheet.along, sheet.aside, sheet.normal, places[:, 0])


def _drilled(plate: TopoDS_Solid, mould: Mould, drawn: FlangePlan, folds: Folds) -> TopoDS_Solid:
    """Return a folded plate with its dowel holes, square to the plane of the split."""
    centres = drawn.sheet.space(drawn.dowels)
    steepest = max(abs(folds.slope(facet)) for facet in range(len(folds.at) - 1))
    past = (1 + steepest) * mould.dowel_diameter
    length = mould.flange_thickness + 2 * past
    knives = []
    for centre in centres:
        along = float(folds.along_of(centre[None])[0])
        top = folds.lifted(centre[None], folds.facet_of(along))[0] + past * drawn.sheet.normal
        knives.append(
            cylinder(vec(top), vec(-drawn.sheet.normal), mould.dowel_diameter / 2, length)
        )
    return cut(plate, knives, mould.part, "dowel holes")


def _bent(mould: Mould, split: Split, drawn: FlangePlan) -> TopoDS_Solid:
    """Return the board behind a sheet that twists: the share of it that lies over the plan."""
    behind = -mould.flange_thickness * drawn.sheet.normal
    face = _face(drawn, mould.dowel_diameter / 2)
    heights = [
        (s.poles.reshape(-1, 3) - drawn.sheet.origin) @ drawn.sheet.normal for s in split.strips
    ]
    reach = float(np.abs(np.concatenate(heights)).max()) + 2 * mould.flange_thickness
    low = drawn.sheet.normal * reach
    tall = _prism(moved_face(face, vec(-low)), 2 * low, mould.part)
    plate = slab(split.strips, vec(behind), mould.part)
    pieces = common(plate, tall, mould.part, "bent flange")
    if len(pieces) != 1:
        raise GeometryError(
            f"the bent flange falls into {len(pieces)} pieces", part=mould.part, step="flange"
        )
    return pieces[0]


def _face(drawn: FlangePlan, radius: float | None = None) -> TopoDS_Face:
    """Return the face of the plan, dowel holes of a radius [mm] in it; None: no holes."""
    sheet = drawn.sheet
    corners = np.array(drawn.outer.exterior.coords)[:-1]
    outer = smooth_wire(sheet.space(corners))
    drilled = [] if radius is None else [vec(at) for at in sheet.space(drawn.dowels)]
    plane = Plane(vec(sheet.origin), vec(sheet.normal))
    return pierced_face(plane, outer, [drawn.hole], drilled, radius or 0.0)


def _prism(face: TopoDS_Face, by: Floats, part: str) -> TopoDS_Solid:
    """Return the prism on a face, proved by its volume: area times height."""
    solid = plate(face, vec(by))
    _require_volume(solid, area(face).value * float(np.linalg.norm(by)), part)
    return solid


def _require_volume(solid: TopoDS_Solid, wanted: float, part: str) -> None:
    if abs(volume(solid).value - wanted) > PROOF * wanted:
        raise GeometryError("the board does not hold its volume", part=part, step="flange")


def hole_volume(diameter: float, depth: float) -> float:
    """Return the volume [mm3] of a drilled hole.

    >>> round(hole_volume(2.0, 1.0), 6)
    3.141593
    """
    return pi / 4 * diameter**2 * depth
