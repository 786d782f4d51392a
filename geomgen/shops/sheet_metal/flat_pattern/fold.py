"""The flat pattern folded up again, as a shop would bend it: from the drawing's lines alone.

Nothing is taken from how the pattern was made but its cut line, its bend lines and the angle, the
radius and the neutral line that the bender is told.
"""

from dataclasses import dataclass
from math import radians

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.record import Path
from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab

# Places across a tab and out to its edge, and steps along its outline [mm].
GRID = (9, 7)
STEP = 2.0
ARC = 0.01
# Places along a side of a bend.
RISE = 17


@dataclass(frozen=True)
class FoldedTab:
    """A tab bent up [mm], as points in space (n, 3) in the order of its outline.

    `outside` and `inside` are the outline on either face; `face` are places all over the flat part
    of its outside, `edge` those of its far edge; `first` and `last` are its sides from the end of
    the bend to the edge, counter-clockwise round the sheet, `risen` both as far as they bend;
    `away` is the normal of the flat part's outside.
    """

    number: int
    outside: Floats
    inside: Floats
    face: Floats
    edge: Floats
    first: Floats
    last: Floats
    risen: tuple[Floats, Floats]
    away: Floats


def folded(pattern: FlatPattern, bending: Bending | None = None) -> list[FoldedTab]:
    """Return the tabs of a pattern bent up, with another bending than it was made for if given."""
    bent = bending or pattern.bending
    blank = shapely.Polygon(pattern.cut.dense(ARC))
    bends = {path.name: path for path in pattern.bends}
    return [_folded(pattern, blank, bends[f"bend {tab.number}"], tab, bent) for tab in pattern.tabs]


def _folded(
    pattern: FlatPattern, blank: shapely.Polygon, bend: Path, tab: Tab, bending: Bending
) -> FoldedTab:
    first, last = (np.array(p) for p in bend.points)
    along = (last - first) / np.linalg.norm(last - first)
    out = np.array([along[1], -along[0]])
    start = (first + last) / 2 - bending.allowance(tab.angle) / 2 * out
    region = _region(blank, start, out, float(np.linalg.norm(last - first)), tab.number)
    outline = shapely.get_coordinates(shapely.segmentize(region.exterior, STEP))
    places = (outline - start) @ np.stack([along, out], axis=-1)
    flat = places[places[:, 1] >= bending.allowance(tab.angle) - 1e-9]
    spots = np.concatenate([flat, _inside(region, places, start, (along, out))])
    spots = spots[spots[:, 1] >= bending.allowance(tab.angle) - 1e-9]
    edge = places[places[:, 1] >= places[:, 1].max() - 1e-6]

    def bent(at: Floats, depth: float) -> Floats:
        q, h = rolled(at[:, 1], tab.angle, bending, depth)
        uv = start + at[:, :1] * along + q[:, None] * out
        return pattern.sheet.frame.space(np.column_stack([uv, pattern.sheet.mould + h]))

    depth = bending.allowance(tab.angle)
    sides = [_beside(places, edge, way) for way in (-1.0, 1.0)]
    rises = [_rise(side, depth) for side in sides]
    flats = [
        np.concatenate([rise[-1:], side[side[:, 1] > depth]])
        for rise, side in zip(rises, sides, strict=True)
    ]
    turn = radians(tab.angle)
    axes = pattern.sheet.frame.axes()
    away = np.sin(turn) * (out @ axes[:2]) - np.cos(turn) * axes[2]
    return FoldedTab(
        tab.number,
        bent(places, 0.0),
        bent(places, bending.thickness),
        bent(spots, 0.0),
        bent(edge, 0.0),
        bent(flats[0], 0.0),
        bent(flats[1], 0.0),
        (bent(rises[0], 0.0), bent(rises[1], 0.0)),
        np.asarray(away),
    )


def _beside(places: Floats, edge: Floats, way: float) -> Floats:
    """Return the places (k, 2) on one side of a tab, from the bend outward."""
    high = places[:, 1].max()
    middle = edge[:, 0].mean() * places[:, 1] / high
    side = places[way * (places[:, 0] - middle) > 0]
    ends = [side[side[:, 1] <= 1e-6], side[side[:, 1] >= high - 1e-6]]
    between = side[(side[:, 1] > 1e-6) & (side[:, 1] < high - 1e-6)]
    corners = [end[(way * end[:, 0]).argmax()][None] for end in ends]
    return np.concatenate([corners[0], between[between[:, 1].argsort()], corners[1]])


def rolled(flat: Floats, angle: float, bending: Bending, depth: float) -> tuple[Floats, Floats]:
    """Return how far out and how high (n,) lengths beyond the start of a bend come to lie [mm].

    `depth` is that below the outside of the bend; heights count from the outside of the sheet.

    >>> bending = Bending(1.0, 2.0, 0.5)
    >>> q, h = rolled(np.array([2.5 * np.pi / 2 + 10.0]), 90.0, bending, 0.0)
    >>> [round(float(x), 9) for x in (q[0], h[0])]  # R + t out, R + t + 10 up
    [3.0, 13.0]
    """
    whole, neutral = radians(angle), bending.radius + bending.k * bending.thickness
    around = bending.radius + bending.thickness - depth
    turn = np.clip(flat / neutral, 0.0, whole)
    rest = flat - turn * neutral
    out = around * np.sin(turn) + rest * np.cos(turn)
    up = bending.radius + bending.thickness - around * np.cos(turn) + rest * np.sin(turn)
    return np.asarray(out), np.asarray(up)


def _region(
    blank: shapely.Polygon, start: Floats, out: Floats, length: float, number: int
) -> shapely.Polygon:
    """Return the piece of the blank beyond the start of a bend that holds the bend's middle."""
    along = np.array([-out[1], out[0]])
    far = length + 0.5 * float(np.ptp(np.array(blank.exterior.coords), axis=0).min())
    half = 0.75 * length
    corners = [
        start + a * half * along + q * out for a, q in ((-1, 0), (-1, far), (1, far), (1, 0))
    ]
    pieces = shapely.intersection(blank, shapely.Polygon(corners))
    middle = shapely.Point(*(start + 1e-3 * out))
    for piece in getattr(pieces, "geoms", [pieces]):
        if isinstance(piece, shapely.Polygon) and piece.distance(middle) < 1e-6:
            return piece
    raise GeometryError(f"bend {number} lies outside of the blank", part="firewall", step="fold")


def _inside(
    region: shapely.Polygon, places: Floats, start: Floats, ways: tuple[Floats, Floats]
) -> Floats:
    low, high = places.min(axis=0), places.max(axis=0)
    a, q = np.meshgrid(*(np.linspace(low[i], high[i], GRID[i]) for i in (0, 1)))
    spots = np.stack([a.ravel(), q.ravel()], axis=-1)
    uv = start + spots[:, :1] * ways[0] + spots[:, 1:] * ways[1]
    return np.asarray(spots[shapely.contains_xy(region, uv)])


def _rise(side: Floats, depth: float) -> Floats:
    """Return places (k, 2) on a side from the beginning of a bend to its end."""
    out = np.linspace(0.0, depth, RISE)
    return np.stack([np.interp(out, side[:, 1], side[:, 0]), out], axis=-1)


Gap = tuple[float, Floats]


def slits(tabs: list[FoldedTab]) -> tuple[Gap, Gap]:
    """Return the narrowest and the widest gap [mm] between folded neighbours, each with its place.

    The narrowest is taken between all outlines on both faces, the widest from the end of the
    bend to the edge.
    """
    least: Gap = (float("inf"), np.zeros(3))
    widest: Gap = (0.0, np.zeros(3))
    for tab, other in zip(tabs, [*tabs[1:], tabs[0]], strict=True):
        for mine in (tab.outside, tab.inside):
            for theirs in (other.outside, other.inside):
                least = min(least, _extreme(mine, theirs, 1.0), key=lambda gap: gap[0])
        widest = max(widest, _extreme(tab.last, other.first, -1.0), key=lambda gap: gap[0])
    return least, widest


def gap_at_bends(tabs: list[FoldedTab]) -> Gap:
    """Return the widest gap [mm] between neighbours where they bend, with its place.

    There a root that is wider than its slit opens it.
    """
    widest: Gap = (0.0, np.zeros(3))
    for tab, other in zip(tabs, [*tabs[1:], tabs[0]], strict=True):
        gap = _extreme(tab.risen[1], other.risen[0], -1.0)
        widest = max(widest, gap, key=lambda each: each[0])
    return widest


def _extreme(points: Floats, line: Floats, sign: float) -> Gap:
    off = _to_lines(points, line)
    i = int((sign * off).argmin())
    return float(off[i]), points[i]


def _to_lines(points: Floats, line: Floats) -> Floats:
    """Return the distances (n,) of points to a polyline (m, 3) [mm]."""
    side = np.diff(line, axis=0)
    size = np.maximum(np.sum(side**2, axis=1), 1e-18)
    away = points[:, None, :] - line[:-1]
    share = np.clip(np.einsum("nmk,mk->nm", away, side) / size, 0.0, 1.0)
    gap = away - share[..., None] * side
    return np.asarray(np.sqrt(np.min(np.einsum("nmk,nmk->nm", gap, gap), axis=1)))
