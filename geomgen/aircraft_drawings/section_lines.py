"""A plane's cut through named parts as lines on paper: outlines as lines and arcs, hatching."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import CENTRE, HATCH, SECTION, Path, Point, line
from geomgen.kernel.sections.section import CutRegion, PlaneCut

# Lines and arcs follow the points of an outline so nearly [mm].
FIT = 0.05
# Hatching on paper [mm]: a piece thinner than THIN is left as a double line, one thinner than
# THICK is hatched closely; common practice.
THIN, THICK = 1.0, 4.0
CLOSE, WIDE = 0.9, 2.2
# Directions by turns [deg], so that parts that touch can be told apart (ISO 128-3).
ANGLES = (45.0, 135.0, 30.0, 120.0, 60.0, 150.0)
# What runs along the border where a drawing breaks off lies so near to it [mm].
BORDER = 1e-6


@dataclass(frozen=True)
class Window:
    """The part of a plane that is drawn, by two corners [mm]."""

    low: Point
    high: Point

    def box(self) -> shapely.Polygon:
        """Return it as a polygon."""
        return shapely.box(*self.low, *self.high)

    def grown(self, by: float) -> "Window":
        """Return it larger by so much [mm] all round."""
        (a, b), (c, d) = self.low, self.high
        return Window((a - by, b - by), (c + by, d + by))


def words(name: str) -> str:
    """Return a part's name in words.

    >>> words("tail_fairing")
    'tail fairing'
    """
    return name.replace("_", " ")


def section_paths(
    cut: PlaneCut, over: int, limits: Window | None = None, phantom: tuple[str, ...] = ()
) -> tuple[Path, ...]:
    """Return outlines and hatching of all parts of a cut, for a drawing at 1:`over`.

    Parts in `phantom` are drawn as centre lines without hatching. Outside of `limits` nothing is
    drawn, and no line where the drawing breaks off.

    >>> from geomgen.kernel.sections.section import plane_cut
    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.brep.primitives import box
    >>> cut = plane_cut(at_station(5.0), {"block": box((0, 0, 0), (10, 20, 30))})
    >>> [path.area() for path in section_paths(cut, 10) if path.layer == SECTION]
    [600.0]
    """
    found: list[Path] = []
    for turn, (name, regions) in enumerate(cut.parts.items()):
        layer = CENTRE if name in phantom else SECTION
        for region in regions:
            found += outlines(region, layer, name, limits)
            if name not in phantom:
                found += hatching(region, over, ANGLES[turn % len(ANGLES)], name, limits)
    return tuple(found)


def outlines(region: CutRegion, layer: str, name: str, limits: Window | None = None) -> list[Path]:
    """Return the outlines of one piece, closed, or open where the limits break them off."""
    shape = region.polygon()
    if limits is None or limits.box().contains(shape):
        loops = (region.outer, *region.holes)
        return [fitted(loop.points, FIT, True, loop.corners, layer, name) for loop in loops]
    found = []
    for loop in (region.outer, *region.holes):
        closed = np.vstack([loop.points, loop.points[:1]])
        inside = shapely.line_merge(shapely.intersection(shapely.LineString(closed), limits.box()))
        for run in _lines_in(inside):
            found.append(fitted(np.asarray(run.coords), FIT, False, (), layer, name))
    return found


def hatching(
    region: CutRegion, over: int, angle: float, name: str, limits: Window | None = None
) -> list[Path]:
    """Return a piece's hatching at an angle [deg], none where it is too thin on paper for any."""
    shape = region.polygon()
    thick = 2 * shape.area / shape.length / over
    if thick < THIN:
        return []
    if limits is not None:
        shape = shapely.intersection(shape, limits.box())
    step = (CLOSE if thick < THICK else WIDE) * over
    turn = math.radians(angle)
    along, across = (
        np.array([math.cos(turn), math.sin(turn)]),
        np.array([-math.sin(turn), math.cos(turn)]),
    )
    if shape.is_empty:
        return []
    corners = np.array(shapely.box(*shape.bounds).exterior.coords)
    s, t = corners @ along, corners @ across
    rows = np.arange(math.ceil(t.min() / step), math.floor(t.max() / step) + 1) * step
    rays = shapely.MultiLineString(
        [[along * s.min() + across * r, along * s.max() + across * r] for r in rows]
    )
    return [
        line(_point(run.coords[0]), _point(run.coords[-1]), HATCH, name)
        for run in _lines_in(shapely.intersection(rays, shape))
    ]


def spans(shape: Any, a: Point, b: Point) -> list[tuple[Point, Point]]:
    """Return the pieces of a line from a to b [mm] that lie in a shape, in their order.

    >>> spans(shapely.box(0.0, 0.0, 2.0, 2.0), (-1.0, 1.0), (5.0, 1.0))
    [((0.0, 1.0), (2.0, 1.0))]
    """
    inside = shapely.intersection(shapely.LineString([a, b]), shape)
    runs = [(_point(run.coords[0]), _point(run.coords[-1])) for run in _lines_in(inside)]
    ordered = [(p, q) if math.dist(a, p) < math.dist(a, q) else (q, p) for p, q in runs]
    return sorted(ordered, key=lambda run: math.dist(a, run[0]))


def _point(at: Any) -> Point:
    return (float(at[0]), float(at[1]))


def _lines_in(shape: Any) -> list[Any]:
    parts = getattr(shape, "geoms", [shape])
    return [p for p in parts if p.geom_type == "LineString" and p.length > BORDER]
