"""Dense points to lines and arcs: what a laser, a router or a CAD program of a shop wants.

Pieces are grown greedily: from one point, the longest run that one line or one arc through its ends
(the arc by the angle that fits the run best) keeps within the tolerance. Ends of pieces are points
that were given, so that nothing drifts.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from geomgen.arrays import Floats
from geomgen.drafting.record import CUT, Path, Point

# A bulge flatter than this is drawn as a line; no arc turns further than a quarter.
FLAT = 1e-6
STEEPEST = math.tan(math.pi / 8)


def fitted(
    points: ArrayLike,
    tolerance: float = 0.02,
    closed: bool = True,
    corners: Sequence[int] = (),
    layer: str = CUT,
    name: str = "",
) -> Path:
    """Return lines and arcs within `tolerance` [mm] of points (n, 2) [mm] and of the lines between.

    A piece never runs across one of the `corners` (places in `points`). The first point of a
    closed run need not be repeated. ValueError for fewer than two points (three if closed).

    >>> angle = np.linspace(0.0, 2 * np.pi, 400, endpoint=False)
    >>> ring = fitted(50 * np.stack([np.cos(angle), np.sin(angle)], axis=1))
    >>> round(ring.area() / (np.pi * 2500), 5), len(ring.points) <= 8
    (1.0, True)
    """
    given, corners = _without_repeats(np.asarray(points, dtype=float), corners)
    if closed and len(given) > 1 and np.allclose(given[0], given[-1], atol=1e-9):
        given = given[:-1]
    if len(given) < (3 if closed else 2):
        raise ValueError("too few points for a path")
    start = corners[0] % len(given) if closed and len(corners) else 0
    stops = {(corner - start) % len(given) for corner in corners}
    run = np.roll(given, -start, axis=0) if closed else given
    if closed:
        run = np.vstack([run, run[:1]])
    places, bulges = _pieces(run, tolerance, stops | {len(run) - 1})
    kept: list[Point] = [(float(run[i, 0]), float(run[i, 1])) for i in places]
    if closed:
        return Path(tuple(kept[:-1]), tuple(bulges), True, layer, name)
    return Path(tuple(kept), (*bulges, 0.0), False, layer, name)


def _without_repeats(points: Floats, corners: Sequence[int]) -> tuple[Floats, Sequence[int]]:
    """Drop points that stand on the one before; no shop wants pieces without a length."""
    if len(points) < 2:
        return points, corners
    steps = np.hypot(*np.diff(points, axis=0).T)
    kept = np.concatenate([[True], steps > 1e-9])
    if kept.all():
        return points, corners
    places = np.cumsum(kept) - 1
    return points[kept], [int(places[corner % len(points)]) for corner in corners]


def _pieces(run: Floats, tolerance: float, stops: set[int]) -> tuple[list[int], list[float]]:
    places, bulges = [0], []
    last = len(run) - 1
    while places[-1] < last:
        here = places[-1]
        furthest = min(stop for stop in stops if stop > here)
        end, bulge = _longest(run, here, furthest, tolerance)
        places.append(end)
        bulges.append(bulge)
    return places, bulges


def _longest(run: Floats, here: int, furthest: int, tolerance: float) -> tuple[int, float]:
    """Return the end of the longest piece from `here`, found by doubling and halving."""
    good, bulge = here + 1, 0.0
    step = 1
    while good < furthest:
        trial = min(good + step, furthest)
        made = _piece(run[here : trial + 1], tolerance)
        if made is None:
            if step == 1:
                break
            step = max(1, step // 4)
            continue
        good, bulge, step = trial, made, step * 2
    return good, bulge


def _piece(points: Floats, tolerance: float) -> float | None:
    """Return the bulge of a line or arc from the first to the last point that fits them all."""
    a, b = points[0], points[-1]
    chord = float(np.hypot(*(b - a)))
    if chord < 1e-9:
        return None
    along = (b - a) / chord
    x = (points[1:-1] - a) @ along
    y = (points[1:-1] - a) @ np.array([-along[1], along[0]])
    if not _onward(np.concatenate([[0.0], x, [chord]]), tolerance):
        return None
    if np.all(np.abs(y) <= tolerance):
        return 0.0
    bulge = _bulge(x, y, chord)
    if abs(bulge) < FLAT or abs(bulge) > STEEPEST:
        return None
    return bulge if _off(points, a, along, chord, bulge) <= tolerance else None


def _onward(x: Floats, tolerance: float) -> bool:
    """Whether a run never goes back along its chord; one that does hides a spike.

    An arc of up to a half turn doesn't go back either.
    """
    return bool(np.all(np.maximum.accumulate(x) - x <= tolerance))


def _bulge(x: Floats, y: Floats, chord: float) -> float:
    """Return the bulge of the circle through both ends that lies nearest to points (x, y).

    Every circle through (0, 0) and (c, 0) is x^2 - c x + y^2 - 2 k y = 0; k by least squares.
    """
    weight = float(np.sum(4 * y * y))
    if weight == 0.0:
        return 0.0
    k = float(np.sum(2 * y * (x * x - chord * x + y * y))) / weight
    radius = math.hypot(chord / 2, k)
    # The arc lies on the side of the points; its height over the chord gives the bulge.
    side = 1.0 if float(np.sum(y)) > 0 else -1.0
    height = k + side * radius
    return -2 * height / chord


def _off(points: Floats, a: Floats, along: Floats, chord: float, bulge: float) -> float:
    """Return the largest distance between the arc and the points or the middles between them."""
    across = np.array([-along[1], along[0]])
    height = -bulge * chord / 2
    radius = (chord**2 / 4 + height**2) / (2 * abs(height))
    k = height - math.copysign(radius, height)
    middles = 0.5 * (points[1:] + points[:-1])
    both = np.vstack([points, middles])
    x, y = (both - a) @ along - chord / 2, (both - a) @ across - k
    return float(np.max(np.abs(np.hypot(x, y) - radius)))
