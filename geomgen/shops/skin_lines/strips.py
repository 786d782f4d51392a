"""The outer edges of strips that run along a skin, laid on it: stringers and longerons."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face

from geomgen.arrays import Bools, Floats
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.skin_distance import SkinFeet, feet_on
from geomgen.shops.layout_lines import InsidePart
from geomgen.shops.skin_lines.planes import REACH

# An edge that spans so much of a strip's length runs along it [1]; its points are so far apart, and
# at least so many on the ends [mm].
LONG, STEP, FEW = 0.9, 10.0, 7
# A point is laid on a skin where its foot is square to that within this [mm].
SQUARE = 0.02


@dataclass(frozen=True)
class StripEdges:
    """A strip's outline on its outer side: both long edges and both ends, points (n, 3) [mm]."""

    name: str
    runs: tuple[Floats, ...]


def strip_edges(part: InsidePart, skin: Sequence[TopoDS_Face]) -> StripEdges | None:
    """Return the outline of the side of a strip nearest to a skin; None where it has no edges."""
    axis = int(np.argmax(part.box.size))
    long: dict[tuple[float, ...], Floats] = {}
    for edge in edges_in(part.solid):
        curve = EdgeCurve(edge)
        ends = curve.points(curve.even(2))
        if abs(ends[1, axis] - ends[0, axis]) > LONG * part.box.size[axis]:
            count = int(np.ceil(np.linalg.norm(ends[1] - ends[0]) / STEP)) + 1
            run = curve.points(curve.even(max(FEW, count)))
            run = run if run[0, axis] < run[-1, axis] else run[::-1]
            long[tuple(run[len(run) // 2].round(2))] = run
    if len(long) < 2:
        return None
    a, b = sorted(long.values(), key=lambda run: float(feet_on(skin, run[::FEW]).off.mean()))[:2]
    return StripEdges(f"{part.name}, outer edges", (a, b, *(_across(a[i], b[i]) for i in (0, -1))))


def _across(a: Floats, b: Floats) -> Floats:
    return np.asarray(np.linspace(a, b, FEW))


def laid_on(skin: Sequence[TopoDS_Face], strip: StripEdges) -> tuple[Floats, ...]:
    """Return the runs (n, 3) [mm] of a strip's outline on a skin, as far as that is over it."""
    found = []
    for run in strip.runs:
        feet = feet_on(skin, run)
        over = (_aside(feet, run) < SQUARE) & (feet.off < REACH)
        found += [feet.points[a:b] for a, b in stretches(over) if b - a > 1]
    return tuple(found)


def _aside(feet: SkinFeet, points: Floats) -> Floats:
    """Return how far points are off the normals of their feet [mm]."""
    away = points - feet.points
    up = np.sum(away * feet.normals, axis=1)
    return np.asarray(np.linalg.norm(away - up[:, None] * feet.normals, axis=1))


def stretches(there: Bools) -> list[tuple[int, int]]:
    """Return first and one past last place of each stretch that is there.

    >>> stretches(np.array([True, True, False, True]))
    [(0, 2), (3, 4)]
    """
    turns = np.flatnonzero(np.diff(np.r_[0, np.asarray(there, int), 0])).tolist()
    return list(zip(turns[::2], turns[1::2], strict=True))


def off_strip(strip: StripEdges, points: Floats, normals: Floats) -> Floats:
    """Return by how much points on a skin miss a strip's outline below them, along the skin [mm].

    It is seen along the skin's normals (n, 3), however deep the strip lies.
    """
    return np.asarray(np.min([_missed(run, points, normals) for run in strip.runs], axis=0))


def _missed(run: Floats, points: Floats, normals: Floats) -> Floats:
    n = normals[:, None]

    def seen(rows: Floats) -> Floats:
        return np.asarray(rows - np.sum(rows * n, axis=2, keepdims=True) * n)

    begin = seen(run[None, :-1] - points[:, None])
    way = seen(np.broadcast_to(np.diff(run, axis=0)[None], begin.shape))
    size = np.maximum(np.sum(way * way, axis=2), 1e-12)
    share = np.clip(-np.sum(begin * way, axis=2) / size, 0.0, 1.0)
    off = begin + share[..., None] * way
    return np.asarray(np.linalg.norm(off, axis=2).min(axis=1))
