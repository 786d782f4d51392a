"""Bodies on lines: outer surfaces, surfaces at a distance inside or outside, shells, solids.

The wall is a true distance along the normal: the inner surface is laid through points that stand
off the outer one by the wall, put in rows across the axis so that a rim is plane. No shell or
offset operation of the kernel is used; they fail on such bodies.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan, degrees
from typing import Literal

import numpy as np
from OCP.Geom import Geom_BSplineSurface
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape, TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.lines import Floats, Lines, quadrant
from geomgen.kernel.sewing import UPRIGHT, Lean, free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.surfaces import (
    bands,
    bezier_knots,
    bspline_surface,
    collocate,
    product_space,
    station_parameter,
    through_points,
)

# Rows per interval between stations and points round a quadrant for a surface at a distance.
Half = Literal["upper", "lower"]
HALVES: tuple[Half, Half] = ("upper", "lower")
ROWS = 4
ROUND = 11
# Ends nearer than this are in one plane [mm].
SAME_STATION = 1e-6
# A row is walked to its plane in at most so many steps, each of this share of the body's length.
WALK, STRIDE = 400, 0.05


@dataclass(frozen=True)
class Skin:
    """The faces round a body and the two stations [mm] between which they are wanted.

    `quadrants` are upper right, upper left, lower right, lower left, each from fore to aft.
    """

    quadrants: tuple[tuple[TopoDS_Face, ...], ...]
    start: float
    end: float
    closed_start: bool
    closed_end: bool
    lean: Lean = UPRIGHT

    @property
    def faces(self) -> tuple[TopoDS_Face, ...]:
        """Return all faces, quadrant by quadrant."""
        return tuple(face for quadrant in self.quadrants for face in quadrant)

    @property
    def right(self) -> tuple[TopoDS_Face, ...]:
        """Return the faces of the right-hand side."""
        upper, _, lower, _ = self.quadrants
        return (*upper, *lower)


def outer_skin(
    lines: Lines,
    start: float | None = None,
    end: float | None = None,
    breaks: Sequence[float] = (),
) -> Skin:
    """Return the skin on the lines, whole or between two stations [mm], in bands at `breaks`."""
    low, high = lines.v_range
    v0 = low if start is None else max(lines.at_station(start), low)
    v1 = high if end is None else min(lines.at_station(end), high)
    inner = [lines.at_station(x) for x in breaks]
    cuts = [v0, *(v for v in sorted(inner) if v0 + 1e-9 < v < v1 - 1e-9), v1]
    surfaces = [s for which in HALVES for s in _exact_pair(lines, which)]
    return Skin(
        tuple(tuple(bands(surface, cuts)) for surface in surfaces),
        float(lines.station(v0)),
        float(lines.station(v1)),
        start is None and lines.nose == "round",
        end is None and lines.tail == "round",
    )


def _exact_pair(lines: Lines, which: Half) -> list[Geom_BSplineSurface]:
    """Return the right and left surface of the upper or lower quadrants, exact conics in u."""
    curve = lines.curves
    weight = curve[f"weight_{which}"]
    edge = curve["crown" if which == "upper" else "keel"]
    knots, degree = curve["crown"].t, curve["crown"].k
    constant = np.ptp(weight.c) < 1e-14
    if constant and np.array_equal(lines.station.t, knots):
        flat, at, out_degree = knots, None, degree
    else:
        union = np.unique(np.r_[knots, lines.station.t])
        simple = np.r_[[union[0]] * 3, union, [union[-1]] * 3]
        flat, at = product_space(simple, degree)
        out_degree = 2 * degree
    pairs = []
    for side in (1.0, -1.0):
        if at is None:
            x, half = lines.station.c, curve["half_breadth"].c
            height, top, w = curve["breadth_height"].c, edge.c, weight.c
        else:
            x, half = lines.station(at), curve["half_breadth"](at)
            height, top, w = curve["breadth_height"](at), edge(at), weight(at)
        mid = lines.centre
        rows = [
            np.stack([x, mid + side * half, height, np.ones_like(x)], axis=-1),
            np.stack([w * x, w * (mid + side * half), w * top, w], axis=-1),
            np.stack([x, mid + 0 * x, top, np.ones_like(x)], axis=-1),
        ]
        if at is not None:
            rows = [collocate(flat, out_degree, at, row) for row in rows]
        homogeneous = np.stack(rows)
        weights = homogeneous[..., 3]
        poles = homogeneous[..., :3] / weights[..., None]
        pairs.append(bspline_surface(poles, bezier_knots(2), flat, (2, out_degree), weights))
    return pairs


def offset_skin(
    lines: Lines,
    inward: float,
    start: float | None,
    end: float | None,
    part: str = "body",
    lean: Lean = UPRIGHT,
    breaks: Sequence[float] = (),
) -> Skin:
    """Return the skin at the distance `inward` [mm] of the lines (outward if negative).

    `start` or `end` None keeps a round end; otherwise the ends lie in planes that `lean`. Raises
    GeometryError when the distance is more than the body's tightest bend allows.
    """
    v, x_rows = _rows(lines, inward, start, end)
    u = np.linspace(0.0, 1.0, ROUND)
    quadrants = []
    for which in HALVES:
        points = _offset_points(lines, which, u, v, x_rows, inward, (start, end), part, lean)
        first = _pole_slope(points, v) if start is None else None
        last = _pole_slope(points[:, ::-1], v[::-1]) if end is None else None
        for side in (1.0, -1.0):
            turn = np.array([1.0, side, 1.0])
            mirrored = points.copy()
            mirrored[..., 1] = lines.centre + side * (points[..., 1] - lines.centre)
            surface = through_points(
                mirrored,
                u,
                v,
                None if first is None else first * turn,
                None if last is None else last * turn,
            )
            _, _, a, b = surface.Bounds()
            inside = [x for x in sorted(breaks) if x_rows[0] + 1e-6 < x < x_rows[-1] - 1e-6]
            cuts = [a, *(station_parameter(surface, x) for x in inside), b]
            quadrants.append(tuple(bands(surface, cuts)))
    return Skin(
        tuple(quadrants),
        float(x_rows[0]),
        float(x_rows[-1]),
        start is None,
        end is None,
        lean,
    )


def _rows(
    lines: Lines, inward: float, start: float | None, end: float | None
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
        count = max(2, int(np.ceil(ROWS * (b - a) / longest)))
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
    moved[-1, :, 1] = lines.centre
    return moved


def walkable(lines: Lines) -> tuple[float, float]:
    """Return how far `v` may go: a little past a flat end, not up to a point."""
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
    """Return points and outward unit normals of a right-hand quadrant, each (k, m, 3)."""
    points, du, dv = quadrant(lines, which, u, v)
    normal = np.cross(dv, du) if which == "upper" else np.cross(du, dv)
    # Along a chine (u = 0 at a pointed section) du may vanish; the breadth direction stands in.
    length = np.linalg.norm(normal, axis=-1, keepdims=True)
    normal = np.where(length > 1e-12, -normal / np.maximum(length, 1e-300), [0.0, 1.0, 0.0])
    outward = np.stack([0 * normal[..., 0], points[..., 1] - lines.centre, 0 * normal[..., 0]], -1)
    flip = np.sign((normal * outward).sum(axis=-1, keepdims=True))
    return points, normal * np.where(flip == 0, 1.0, flip)


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


def end_of(skin: Skin, at_start: bool) -> float:
    """Return the station [mm] of one end of a skin."""
    return skin.start if at_start else skin.end


def flat(skin: Skin, at_start: bool) -> bool:
    """Say whether a skin ends in a plane there, not in a point."""
    return not (skin.closed_start if at_start else skin.closed_end)


def opens(outer: Skin, inner: Skin, at_start: bool) -> bool:
    """Say whether the space inside two skins opens there: both end in the same plane."""
    apart = abs(end_of(outer, at_start) - end_of(inner, at_start))
    return flat(outer, at_start) and flat(inner, at_start) and apart < SAME_STATION


def body(skin: Skin, part: str) -> TopoDS_Solid:
    """Return the full solid inside a skin, plane caps at its flat ends."""
    return sew([*skin.faces, *_caps(skin)], part)


def _caps(skin: Skin) -> list[TopoDS_Shape]:
    return [cap(skin, end_of(skin, end)) for end in (True, False) if flat(skin, end)]


def cap(skin: Skin, station: float) -> TopoDS_Face:
    """Return the plane face that closes a skin at one of its ends."""
    edges = free_edges_at(skin.faces, station, skin.lean)
    return plane_face(station, wire_of(edges), None, skin.lean)


def tube(outer: Skin, inner: Skin, part: str) -> TopoDS_Solid:
    """Return the hollow solid between two skins.

    Where both end in one plane it opens there, with a plane rim; otherwise each is closed by its
    own round end or plane, and the wall goes on across. Closed at both ends, it has a void.
    """
    faces: list[TopoDS_Shape] = [*outer.faces, *inner.faces]
    for at_start in (True, False):
        if opens(outer, inner, at_start):
            faces.append(_rim(outer, inner, end_of(outer, at_start)))
        else:
            both = [skin for skin in (outer, inner) if flat(skin, at_start)]
            faces += [cap(skin, end_of(skin, at_start)) for skin in both]
    return sew(faces, part)


def tray(outer: Skin, pocket: Skin, open_at: float, part: str) -> TopoDS_Solid:
    """Return the full body inside `outer` less a pocket that opens at the station `open_at`."""
    closed = [x for x in (outer.start, outer.end) if x != open_at]
    floor = [x for x in (pocket.start, pocket.end) if x != open_at]
    faces: list[TopoDS_Shape] = [*outer.faces, *pocket.faces, _rim(outer, pocket, open_at)]
    faces += [cap(outer, closed[0]), cap(pocket, floor[0])]
    return sew(faces, part)


def _rim(outer: Skin, inner: Skin, station: float) -> TopoDS_Face:
    return plane_face(
        station,
        wire_of(free_edges_at(outer.faces, station, outer.lean)),
        wire_of(free_edges_at(inner.faces, station, inner.lean)),
        outer.lean,
    )
