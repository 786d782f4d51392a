"""Small holes along the lines, cut into the pieces of a mould and proved by what they take.

Round holes with a flat bottom, square to the skin. Countersinks were tried: on splined skins the
kernel's cut of a cone failed its proof in 13 of 37 cases, that of a cylinder in none.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Bools, Floats
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.kernel.solids.skin_distance import feet_on
from geomgen.shops.product import found
from geomgen.shops.skin_lines.curves import SkinLines
from geomgen.verdicts.check import Check

# A knife reaches this far out of the skin [mm]; holes keep so many diameters from an edge of the
# piece and from each other.
OUT, CLEAR = 1.0, 2.0
# On a bent skin a hole takes more or less than in a flat one: by this share at most.
BENT = 0.25
# Places down a hole that are held against dowels.
DOWN = 9


@dataclass(frozen=True)
class DrillPoints:
    """Where to drill: points and outward normals (n, 3), how wide and how deep [mm]."""

    at: Floats
    normals: Floats
    diameter: float
    depth: float


def drill_points(half: SkinLines, pitch: float, diameter: float, depth: float) -> DrillPoints:
    """Return points along the lines of a half, `pitch` [mm] apart at most.

    `diameter` and `depth` are those of the holes [mm]. Points nearer than two diameters to one
    already there are left out.
    """
    rows = [evenly(run, pitch, CLEAR * diameter) for line in half.lines for run in line.runs]
    kept: list[Floats] = []
    for point in np.concatenate([np.zeros((0, 3)), *rows]):
        if all(np.linalg.norm(point - other) > CLEAR * diameter for other in kept):
            kept.append(point)
    at = np.array(kept).reshape(-1, 3)
    feet = feet_on(half.side.faces, at) if len(at) else None
    return DrillPoints(at, feet.normals if feet else at, diameter, depth)


def evenly(run: Floats, pitch: float, clear: float) -> Floats:
    """Return points (n, 3) [mm] on a run, `pitch` [mm] apart at most, `clear` [mm] off its ends.

    >>> evenly(np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]]), 50.0, 5.0)[:, 0].tolist()
    [5.0, 50.0, 95.0]
    """
    along = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(run, axis=0), axis=1))]
    room = along[-1] - 2 * clear
    if room <= 0:
        return np.zeros((0, 3))
    at = clear + np.linspace(0.0, room, int(np.ceil(room / pitch)) + 1)
    return np.stack([np.interp(at, along, run[:, k]) for k in range(3)], axis=-1)


def off_dowels(
    points: DrillPoints, dowels: Sequence[tuple[Vec3, Vec3]], diameter: float
) -> tuple[DrillPoints, int]:
    """Return the points whose holes keep clear of dowel holes of a diameter [mm], how many don't.

    `dowels` are axes [mm]; clear is two diameters of the drill from the dowel's wall.
    """
    if not len(points.at) or not dowels:
        return points, 0
    down = np.linspace(0.0, points.depth, DOWN)[:, None]
    holes = points.at[:, None] - down * points.normals[:, None]
    away = np.min([_off(holes, np.array(a), np.array(b)) for a, b in dowels], axis=0)
    clear = away.min(axis=1) > diameter / 2 + CLEAR * points.diameter
    kept = replace(points, at=points.at[clear], normals=points.normals[clear])
    return kept, int((~clear).sum())


def _off(places: Floats, a: Floats, b: Floats) -> Floats:
    """Return how far places (..., 3) are from a stretch [mm]."""
    along = np.clip((places - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
    return np.asarray(np.linalg.norm(places - a - along[..., None] * (b - a), axis=-1))


def drilled(
    piece: TopoDS_Solid,
    points: DrillPoints,
    part: str,
    cuts: Sequence[tuple[float, float]] = (),
) -> tuple[TopoDS_Solid, int, float]:
    """Return a piece with its drill points, how many, and what they took on average [1].

    That is the volume taken over that of a hole in a flat skin; `cuts` are the planes across x, y
    and z that the piece was cut at [mm]. GeometryError where the kernel can't cut them.
    """
    here = _inside(piece, points)
    for axis, (low, high) in enumerate(cuts):
        at, clear = points.at[:, axis], CLEAR * points.diameter
        here = here & (at > low + clear) & (at < high - clear)
    if not here.any():
        return piece, 0, 1.0
    r, deep = points.diameter / 2, points.depth
    knives = [
        cylinder(vec(at + OUT * n), vec(-n), r, OUT + deep)
        for at, n in zip(points.at[here], points.normals[here], strict=True)
    ]
    made = cut(piece, knives, part, "drill points")
    taken = volume(piece).value - volume(made).value
    return made, int(here.sum()), taken / (here.sum() * pi * r**2 * deep)


def _inside(piece: TopoDS_Solid, points: DrillPoints) -> Bools:
    """Return which points are a piece's own: clear of the box that it was cut to, fore and aft."""
    box = kernel_box(piece)
    clear = CLEAR * points.diameter
    x = points.at[:, 0]
    return np.asarray((x > box.low[0] + clear) & (x < box.high[0] - clear))


def points_finding(part: str, shares: Sequence[tuple[int, float]], left_out: int = 0) -> Check:
    """Return how far what was drilled is off what holes in a flat skin take [%].

    `left_out` is how many points joint dowels stand in the way of.
    """
    count = sum(number for number, _ in shares)
    worst = max((abs(share - 1.0) for number, share in shares if number), default=0.0)
    said = f", {left_out} more left out, too near to a joint dowel" if left_out else ""
    return found(
        f"mould.drill_points.{part}", part,
        f"{count} drill points{said}: volume taken, off that of as many holes in a flat skin",
        100.0 * worst, "%", high=100.0 * BENT, method="adaptive integration, piece by piece",
        source="own bound", advice="leave lines at its default: mark by the drawing",
    )  # fmt: skip
