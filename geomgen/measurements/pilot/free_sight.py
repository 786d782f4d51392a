"""How far the sight is free about the horizon: angles that what stands in a plane bars."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import atan2, degrees, hypot
from typing import Any

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.second_library import cross_section

# What is this near before the eye is not looked at [mm]; a slit of less than this counts as barred
# [deg] (own choice).
EYE, SLIT = 1.0, 0.5
# Angles that differ by less are alike [deg].
ALIKE = 1e-6
# So many parts are kept cut.
KEPT = 32
FREE = 90.0


@dataclass(frozen=True)
class Hull:
    """A part that may bar the sight: its name, the second library's mesh, its deviation [mm]."""

    name: str
    mesh: Any
    deviation: float


@dataclass(frozen=True)
class SightEdge:
    """An angle off the horizon [deg], its error bound [deg], the part and the place that bar.

    `short` is how far off the horizon the free sight begins [deg], where that itself is barred.
    """

    angle: float
    bound: float
    part: str = ""
    at: Vec3 | None = None
    short: float = 0.0


@dataclass(frozen=True)
class Barred:
    """What one piece of a part bars: from `low` to `high`, counted up from the horizon."""

    low: SightEdge
    high: SightEdge


def barred_in(hulls: Iterable[Hull], frame: Frame, eye: Vec3, way: float) -> Iterator[Barred]:
    """Yield what the parts bar in an upright plane through the eye [mm], to one side of it.

    `way` is 1 or -1: where the plane's own direction across leads, or the other way.
    """
    start, level = frame.flat([eye])[0]
    ahead = shapely.box(EYE, -1e6, 1e6, 1e6)
    for hull in hulls:
        section = shapely.Polygon()
        for ring in cross_section(hull.mesh, frame).to_polygons():
            seen = (np.asarray(ring) - (start, level)) * (way, 1.0)
            piece = shapely.make_valid(shapely.Polygon(seen))
            section = section.symmetric_difference(piece)
        for piece in shapely.get_parts(section.intersection(ahead)):
            corners = shapely.get_coordinates(piece)
            if len(corners):
                yield _barred(hull, frame, corners, (start, level, way))


def _barred(hull: Hull, frame: Frame, seen: Floats, origin: tuple[float, float, float]) -> Barred:
    start, level, way = origin
    edges = []
    for u, z in seen.tolist():
        bound = degrees(hull.deviation / max(hypot(u, z), hull.deviation))
        at = frame.lifted((start + way * u, level + z))
        edges.append(SightEdge(degrees(atan2(z, u)), bound, hull.name, at))
    return Barred(min(edges, key=_angle), max(edges, key=_angle))


def _angle(edge: SightEdge) -> float:
    return edge.angle


def free_about(pieces: Sequence[Barred]) -> tuple[SightEdge, SightEdge]:
    """Return how far the sight is free below and above the horizon [deg].

    Of the free gap that holds the horizon, or is nearest to it: where the horizon itself is barred
    one of the two is negative, for the gap ends so far short of it. Both are -90 where there is no
    gap at all.

    >>> edge = lambda angle: SightEdge(angle, 0.1)
    >>> sill, wing = Barred(edge(-90.0), edge(-30.0)), Barred(edge(12.0), edge(20.0))
    >>> [round(found.angle, 6) for found in free_about([sill, wing])]
    [30.0, 12.0]
    >>> [round(found.angle, 6) for found in free_about([Barred(edge(-5.0), edge(20.0))])]
    [90.0, -5.0]
    """
    found = _ends(pieces, 0.0)
    narrow, wide = _ends(pieces, 1.0), _ends(pieces, -1.0)
    down, up = (
        replace(mean, bound=max(abs(mean.angle - less.angle), abs(mean.angle - more.angle)))
        for mean, less, more in zip(found, narrow, wide, strict=True)
    )
    return down, up


def _ends(pieces: Sequence[Barred], grown: float) -> tuple[SightEdge, SightEdge]:
    """Return the ends of the free gap nearest the horizon; pieces wider by `grown` bounds."""
    below, above = SightEdge(-FREE, 0.0), SightEdge(FREE, 0.0)
    spans = _merged(pieces, grown)
    lows = [below, *(last for _, last in spans)]
    highs = [*(first for first, _ in spans), above]
    gaps = [
        (low, high) for low, high in zip(lows, highs, strict=True) if high.angle - low.angle >= SLIT
    ]
    if not gaps:
        first, last = spans[0][0], spans[-1][1]
        return SightEdge(-FREE, 0.0, last.part, last.at), replace(first, angle=-FREE)
    low, high = min(gaps, key=lambda gap: max(gap[0].angle, -gap[1].angle))
    return replace(low, angle=-low.angle), high


def _merged(pieces: Sequence[Barred], grown: float) -> list[tuple[SightEdge, SightEdge]]:
    spans = [(_moved(piece.low, -grown), _moved(piece.high, grown)) for piece in pieces]
    spans.sort(key=lambda span: span[0].angle)
    made: list[tuple[SightEdge, SightEdge]] = []
    for first, last in spans:
        if made and first.angle < made[-1][1].angle + SLIT:
            made[-1] = (made[-1][0], max(made[-1][1], last, key=_angle))
        else:
            made.append((first, last))
    return made


def _moved(edge: SightEdge, by: float) -> SightEdge:
    angle = min(max(edge.angle + by * edge.bound, -FREE), FREE)
    return SightEdge(angle, 0.0, edge.part, edge.at)


@lru_cache(maxsize=KEPT)
def _ahead(mesh: Any, offset: float) -> Any:
    """Return what of a mesh is ahead of a plane [mm]; the last are kept, for the other side."""
    return mesh.trim_by_plane((-1.0, 0.0, 0.0), offset)


def free_bank(hulls: Iterable[Hull], eye: Vec3, side: float) -> SightEdge:
    """Return the least bank [deg] at which a part bars the horizon on the inside of a turn.

    `side` is 1 for a turn to the right, -1 to the left. From straight ahead to square to the side:
    the horizon is then the plane through the flight path that leans by the bank, so the part's
    outline along the flight path is what counts, and its corners decide. 90 where none bars.
    """
    found = []
    for hull in hulls:
        part = _ahead(hull.mesh, EYE - eye[0])
        for normal, offset in (
            ((0.0, side, 0.0), side * eye[1] + EYE),
            ((0.0, 0.0, 1.0), eye[2]),
        ):
            part = part.trim_by_plane(normal, offset)
        for x, y, z in np.asarray(part.to_mesh64().vert_properties)[:, :3].tolist():
            out, up = side * (y - eye[1]), max(z - eye[2], 0.0)
            bound = degrees(hull.deviation / max(hypot(out, up), hull.deviation))
            found.append(SightEdge(degrees(atan2(up, out)), bound, hull.name, (x, y, z)))
    if not found:
        return SightEdge(FREE, 0.0)
    least = min(edge.angle for edge in found)
    # Along a horizon that is barred all corners are alike: the one that is known best counts.
    first = min((e for e in found if e.angle <= least + ALIKE), key=lambda edge: edge.bound)
    # What stands nearer the eye may have a wider bound and be the least; none is below the horizon.
    lowest = max(min(edge.angle - edge.bound for edge in found), 0.0)
    return replace(first, bound=max(first.bound, first.angle - lowest))
