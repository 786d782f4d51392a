"""How near legs and wheels come to a part that stays, while their axles are drawn up.

No place of a leg goes farther than its lever allows, so that of the ways between two looked-at
places only those are looked at where the gap may still be less than the least so far.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import degrees
from typing import Any

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.brep.primitives import moved, turned
from geomgen.kernel.interference.depth import triangles_of
from geomgen.kernel.interference.meeting import Body, body_of, hull_gap, meeting, triangles
from geomgen.kernel.interference.near_triangles import Triangles, nearest_points
from geomgen.kernel.plain import Strut, Vec3, vec
from geomgen.measurements.drawn_up import WORDS, RigidMove, drawn_up

METHOD = f"{WORDS}; gap of verified meshes, all the way from no load to the highest of"
# The least gap on the way up is found to this [mm], a wide one to this share of itself: own choice.
CLOSE, SHARE = 0.5, 0.05
# Of what stays this far apart meshes are looked at that are simpler by no more than that [mm]: both
# own choice.
WIDE, ROUGHLY = 200.0, 1.0


@dataclass(frozen=True)
class DrawnUpGap:
    """The least gap of a part on its way up [mm], its bound, the axle's rise there, two places."""

    gap: float
    bound: float
    part: str
    rise: float
    points: tuple[Vec3, ...]


def least_on_the_way(strut: Strut, still: Body, parts: Mapping[str, Body]) -> DrawnUpGap:
    """Return how near leg and wheel come to that part [mm]; negative by the depth."""
    found = [_of_part(strut, still, name, body) for name, body in parts.items()]
    return min(found, key=lambda each: each.gap)


def _of_part(strut: Strut, still: Body, name: str, body: Body) -> DrawnUpGap:
    full = drawn_up(strut, max((rise for _, rise in strut.rises), default=0.0))
    most = abs(full.by) * full.lever(body.mesh.vertices)
    marks = [drawn_up(strut, rise).by / full.by if full.by else 0.0 for _, rise in strut.rises]

    one, other, rough = still.hull, body.hull, 0.0
    if min(_boxes_apart(one, _moved(other, full, s)) for s in (0.0, 1.0)) - most / 2 > WIDE:
        one, other, rough = one.simplify(ROUGHLY), other.simplify(ROUGHLY), ROUGHLY

    def gap(share: float) -> float:
        return hull_gap(one, _moved(other, full, share))

    # Whether a mark counts is told by what lies at both ends of the way; far off, none does.
    share, near = lowest(gap, [0.0, 1.0], most)
    if near == 0.0:
        return min(
            (_struck(strut, still, name, body, _part_way(full, s)) for s in {share, *marks}),
            key=lambda each: each.gap,
        )
    move = _part_way(full, share)
    skins = (_triangles(one), _triangles(_moved(other, full, share)))
    if not rough:
        skins = (
            triangles(still),
            replace(triangles(body), corners=_corners(move, body.mesh.corners)),
        )
    both = nearest_points(*skins, near)
    points = () if both is None else (vec(both[0]), vec(both[1]))
    bound = still.deviation + body.deviation + closeness(near) + 2 * rough
    return DrawnUpGap(near, bound, name, _rise(strut, move), points)


def _moved(hull: Any, full: RigidMove, share: float) -> Any:
    return hull.transform(_part_way(full, share).matrix())


def _triangles(hull: Any) -> Triangles:
    corners, _ = triangles_of(hull)
    return Triangles(corners, np.zeros(len(corners), dtype=np.int64))


def _boxes_apart(a: Any, b: Any) -> float:
    low, high = np.array(a.bounding_box()).reshape(2, 3)
    bottom, top = np.array(b.bounding_box()).reshape(2, 3)
    return float(np.linalg.norm(np.maximum(np.maximum(low - top, bottom - high), 0.0)))


def lowest(
    gap: Callable[[float], float], marks: Sequence[float], most: float
) -> tuple[float, float]:
    """Return where a gap [mm] is least, to its `closeness`, and that gap, between the marks.

    Over one unit it changes by no more than `most` [mm]; a gap of 0 ends the search.

    >>> at, least = lowest(lambda s: 40.0 + abs(100.0 * s - 37.0), [0.0, 1.0], 100.0)
    >>> 0.34 <= at <= 0.40, 40.0 <= least <= 42.0
    (True, True)
    """
    known = {mark: gap(mark) for mark in marks}
    spans = list(zip(marks[:-1], marks[1:], strict=True))
    while spans and min(known.values()) > 0.0:
        a, b = spans.pop()
        least = min(known.values())
        if (known[a] + known[b] - most * (b - a)) / 2 < least - closeness(least):
            middle = (a + b) / 2
            known[middle] = gap(middle)
            spans += [(a, middle), (middle, b)]
    at = min(known, key=lambda share: known[share])
    return at, known[at]


def closeness(gap: float) -> float:
    """Return how closely [mm] a least gap [mm] is found.

    >>> closeness(4.0), closeness(100.0)
    (0.5, 5.0)
    """
    return max(CLOSE, SHARE * gap)


def _part_way(full: RigidMove, share: float) -> RigidMove:
    return replace(full, by=share * full.by)


def _corners(move: RigidMove, corners: Floats) -> Floats:
    return move.of(corners.reshape(-1, 3)).reshape(corners.shape)


def _rise(strut: Strut, move: RigidMove) -> float:
    return float(move.of(np.array([strut.axle]))[0, 2]) - strut.axle[2]


def _struck(strut: Strut, still: Body, name: str, body: Body, move: RigidMove) -> DrawnUpGap:
    """Return the gap [mm] where a part is struck: minus the depth; 0 where that is not told."""
    if move.axis is None:
        solid = moved(body.solid, (0.0, 0.0, move.by))
    else:
        x, y, z = move.matrix()[:, 3]
        solid = turned(body.solid, move.axis, degrees(move.by), (x, y, z))
    there = replace(body.mesh, vertices=move.of(body.mesh.vertices))
    met = meeting(still, body_of(solid, there, body.deviation))
    rise = _rise(strut, move)
    if met is None:
        return DrawnUpGap(0.0, still.deviation + body.deviation, name, rise, ())
    return DrawnUpGap(-met.depth, met.error, name, rise, (met.foot, met.at))


def states(struts: Sequence[Strut]) -> str:
    """Return what axles are drawn up to, with the largest rise [mm] of each, in words."""
    rises = {name: max(dict(s.rises)[name] for s in struts) for name, _ in struts[0].rises}
    return ", ".join(f"{name} (up to {rise:.1f} mm)" for name, rise in rises.items())


def gap_of(row: Mapping[str, Any]) -> DrawnUpGap:
    """Return the gap that an answer stands for [mm]."""
    return DrawnUpGap(**{**row, "points": tuple(map(vec, row["points"]))})
