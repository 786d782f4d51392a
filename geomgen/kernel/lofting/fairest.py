"""The fairest course of a line through its stations: a C2 cubic that keeps within bands.

Where the plain spline stays within its bands it is the course. Where it does not, knots are added
in the intervals that it leaves, and of all cubics on those knots that stay within, the one that
bends least is taken: a quadratic problem with linear bounds, solved as one of least distance
(Lawson and Hanson, Solving Least Squares Problems, chapter 23: from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BSpline, make_interp_spline
from scipy.linalg import cholesky, null_space, solve_triangular
from scipy.optimize import nnls

from geomgen.arrays import Floats

Wanted = NDArray[np.int64]

# A line is held to its band at so many places in each interval.
LOOKS = 33
# Knots added in an interval in which nothing may hang on its neighbours.
FREE = 3
# A bound that is missed by this share of the band's size is kept: the solver's own rounding.
ROUNDING = 1e-9
# Residual of the least-distance problem below which nothing keeps all bounds.
NOTHING = 1e-12


@dataclass(frozen=True)
class Band:
    """Values `y` (n,) at the stations, and what is allowed between: `low`, `high` (n - 1,)."""

    y: Floats
    low: Floats
    high: Floats

    def size(self) -> float:
        """Return the larger of the band's whole extent and the values' own size [unit of y]."""
        return float(max(np.max(self.high) - np.min(self.low), np.max(np.abs(self.y)), 1e-12))


def natural(v: Floats, y: Floats, slopes: tuple[float | None, float | None]) -> BSpline:
    """Return the C2 cubic through `y` (n,) at `v` (n,) [any unit].

    An end with no slope given does not bend. Two stations get a third half-way between them.

    >>> round(float(natural(np.array([0.0, 1.0]), np.array([2.0, 4.0]), (None, None))(0.5)), 12)
    3.0
    """
    if len(v) == 2:
        v, y = np.array([v[0], v.mean(), v[1]]), np.array([y[0], y.mean(), y[1]])
    left, right = ((2, 0.0) if slope is None else (1, slope) for slope in slopes)
    return make_interp_spline(v, y, k=3, bc_type=([left], [right]))


def looks(v: Floats) -> Floats:
    """Return the places [unit of v] at which a line is held to its band, (n - 1, k)."""
    return np.asarray(v[:-1, None] + np.linspace(0, 1, LOOKS)[None, :] * np.diff(v)[:, None])


def past(curve: BSpline, v: Floats, band: Band) -> Floats:
    """Return how far `curve` leaves its band in each interval, (n - 1,) [unit of y]."""
    values = curve(looks(v))
    beyond = np.maximum(values.max(axis=1) - band.high, band.low - values.min(axis=1))
    return np.asarray(np.maximum(0.0, beyond))


def flat_knots(v: Floats, extra: Wanted) -> Floats:
    """Return the flat cubic knots [unit of v] at `v` (n,), `extra` (n - 1,) more in intervals.

    >>> flat_knots(np.array([0.0, 1.0, 2.0]), np.array([1, 0]))[3:-3].tolist()
    [0.0, 0.5, 1.0, 2.0]
    """
    if len(v) == 2 and not extra.any():
        extra = np.array([1])
    inner = [
        np.linspace(a, b, count + 2)[:-1] for a, b, count in zip(v[:-1], v[1:], extra, strict=True)
    ]
    whole = np.r_[np.concatenate(inner), v[-1]]
    return np.asarray(np.r_[[whole[0]] * 3, whole, [whole[-1]] * 3])


def on_knots(curve: BSpline, knots: Floats) -> BSpline:
    """Return the same curve on more knots [unit of v]."""
    count = len(knots) - 4
    greville = np.array([knots[i + 1 : i + 4].mean() for i in range(count)])
    matrix = BSpline.design_matrix(greville, knots, 3).toarray()
    return BSpline(knots, np.linalg.solve(matrix, curve(greville)), 3)


def fairest(knots: Floats, v: Floats, band: Band) -> BSpline | None:
    """Return the cubic on `knots` through the stations `v` (n,) [unit of the knots], bent least.

    It keeps to its band. None when no cubic on these knots does.
    """
    basis = _basis(knots)
    fixed, values = _through(basis, v, band.y)
    start = np.linalg.lstsq(fixed, values, rcond=None)[0]
    free = null_space(fixed)
    if free.shape[1] == 0:
        return None
    root = cholesky(free.T @ _bending(basis, knots) @ free)
    places = looks(v)
    rows = basis(places.ravel())
    low, high = np.repeat(band.low, LOOKS), np.repeat(band.high, LOOKS)
    bounds = np.vstack([rows, -rows])
    least = np.r_[low, -high] - bounds @ start
    # In w = root (x - x0) the bending is the plain distance from x0, the fairest of all.
    fair = -np.linalg.solve(root.T @ root, free.T @ (_bending(basis, knots) @ start))
    sides = solve_triangular(root, (bounds @ free).T, trans="T").T
    nearest = _least_distance(sides, least - bounds @ free @ fair, band.size())
    if nearest is None:
        return None
    coefficients = start + free @ (fair + solve_triangular(root, nearest))
    curve = BSpline(knots, coefficients, 3)
    return curve if np.max(past(curve, v, band)) <= 1e-6 * band.size() else None


def _least_distance(sides: Floats, least: Floats, size: float) -> Floats | None:
    """Return the shortest w with sides @ w >= least; None when there is none."""
    # A row that moves nothing says nothing; it is either kept anyway or never.
    lengths = np.linalg.norm(sides, axis=1)
    idle = lengths < 1e-12 * max(float(lengths.max()), 1e-300)
    if np.any(least[idle] > ROUNDING * size):
        return None
    sides, least, lengths = sides[~idle], least[~idle], lengths[~idle]
    least = least - ROUNDING * size
    scale = float(np.max(np.abs(least / lengths), initial=1e-300))
    stacked = np.vstack([(sides / lengths[:, None]).T, least / lengths / scale])
    aim = np.r_[np.zeros(sides.shape[1]), 1.0]
    try:
        share, _ = nnls(stacked, aim, maxiter=20 * stacked.shape[1])
    except RuntimeError:
        return None
    rest = stacked @ share - aim
    if -rest[-1] < NOTHING:
        return None
    return np.asarray(-rest[:-1] / rest[-1] * scale)


def blended(
    knots: Floats, v: Floats, lines: Sequence[Floats], round_ends: tuple[bool, bool]
) -> list[BSpline]:
    """Return a cubic for each of `lines` (n,) [any unit], all of one course between stations.

    Whatever order lines have at two stations they keep between them, for each is the same mean of
    its two values. The course is level at a station, but for round ends.
    """
    steps = [_step(knots, v, i, round_ends) for i in range(len(v) - 1)]
    return [
        BSpline(knots, y[0] + sum(d * s for d, s in zip(np.diff(y), steps, strict=True)), 3)
        for y in lines
    ]


def _step(knots: Floats, v: Floats, place: int, round_ends: tuple[bool, bool]) -> Floats:
    """Return the coefficients of a course that rises from 0 to 1 in one interval, bent least."""
    basis = _basis(knots)
    rows, values = [], []
    for i, station in enumerate(v):
        pole = (i == 0 and round_ends[0]) or (i == len(v) - 1 and round_ends[1])
        for order in (0, 2) if pole else (0, 1, 2):
            row = basis(station, nu=order)
            rows.append(row / np.linalg.norm(row))
            values.append(float(i > place) / np.linalg.norm(row) if order == 0 else 0.0)
    fixed = np.array(rows)
    start = np.linalg.lstsq(fixed, np.array(values), rcond=None)[0]
    free = null_space(fixed)
    energy = _bending(basis, knots)
    give = np.linalg.solve(free.T @ energy @ free, free.T @ (energy @ start))
    return np.asarray(start - free @ give)


def _basis(knots: Floats) -> BSpline:
    return BSpline(knots, np.eye(len(knots) - 4), 3)


def _through(basis: BSpline, v: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Return rows and values that hold a cubic to its stations and its ends straight."""
    ends = np.stack([basis(v[0], nu=2), basis(v[-1], nu=2)])
    size = np.linalg.norm(ends, axis=1, keepdims=True)
    return np.vstack([basis(v), ends / size]), np.r_[y, 0.0, 0.0]


def _bending(basis: BSpline, knots: Floats) -> Floats:
    """Return the matrix of the integral of the second derivative squared; exact for cubics."""
    corners = np.unique(knots)
    half, middle = np.diff(corners) / 2, (corners[1:] + corners[:-1]) / 2
    at = np.concatenate([middle - half / np.sqrt(3), middle + half / np.sqrt(3)])
    bend = basis(at, nu=2) * np.sqrt(np.r_[half, half])[:, None]
    return np.asarray(bend.T @ bend)
