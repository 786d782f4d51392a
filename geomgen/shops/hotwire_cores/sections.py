"""The skins of a wing panel, taken from the finished solid, and its sections across the span."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, of_surface
from geomgen.kernel.lofting.surfaces import face_of, spline_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import at_buttock_line
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.properties import face_area
from geomgen.shops.wing_parts import bare_spans

if TYPE_CHECKING:
    from OCP.Geom import Geom_BSplineSurface

Span = tuple[float, float]

# Points along the upper, and along the lower side of a section.
ALONG = 401
# How far apart [mm] two places may lie and still be the same.
COINCIDENT = 1e-4
# A cut edge of another part's is passed at this distance [mm].
CLEAR = 2.0
# A section is looked at so far [mm] inside its panel, where no end face lies in the plane.
INSIDE = 0.5
# Largest share by which the section of the solid may differ from the one between its skins.
ALIKE = 1e-4
STEP = "wing cores"


@dataclass(frozen=True)
class Skin:
    """One skin of a panel: straight across the span, which runs from `y0` to `y1` [mm].

    `across` says which of the surface's two parameters runs along the span; `limits` (2, 2) are
    the lowest and highest values of both.
    """

    surface: "Geom_BSplineSurface"
    points: SurfacePoints
    across: int
    limits: Floats
    y0: float
    y1: float

    def parameters(self, buttock_line: float, count: int = ALONG) -> Floats:
        """Return parameters (count, 2) along the section at a signed buttock line [mm]."""
        share = (buttock_line - self.y0) / (self.y1 - self.y0)
        uv = np.empty((count, 2))
        low, high = self.limits[1 - self.across]
        uv[:, 1 - self.across] = np.linspace(low, high, count)
        low, high = self.limits[self.across]
        uv[:, self.across] = low + share * (high - low)
        return uv

    def curve(self, buttock_line: float, count: int = ALONG) -> tuple[Floats, Floats]:
        """Return points and unit normals (count, 3), of either sense, along a section [mm]."""
        at, along, over = self.points.at(self.parameters(buttock_line, count), 1)
        normal = np.cross(along, over)
        return at, normal / np.linalg.norm(normal, axis=1)[:, None]


@dataclass(frozen=True)
class Run:
    """One side of a section from the nose to the tail: points (n, 3) [mm], outward unit normals."""

    points: Floats
    normals: Floats


@dataclass(frozen=True)
class CoreSection:
    """The wing's section in the plane of a signed buttock line [mm]."""

    buttock_line: float
    upper: Run
    lower: Run

    @property
    def nose(self) -> Vec3:
        """Return the leading edge [mm], where upper and lower side meet."""
        x, y, z = self.upper.points[0]
        return (float(x), float(y), float(z))

    @property
    def tail(self) -> Vec3:
        """Return the middle of the trailing edge [mm]."""
        x, y, z = 0.5 * (self.upper.points[-1] + self.lower.points[-1])
        return (float(x), float(y), float(z))

    @property
    def chord(self) -> float:
        """Return the chord [mm]."""
        return float(np.linalg.norm(np.array(self.tail) - np.array(self.nose)))

    @property
    def angle(self) -> float:
        """Return the angle of the chord to the waterlines [deg], nose up positive."""
        (x0, _, z0), (x1, _, z1) = self.nose, self.tail
        return float(np.degrees(np.arctan2(z0 - z1, x1 - x0)))

    def ring(self) -> Floats:
        """Return the outline (n, 2) in stations and waterlines [mm]."""
        return np.concatenate([self.upper.points, self.lower.points[:0:-1]])[:, [0, 2]]


@dataclass(frozen=True)
class Panel:
    """The skins of one panel on one side: upper, lower and the blunt trailing edge.

    `number` counts from 1 at the centre plane; `side` is 1 on the right, -1 on the left; `low` and
    `high` are its inner and outer buttock line without sign [mm].
    """

    number: int
    side: int
    low: float
    high: float
    upper: Skin
    lower: Skin
    edge: Skin

    @property
    def hand(self) -> str:
        """Return right or left."""
        return "right" if self.side > 0 else "left"

    def section(self, buttock_line: float) -> CoreSection:
        """Return the section at a buttock line without sign [mm]."""
        y = self.side * buttock_line
        edge = self.edge.curve(y, 3)[0]
        upper = _run(self.upper.curve(y), edge, True)
        lower = _run(self.lower.curve(y), edge, False)
        if np.linalg.norm(upper.points[0] - lower.points[0]) > COINCIDENT:
            raise _strange(self.number, "its upper and lower side do not meet at the nose")
        return CoreSection(y, upper, lower)

    def area(self, low: float, high: float) -> float:
        """Return the area [mm2] of all three skins between two buttock lines without sign."""
        total = 0.0
        for skin in (self.upper, self.lower, self.edge):
            ends = [skin.parameters(self.side * y, 2)[0, skin.across] for y in (low, high)]
            limits = skin.limits.copy()
            limits[skin.across] = min(ends), max(ends)
            part: Any = skin.surface.Copy()
            part.Segment(*(float(value) for value in limits.ravel()))
            total += face_area(face_of(part)).value
        return total


def panel(wing: TopoDS_Shape, number: int, side: int, low: float, high: float) -> Panel:
    """Return the skins of the wing between two of its sections.

    `low` and `high` are buttock lines without sign [mm]; GeometryError when the solid has no upper
    skin, lower skin and trailing edge there.
    """
    skins: list[Skin] = []
    for face in faces_of(wing):
        skin = _skin(face)
        wanted = sorted((side * low, side * high))
        if skin is None or max(np.abs(np.sort([skin.y0, skin.y1]) - wanted)) > COINCIDENT:
            continue
        ends = skin.curve(skin.y0, 2)[0]
        if not any(
            np.abs(ends - other.curve(other.y0, 2)[0]).max() < COINCIDENT for other in skins
        ):
            skins.append(skin)
    if len(skins) != 3:
        raise _strange(number, f"it has {len(skins)} skins across its span, not three")
    skins.sort(key=_length)
    edge, a, b = skins
    middle = [float(skin.curve(skin.y0)[0][:, 2].mean()) for skin in (a, b)]
    upper, lower = (a, b) if middle[0] > middle[1] else (b, a)
    return Panel(number, side, low, high, upper, lower, edge)


def _skin(face: TopoDS_Face) -> Skin | None:
    """Return a face's surface as a skin, None when it does not run straight across the span."""
    surface = spline_of(face)
    if surface is None:
        return None
    u0, u1, v0, v1 = surface.Bounds()
    limits = np.array([[u0, u1], [v0, v1]])
    points = of_surface(surface)
    corners = points.at(np.array([[u0, v0], [u1, v0], [u0, v1], [u1, v1]]))[0]
    for across, degree in ((1, surface.VDegree()), (0, surface.UDegree())):
        start, other, end = (corners[i, 1] for i in ((0, 1, 2) if across else (0, 2, 1)))
        if degree == 1 and abs(start - other) < COINCIDENT and abs(end - start) > 1.0:
            return Skin(surface, points, across, limits, float(start), float(end))
    return None


def _length(skin: Skin) -> float:
    points = skin.curve(skin.y0)[0]
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def _run(curve: tuple[Floats, Floats], edge: Floats, upper: bool) -> Run:
    """Return a side from nose to tail with its normals outward."""
    points, normals = curve
    far = [min(float(np.linalg.norm(points[i] - end)) for end in edge) for i in (0, -1)]
    if far[0] < far[1]:
        points, normals = points[::-1], normals[::-1]
    # From the nose aft the outside lies on the left of the upper side, on the right of the lower.
    step = points[-1] - points[-2]
    left = np.array([-step[2], 0.0, step[0]]) * (1 if upper else -1)
    return Run(points, normals if normals[-1] @ left > 0 else -normals)


def _strange(number: int, problem: str) -> GeometryError:
    return GeometryError(
        f"panel {number}: {problem}", part="wing", step=STEP, look_at=["wing.sections", "joints"]
    )


def cut_away(wing: TopoDS_Shape, wanted: Panel) -> list[Span]:
    """Return where something else was cut out of a panel: spans of buttock lines without sign.

    Where a joint cut the wing apart they are also those at which none of it is left.
    """
    low, high = sorted((wanted.side * wanted.low, wanted.side * wanted.high))
    spans = bare_spans(wing, wanted.side, wanted.low, wanted.high)
    for _, box in cut_faces(wing, wanted.side, wanted.low, wanted.high):
        ends = sorted(abs(min(max(y, low), high)) for y in (box.low[1], box.high[1]))
        spans.append((ends[0], ends[1]))
    merged: list[Span] = []
    for span in sorted(spans):
        if merged and span[0] <= merged[-1][1] + COINCIDENT:
            merged[-1] = (merged[-1][0], max(merged[-1][1], span[1]))
        else:
            merged.append(span)
    return merged


def cut_faces(
    wing: TopoDS_Shape, side: int, inner: float, outer: float
) -> list[tuple[TopoDS_Face, Box]]:
    """Return the faces, with boxes, that are no skin between buttock lines without sign [mm]."""
    low, high = sorted((side * inner, side * outer))
    every = ((face, loose_box(face)) for face in faces_of(wing))
    return [(face, box) for face, box in every if _skin(face) is None and _crosses(box, low, high)]


def _crosses(box: Box, low: float, high: float) -> bool:
    """Say whether a face lies within the panel and not just in one of its end planes."""
    flat = box.high[1] - box.low[1] < COINCIDENT
    inside = box.high[1] > low + COINCIDENT and box.low[1] < high - COINCIDENT
    return inside and not (flat and min(abs(box.low[1] - low), abs(box.low[1] - high)) < COINCIDENT)


def clean_ends(wanted: Panel, spans: list[Span]) -> Span:
    """Return the buttock lines [mm] at which a panel's templates can be taken.

    They are its ends, or the next place inward past whatever was cut away there.
    """
    low, high = _past(wanted, spans)
    if high - low < 10 * CLEAR:
        raise _strange(wanted.number, "other parts leave no clean section of it")
    return low, high


def _past(wanted: Panel, spans: list[Span]) -> Span:
    low, high = wanted.low, wanted.high
    for a, b in spans:
        low = b + CLEAR if a - CLEAR < low < b + CLEAR else low
    for a, b in reversed(spans):
        high = a - CLEAR if a - CLEAR < high < b + CLEAR else high
    return low, high


def takes_away(wing: TopoDS_Shape, number: int, low: float, high: float) -> bool:
    """Say whether a joint that cut the wing apart leaves too little of a panel for a core.

    The panel runs from buttock line `low` to `high` [mm].
    """
    return all(_taken(wing, number, side, low, high) for side in (1, -1))


def _taken(wing: TopoDS_Shape, number: int, side: int, low: float, high: float) -> bool:
    bare = bare_spans(wing, side, low, high)
    if not bare or bare == [(low, high)]:
        return bool(bare)
    wanted = panel(wing, number, side, low, high)
    a, b = _past(wanted, cut_away(wing, wanted))
    return b - a < 10 * CLEAR


def proved(wing: TopoDS_Shape, wanted: Panel, buttock_line: float) -> float:
    """Return by which share [1] the solid's own section differs from the one between the skins.

    The kernel cuts the solid with a plane just inside of `buttock_line` [mm]; GeometryError when
    both differ, for then something stands in the section that the skins do not know.
    """
    middle = 0.5 * (wanted.low + wanted.high)
    at = buttock_line + np.sign(middle - buttock_line) * INSIDE
    section = wanted.section(float(at))
    cut = regions(at_buttock_line(section.buttock_line), wing, "wing")
    area = sum(region.area for region in cut)
    ring = shapely.Polygon(section.ring())
    share = abs(area / float(ring.area) - 1)
    if share > ALIKE or len(cut) != 1:
        raise _strange(
            wanted.number, f"the solid's section at BL {at:.1f} mm is not the one between its skins"
        )
    return share
