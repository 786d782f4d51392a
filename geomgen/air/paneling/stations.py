"""Grids on long bodies, pod and scoops, from cuts at stations.

Each cut is taken as the outermost ring round it: what is hollow, or cut out for a wing, is closed.
"""

from collections.abc import Sequence

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.sections.section import MeshSlices

# The first and the last cut stand inside the body by this share of its length: own choice.
INSIDE = 2e-4
# How far panels crowd towards the ends, 0 even, 1 like a cosine: own choice.
CROWDED = 0.7
# The tail drawn behind an open end: its shape's power, its length in radii at least and at most:
# own choice; it leaves the rim in the skin's own slope.
TAIL_POWER, TAIL_SHORT, TAIL_LONG = 0.6, 2.5, 8.0
TAIL_ROWS = 8
# What is no lower than this than the highest is as high [mm]: more than last digits, less than any
# shape. Own choice.
AS_HIGH = 1e-3
# An end whose first cut is this share of the largest one is blunt, and has so many rows of panels:
# own choice.
BLUNT, BLUNT_ROWS = 0.4, 4


def spread(low: float, high: float, count: int, crowded: float = CROWDED) -> Floats:
    """Return `count` + 1 stations [mm] from end to end, closer together towards both.

    >>> spread(0.0, 8.0, 4, 0.0).tolist()
    [0.0, 2.0, 4.0, 6.0, 8.0]
    """
    even = np.linspace(0.0, 1.0, count + 1)
    share = (1 - crowded) * even + crowded * 0.5 * (1 - np.cos(np.pi * even))
    return np.asarray(low + (high - low) * share)


def ring(points: Floats, count: int, half: bool) -> Floats:
    """Return the outermost ring round points (k, 2) [mm] as `count` + 1 points (y, z).

    From the top over the right-hand side: down to the lowest when `half`, of what lies at positive
    y, else once round. Steps are of even length.

    >>> square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    >>> ring(square, 4, half=True).round(9).tolist()
    [[0.0, 1.0], [1.0, 1.0], [1.0, 0.0], [1.0, -1.0], [0.0, -1.0]]
    """
    hull = shapely.MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon":
        raise GeometryError("a cut across it has no area", step="panels")
    # Once round from the top, clockwise as (y, z) are seen from behind: over the right-hand side.
    line = shapely.get_coordinates(hull.normalize().exterior)
    if shapely.is_ccw(hull.normalize().exterior):
        line = line[::-1]
    return _half_of(line, count) if half else _round(line, count)


def _half_of(line: Floats, count: int) -> Floats:
    polygon = shapely.Polygon(line).intersection(shapely.box(0.0, -1e6, 1e6, 1e6))
    points = shapely.get_coordinates(polygon.normalize().exterior)[:-1]
    if not shapely.is_ccw(shapely.LinearRing(points)):
        points = points[::-1]
    on_plane = points[:, 0] <= 1e-9
    if on_plane.sum() < 2:
        raise GeometryError("a cut across it does not reach the plane of symmetry", step="panels")
    top = max(np.flatnonzero(on_plane), key=lambda k: points[k, 1])
    low = min(np.flatnonzero(on_plane), key=lambda k: points[k, 1])
    # Anticlockwise from the lowest to the top is the right-hand side.
    way = np.roll(points, -low, axis=0)[: (top - low) % len(points) + 1]
    return _even(way[::-1], count)


def _round(line: Floats, count: int) -> Floats:
    points = line[:-1]
    # Of corners that are as high the one farthest to the left, whatever their last digits.
    high = np.flatnonzero(points[:, 1] >= points[:, 1].max() - AS_HIGH)
    first = int(high[points[high, 0].argmin()])
    points = np.roll(points, -first, axis=0)
    return _even(np.concatenate([points, points[:1]]), count)


def _even(way: Floats, count: int) -> Floats:
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(way, axis=0), axis=1))]
    at = np.linspace(0.0, along[-1], count + 1)
    return np.stack([np.interp(at, along, way[:, k]) for k in (0, 1)], axis=-1)


def long_body(
    meshes: Sequence[Mesh],
    along: int,
    around: int,
    half: bool,
    open_behind: bool = False,
    tail: float = 1.0,
) -> Floats:
    """Return a grid (nu + 1, `around` + 1, 3) [mm] round bodies that are one, from nose to tail.

    It ends in a point before and behind; behind an `open_behind` one a smooth tail is drawn that
    stands for what leaves there, `tail` times as long as usual.
    """
    slices = [MeshSlices(mesh, axis=0) for mesh in meshes]
    every = np.concatenate([mesh.vertices for mesh in meshes])
    low, high = float(every[:, 0].min()), float(every[:, 0].max())
    off = INSIDE * (high - low)
    at = spread(low + off, high - off, along)
    rows = []
    for x in at.tolist():
        points = np.concatenate([each.at(x) for each in slices])
        if len(points) < 3:
            continue
        flat = ring(points[:, 1:], around, half)
        rows.append(np.c_[np.full(len(flat), x), flat])
    if len(rows) < 3:
        raise GeometryError("too few cuts across it meet its mesh", step="panels")
    grid = np.stack(rows)
    front = _front(_point(every, low, grid[0], half), grid)
    back = _tail(grid, tail) if open_behind else _point(every, high, grid[-1], half)[None]
    return np.concatenate([front, grid, back])


def _point(every: Floats, end: float, row: Floats, half: bool) -> Floats:
    """Return the pole at an end, as often as a row has points."""
    tip = row.mean(axis=0) if not half else np.array([0.0, 0.0, row[:, 2].mean()])
    tip[0] = end
    return np.tile(tip, (len(row), 1))


def _front(tip: Floats, grid: Floats) -> Floats:
    """Return the rows ahead of the first cut: a point, and rows across a blunt end."""
    sizes = np.ptp(grid[..., 1:], axis=1).max(axis=1)
    rows = BLUNT_ROWS if sizes[0] > BLUNT * sizes.max() else 1
    share = np.arange(rows)[:, None, None] / rows
    return np.asarray(tip + share * (grid[0] - tip))


def _tail(grid: Floats, longer: float) -> Floats:
    """Return the rows of a smooth tail behind the last one, leaving it in the skin's slope."""
    last, before = grid[-1], grid[-3]
    middle = _middle(last)
    radius, former = (
        float(np.linalg.norm(row - _middle(row), axis=1).mean()) for row in (last, before)
    )
    slope = max((former - radius) / float(last[0, 0] - before[0, 0]), 1e-6)
    long = longer * radius * float(np.clip(TAIL_POWER / slope, TAIL_SHORT, TAIL_LONG))
    share = np.linspace(0.0, 1.0, TAIL_ROWS + 1)[1:]
    share = 1 - (1 - share) ** 1.6
    rows = middle + (last - middle) * ((1 - share) ** TAIL_POWER)[:, None, None]
    rows[..., 0] = last[0, 0] + long * share[:, None]
    return np.asarray(rows)


def _middle(row: Floats) -> Floats:
    """Return the middle (3,) of a row of points; that of half a ring lies on the plane."""
    half = np.abs(row[[0, -1], 1]).max() < 1e-6 and not np.allclose(row[0], row[-1])
    return np.array([row[0, 0], 0.0 if half else row[:, 1].mean(), row[:, 2].mean()])
