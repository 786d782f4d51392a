"""Skins at a distance from a body's lines: inside for a wall, outside for a gap.

The distance is true along the normal: the surface is laid through points that stand off the lines,
put in rows across the axis so that a rim is plane, and held to the distance between its rows too.
No shell or offset operation of the kernel is used; they fail on such bodies.
"""

from collections.abc import Sequence
from math import atan, degrees

import numpy as np
from OCP.Geom import Geom_BSplineSurface
from OCP.gp import gp_Pnt

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bodies import HALVES, Half, LoftedSkin
from geomgen.kernel.lofting.lines import Lines, quadrant
from geomgen.kernel.lofting.sewing import UPRIGHT, Lean
from geomgen.kernel.lofting.surfaces import bands, station_parameter, through_points
from geomgen.kernel.mesh import cross

# Rows per interval between stations and points round a quadrant.
ROWS = 4
ROUND = 11
# Between its rows a surface at a distance may be off by this [mm], or this share of the distance
# (own choice); rows and the points round a quadrant are laid closer until it is.
TRUE, TRUE_SHARE = 0.05, 0.02
CLOSER = ((1, 1), (2, 1), (2, 2), (4, 2), (4, 4))
# A row is walked to its plane in at most so many steps, each of this share of the body's length.
WALK, STRIDE = 400, 0.05


def offset_skin(
    lines: Lines,
    inward: float,
    start: float | None,
    end: float | None,
    part: str = "body",
    lean: Lean = UPRIGHT,
    breaks: Sequence[float] = (),
) -> LoftedSkin:
    """Return the skin at the distance `inward` [mm] of the lines (outward if negative).

    `start` or `end` None keeps a round end; otherwise the ends lie in planes that `lean`. Raises
    GeometryError when the distance is more than the body's tightest bend allows.
    """
    off = np.inf
    for along, around in CLOSER:
        v, x_rows = _rows(lines, inward, start, end, along * ROWS)
        u = np.linspace(0.0, 1.0, around * (ROUND - 1) + 1)
        surfaces, off, where = _offset_surfaces(
            lines, inward, u, v, x_rows, (start, end), part, lean
        )
        if off <= max(TRUE, TRUE_SHARE * abs(inward)):
            return _skin_of(surfaces, x_rows, (start, end), lean, breaks)
    raise GeometryError(
        f"a surface {abs(inward):.2f} mm {'inside' if inward > 0 else 'outside'} the skin can't be "
        f"made true: at station {where:.0f} mm it is {off:.2f} mm off, for the skin bends too "
        "tightly there",
        part=part,
        step="surface at a distance",
    )


def offset_outlines(
    lines: Lines, inward: float, stations: Floats, part: str, lean: Lean = UPRIGHT, fine: int = 81
) -> Floats:
    """Return right-hand half outlines (m, k, 3) [mm], keel to crown, at a distance from the lines.

    Each lies in the plane that leans through its station (m,) [mm], where the distance `inward`
    [mm] is true; `fine` points a quadrant. Raises GeometryError as `offset_skin` does.
    """
    x = np.asarray(stations, dtype=float)
    v, u = np.array([lines.at_station(s) for s in x]), np.linspace(0.0, 1.0, fine)
    ends = (float(x[0]), float(x[-1]))
    lower, upper = (
        _offset_points(lines, which, u, v, x, inward, ends, part, lean)
        for which in ("lower", "upper")
    )
    return np.concatenate([lower[::-1], upper[1:]]).transpose(1, 0, 2)


def _offset_surfaces(
    lines: Lines,
    inward: float,
    u: Floats,
    v: Floats,
    x_rows: Floats,
    ends: tuple[float | None, float | None],
    part: str,
    lean: Lean,
) -> tuple[list[Geom_BSplineSurface], float, float]:
    """Return the surfaces of all quadrants, how far off they are [mm] between rows, and where."""
    surfaces: list[Geom_BSplineSurface] = []
    worst, where = 0.0, float(x_rows[0])
    for which in HALVES:
        points = _offset_points(lines, which, u, v, x_rows, inward, ends, part, lean)
        first = _pole_slope(points, v) if ends[0] is None else None
        last = _pole_slope(points[:, ::-1], v[::-1]) if ends[1] is None else None
        for side in (1.0, -1.0):
            turn = np.array([1.0, side, 1.0])
            mirrored = points.copy()
            mirrored[..., 1] = lines.centre + side * (points[..., 1] - lines.centre)
            surfaces.append(
                through_points(
                    mirrored,
                    u,
                    v,
                    None if first is None else first * turn,
                    None if last is None else last * turn,
                )
            )
        off, station = _between_rows(lines, which, surfaces[-2], u, v, inward, part, lean)
        if off > worst:
            worst, where = off, station
    return surfaces, worst, where


def _between_rows(
    lines: Lines,
    which: Half,
    surface: Geom_BSplineSurface,
    u: Floats,
    v: Floats,
    inward: float,
    part: str,
    lean: Lean,
) -> tuple[float, float]:
    """Return how far a surface is off [mm] half-way between its rows and points, and the station.

    Next to a pole rows are looked at from the second on: the slope there stands in for a row.
    """
    u = 0.5 * (u[:-1] + u[1:])
    middle = 0.5 * (v[:-1] + v[1:])[1:-1]
    made = np.array([[_xyz(surface.Value(a, b)) for b in middle] for a in u])
    x = (made[..., 0] - lean.slope * (made[..., 2] - lean.height)).mean(axis=0)
    flat = (float(x[0]), float(x[-1]))
    meant = _offset_points(lines, which, u, middle, x, inward, flat, part, lean, on_centre=False)
    off = np.linalg.norm(made - meant, axis=-1).max(axis=0)
    return float(off.max()), float(x[int(np.argmax(off))])


def _xyz(p: gp_Pnt) -> tuple[float, float, float]:
    return (p.X(), p.Y(), p.Z())


def _skin_of(
    surfaces: Sequence[Geom_BSplineSurface],
    x_rows: Floats,
    ends: tuple[float | None, float | None],
    lean: Lean,
    breaks: Sequence[float],
) -> LoftedSkin:
    quadrants = []
    for surface in surfaces:
        _, _, a, b = surface.Bounds()
        inside = [x for x in sorted(breaks) if x_rows[0] + 1e-6 < x < x_rows[-1] - 1e-6]
        cuts = [a, *(station_parameter(surface, x) for x in inside), b]
        quadrants.append(tuple(bands(surface, cuts)))
    start, end = float(x_rows[0]), float(x_rows[-1])
    return LoftedSkin(tuple(quadrants), start, end, ends[0] is None, ends[1] is None, lean)


def _rows(
    lines: Lines, inward: float, start: float | None, end: float | None, rows: int = ROWS
) -> tuple[Floats, Floats]:
    """Return row parameters (m,) and their stations (m,), denser where the lines are denser."""
    low, high = lines.v_range
    v0 = low if start is None else lines.at_station(start)
    v1 = high if end is None else lines.at_station(end)
    knots = np.unique(lines.curves["crown"].t)
    inner = knots[(knots > v0 + 1e-3 * (v1 - v0)) & (knots < v1 - 1e-3 * (v1 - v0))]
    corners = np.r_[v0, inner, v1]
    longest = (high - low) / 8
    parts = []
    for a, b in zip(corners[:-1], corners[1:], strict=True):
        count = max(rows // 2, int(np.ceil(rows * (b - a) / longest)))
        parts.append(np.linspace(a, b, count, endpoint=False))
    v = np.r_[np.concatenate(parts), v1]
    if len(v) < 5:
        v = np.linspace(v0, v1, 5)
    x = np.asarray(lines.station(v))
    first = x[0] + (inward if start is None else 0.0)
    last = x[-1] - (inward if end is None else 0.0)
    return v, first + (x - x[0]) / (x[-1] - x[0]) * (last - first)


def _offset_points(
    lines: Lines,
    which: Half,
    u: Floats,
    v: Floats,
    x_rows: Floats,
    inward: float,
    ends: tuple[float | None, float | None],
    part: str,
    lean: Lean,
    on_centre: bool = True,
) -> Floats:
    """Return the points (k, m, 3) at the distance, each row moved along until its station fits."""
    rows = slice(1 if ends[0] is None else 0, -1 if ends[1] is None else None)
    at = np.broadcast_to(v[rows], (len(u), len(v[rows]))).copy()
    low, high = walkable(lines)
    reach = STRIDE * (high - low)
    for _ in range(WALK):
        points, normal = normals(lines, which, u, at)
        moved = points - inward * normal
        miss = moved[..., 0] - lean.slope * (moved[..., 2] - lean.height) - x_rows[None, rows]
        if np.max(np.abs(miss)) < 1e-9:
            break
        slope = _slope(lines, which, u, at, inward, lean)
        if np.any(slope <= 0):
            raise _not_crossed(part, inward, lean)
        at = np.clip(at - np.clip(miss / slope, -reach, reach), low, high)
    else:
        raise _not_crossed(part, inward, lean)
    if np.any(moved[:-1, :, 1] - lines.centre <= 0):
        raise _not_crossed(part, inward, lean)
    for end, place in ((ends[0], 0), (ends[1], -1)):
        if end is None:
            height = float(lines.curves["crown"](v[place]))
            pole = np.broadcast_to([x_rows[place], lines.centre, height], (len(u), 1, 3))
            moved = np.concatenate([pole, moved] if place == 0 else [moved, pole], axis=1)
    if on_centre:
        moved[-1, :, 1] = lines.centre
    return moved


def walkable(lines: Lines) -> tuple[float, float]:
    """Return how far `v` [rad or 1] may go: a little past a flat end, not up to a point."""
    low, high = lines.v_range
    span = high - low
    return (
        low + 1e-9 * span if lines.nose == "round" else low - 0.2 * span,
        high - 1e-9 * span if lines.tail == "round" else high + 0.2 * span,
    )


def _not_crossed(part: str, inward: float, lean: Lean) -> GeometryError:
    off = f"a surface {abs(inward):.2f} mm {'inside' if inward > 0 else 'outside'} the skin"
    if lean.slope == 0.0:
        problem = f"{off} folds over itself: the body bends more tightly than that"
        return GeometryError(problem, part=part, step="surface at a distance")
    problem = f"a plane that leans {degrees(atan(lean.slope)):g} deg does not cross {off} all round"
    return GeometryError(problem, part=part, step="surface at a distance")


def normals(lines: Lines, which: Half, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Return points and outward unit normals of a right-hand quadrant, each (k, m, 3) [mm, 1]."""
    points, du, dv = quadrant(lines, which, u, v)
    first, last = (dv, du) if which == "upper" else (du, dv)
    normal = cross(first.reshape(-1, 3), last.reshape(-1, 3)).reshape(points.shape)
    # Along a chine (u = 0 at a pointed section) du may vanish; the breadth direction stands in.
    length = np.sqrt(sum_of_three(normal * normal))[..., None]
    normal = np.where(length > 1e-12, -normal / np.maximum(length, 1e-300), [0.0, 1.0, 0.0])
    flip = np.sign(normal[..., 1] * (points[..., 1] - lines.centre))[..., None]
    return points, normal * np.where(flip == 0, 1.0, flip)


def sum_of_three(rows: Floats) -> Floats:
    """Return the sums (...,) of rows (..., 3) [any unit]; numpy's own goes row by row.

    >>> sum_of_three(np.array([[1.0, 2.0, 4.0]])).tolist()
    [7.0]
    """
    return np.asarray(rows[..., 0] + rows[..., 1] + rows[..., 2])


def _slope(lines: Lines, which: Half, u: Floats, v: Floats, inward: float, lean: Lean) -> Floats:
    h = 1e-5
    a, na = normals(lines, which, u, v - h)
    b, nb = normals(lines, which, u, v + h)
    run = (b - inward * nb - a + inward * na) / (2 * h)
    return np.asarray(run[..., 0] - lean.slope * run[..., 2])


def _pole_slope(points: Floats, v: Floats) -> Floats:
    """Return d/dv at the first row's pole, (k, 3): no run along the axis, the rest is odd in v."""
    steps = v[1:4] - v[0]
    matrix = np.stack([steps, steps**3, steps**5], axis=-1)
    offsets = (points[:, 1:4] - points[:, :1]).transpose(1, 0, 2).reshape(3, -1)
    slope = np.linalg.solve(matrix, offsets)[0].reshape(len(points), 3)
    slope[:, 0] = 0.0
    return np.asarray(slope)
