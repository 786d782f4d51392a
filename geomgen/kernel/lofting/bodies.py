"""Bodies on lines: outer surfaces, surfaces at a distance inside or outside, shells, solids.

The wall is a true distance along the normal: the inner surface is laid through points that stand
off the outer one by the wall, put in rows across the axis so that a rim is plane. No shell or
offset operation of the kernel is used; they fail on such bodies.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from OCP.Geom import Geom_BSplineSurface
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape, TopoDS_Solid

from geomgen.kernel.lofting.lines import Lines
from geomgen.kernel.lofting.sewing import UPRIGHT, Lean, free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.lofting.surfaces import (
    bands,
    bezier_knots,
    bspline_surface,
    collocate,
    product_space,
)

Half = Literal["upper", "lower"]
HALVES: tuple[Half, Half] = ("upper", "lower")
# Ends nearer than this are in one plane [mm].
SAME_STATION = 1e-6


@dataclass(frozen=True)
class LoftedSkin:
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
) -> LoftedSkin:
    """Return the skin on the lines, whole or between two stations [mm], in bands at `breaks`."""
    low, high = lines.v_range
    v0 = low if start is None else max(lines.at_station(start), low)
    v1 = high if end is None else min(lines.at_station(end), high)
    inner = [lines.at_station(x) for x in breaks]
    cuts = [v0, *(v for v in sorted(inner) if v0 + 1e-9 < v < v1 - 1e-9), v1]
    surfaces = [s for which in HALVES for s in _exact_pair(lines, which)]
    return LoftedSkin(
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


def end_of(skin: LoftedSkin, at_start: bool) -> float:
    """Return the station [mm] of one end of a skin."""
    return skin.start if at_start else skin.end


def flat(skin: LoftedSkin, at_start: bool) -> bool:
    """Say whether a skin ends in a plane there, not in a point."""
    return not (skin.closed_start if at_start else skin.closed_end)


def opens(outer: LoftedSkin, inner: LoftedSkin, at_start: bool) -> bool:
    """Say whether the space inside two skins opens there: both end in the same plane."""
    apart = abs(end_of(outer, at_start) - end_of(inner, at_start))
    return flat(outer, at_start) and flat(inner, at_start) and apart < SAME_STATION


def body(skin: LoftedSkin, part: str) -> TopoDS_Solid:
    """Return the full solid inside a skin, plane caps at its flat ends."""
    return sew([*skin.faces, *_caps(skin)], part)


def _caps(skin: LoftedSkin) -> list[TopoDS_Shape]:
    return [cap(skin, end_of(skin, end)) for end in (True, False) if flat(skin, end)]


def cap(skin: LoftedSkin, station: float) -> TopoDS_Face:
    """Return the plane face that closes a skin at one of its ends, at a station [mm]."""
    edges = free_edges_at(skin.faces, station, skin.lean)
    return plane_face(station, wire_of(edges), None, skin.lean)


def tube(outer: LoftedSkin, inner: LoftedSkin, part: str) -> TopoDS_Solid:
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


def tray(outer: LoftedSkin, pocket: LoftedSkin, open_at: float, part: str) -> TopoDS_Solid:
    """Return the full body inside `outer` less a pocket that opens at station `open_at` [mm]."""
    closed = [x for x in (outer.start, outer.end) if x != open_at]
    floor = [x for x in (pocket.start, pocket.end) if x != open_at]
    faces: list[TopoDS_Shape] = [*outer.faces, *pocket.faces, _rim(outer, pocket, open_at)]
    faces += [cap(outer, closed[0]), cap(pocket, floor[0])]
    return sew(faces, part)


def _rim(outer: LoftedSkin, inner: LoftedSkin, station: float) -> TopoDS_Face:
    return plane_face(
        station,
        wire_of(free_edges_at(outer.faces, station, outer.lean)),
        wire_of(free_edges_at(inner.faces, station, inner.lean)),
        outer.lean,
    )
