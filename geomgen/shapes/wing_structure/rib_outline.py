"""The flat shape of a rib: aerofoil less skin, notched for the spars, with lightening holes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LinearRing, Polygon

from geomgen.arrays import Floats

# Less than this left over a spar is no bridge: the notch goes through to the skin [mm]; a piece
# smaller than this [mm2] is an offcut. Own choice.
BRIDGE, OFFCUT = 5.0, 300.0
# Points this near each other are one [mm].
TWICE = 1e-3
# A notch is so much wider than asked for [mm], so that no rounding makes it narrower.
WIDER = 0.01
# At most so many holes in a piece.
MOST = 12
FAR = 1e5


@dataclass(frozen=True)
class RibShape:
    """A piece of a rib in its plane (x, u) [mm]: its outline, round holes as (x, u, radius)."""

    outline: Polygon
    holes: tuple[tuple[float, float, float], ...] = ()


def blank(insets: Sequence[Floats], least_depth: float) -> Polygon:
    """Return what lies within all outlines (n, 2) [mm], the tail cut off where it is too thin.

    Empty where nothing is left.
    """
    found = _largest(shapely.make_valid(Polygon(insets[0])))
    for inset in insets[1:]:
        found = _largest(found.intersection(_largest(shapely.make_valid(Polygon(inset)))))
    if found.is_empty:
        return found
    low, _, high, _ = found.bounds
    middle = (low + high) / 2
    for x in np.linspace(high, middle, 400):
        if _depth(found, float(x)) >= least_depth:
            return _largest(found.intersection(shapely.box(-FAR, -FAR, float(x), FAR)))
    return Polygon()


def _depth(shape: Polygon, x: float) -> float:
    return float(shape.intersection(shapely.LineString([(x, -FAR), (x, FAR)])).length)


def notched(shape: Polygon, spars: Sequence[Floats], gap: float, thickness: float) -> list[Polygon]:
    """Return the pieces that notches leave, from fore to aft, `gap` [mm] off each spar.

    `spars` are the corners (2, n, 2) [mm] of each spar in both faces of the rib, `thickness` [mm]
    apart: square to a spar that stands aslant the gap is narrower than in the rib's plane.
    """
    rest = shape
    for corners in spars:
        slope = float(np.linalg.norm(corners[1] - corners[0], axis=1).max()) / thickness
        flat = gap * float(np.hypot(1.0, slope)) + WIDER
        rest = rest.difference(_notch(rest, corners.reshape(-1, 2), flat))
    pieces = [p for p in _polygons(rest) if p.area >= OFFCUT]
    return sorted(pieces, key=lambda piece: piece.bounds[0])


def _notch(shape: Polygon, corners: Floats, gap: float) -> Polygon:
    hull = shapely.MultiPoint(corners).convex_hull
    wide = hull.buffer(gap, quad_segs=24) if len(corners) > 8 else hull.buffer(gap, join_style=2)
    low, bottom, high, top = wide.bounds
    over = shape.intersection(shapely.box(low, bottom - FAR, high, top + FAR))
    # What is left above or below, where there is least of it.
    above = over.intersection(shapely.box(low, top, high, FAR))
    below = over.intersection(shapely.box(low, -FAR, high, bottom))
    if _thin(above, low, high):
        wide = wide.union(shapely.box(low, (bottom + top) / 2, high, FAR))
    if _thin(below, low, high):
        wide = wide.union(shapely.box(low, -FAR, high, (bottom + top) / 2))
    return wide


def _thin(strip: shapely.Geometry, low: float, high: float) -> bool:
    return any(_depth(strip, float(x)) < BRIDGE for x in np.linspace(low, high, 9)[1:-1])


def lightened(piece: Polygon, web: float, least: float) -> tuple[tuple[float, float, float], ...]:
    """Return round holes (x, u, radius) [mm], each the largest that leaves `web` [mm] all round.

    From the edge, from notches and from one hole to the next; none of a smaller diameter than
    `least` [mm].
    """
    free = piece.buffer(-web)
    holes: list[tuple[float, float, float]] = []
    while len(holes) < MOST and not free.is_empty:
        best = max(_circles(free), key=lambda hole: hole[2])
        if 2 * best[2] < least:
            break
        holes.append(best)
        taken = shapely.Point(best[0], best[1]).buffer(best[2] + web, quad_segs=32)
        free = free.difference(taken)
    return tuple(sorted(holes))


def _circles(free: shapely.Geometry) -> list[tuple[float, float, float]]:
    found = []
    for part in _polygons(free):
        line = shapely.maximum_inscribed_circle(part, tolerance=0.05)
        x, u = shapely.get_coordinates(line)[0].tolist()
        found.append((x, u, float(part.exterior.distance(shapely.Point(x, u)))))
    return found or [(0.0, 0.0, 0.0)]


def ring_points(ring: LinearRing) -> Floats:
    """Return the points (n, 2) [mm] of a ring, none twice and none nearly so."""
    points = shapely.get_coordinates(ring)[:-1]
    step = np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1)
    return np.asarray(points[step > TWICE])


def _polygons(shape: shapely.Geometry) -> list[Polygon]:
    return [g for g in shapely.get_parts(shape).tolist() if g.geom_type == "Polygon"]


def _largest(shape: shapely.Geometry) -> Polygon:
    return max(_polygons(shape), key=lambda piece: piece.area, default=Polygon())
