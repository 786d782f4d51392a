"""How densely a face must be sampled in u and in v, and the plane in which that density is one.

Linear interpolation over a cell du by dv errs by at most (L du^2 + 2 M du dv + N dv^2) / 8 with the
normal parts L, M, N of the second derivatives (Taylor). The plane is stretched so that a cell that
just keeps the tolerance is a unit square there.
"""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.brep.surface_points import SurfacePoints
from geomgen.kernel.mesh import cross

# Samples per direction, and at least so many per piece of a spline.
SAMPLES = 24
PER_PIECE = 3
MOST = 160
# Density kept everywhere, as a share of the mean: the map must stay well-conditioned.
LEAST = 0.02
# Rows of equilateral triangles whose circumscribed circle is that of a unit cell.
STEP, ROW = 1.2247, 1.0607
FIRST_ROW, NEAR_END = 0.5, 0.4


@dataclass(frozen=True)
class FaceGrid:
    """A stretched parameter plane: u and v at rising values of the stretched coordinates."""

    u: Floats
    stretched_u: Floats
    v: Floats
    stretched_v: Floats

    def stretch(self, uv: Floats) -> Floats:
        """Return stretched coordinates [1] of `uv` (n, 2); past its ends the map is straight."""
        columns = [
            _run_on(uv[:, 0], self.u, self.stretched_u),
            _run_on(uv[:, 1], self.v, self.stretched_v),
        ]
        return np.stack(columns, axis=-1)

    def relax(self, points: Floats) -> Floats:
        """Return uv (n, 2) of stretched `points` (n, 2) [1] inside the plane."""
        u = np.interp(points[:, 0], self.stretched_u, self.u)
        v = np.interp(points[:, 1], self.stretched_v, self.v)
        return np.stack([u, v], axis=-1)

    def lattice(self) -> tuple[Floats, Floats]:
        """Return inner lattice points, stretched (n, 2) [1] and as uv (n, 2).

        Rows are staggered: for the same circle round it a triangle covers a third more so.
        """
        wide, high = float(self.stretched_u[-1]), float(self.stretched_v[-1])
        # One cell across: straight lines from edge to edge do it.
        if min(wide, high) < 1.5:
            return np.empty((0, 2)), np.empty((0, 2))
        rows = np.linspace(FIRST_ROW, high - FIRST_ROW, 1 + int(np.ceil((high - 1) / ROW)))
        places = np.linspace(NEAR_END, wide - NEAR_END, 2 + int(np.ceil((wide - 1) / (STEP / 2))))
        parts = [
            np.stack(np.broadcast_arrays(places[i % 2 :: 2], row), axis=-1)
            for i, row in enumerate(rows)
        ]
        # A trace of noise, so that no four corners are on one circle.
        grid = np.concatenate(parts)
        grid = grid + np.random.default_rng(0).uniform(-1e-4, 1e-4, grid.shape)
        return grid, self.relax(grid)


def _run_on(x: Floats, at: Floats, values: Floats) -> Floats:
    inside = np.interp(x, at, values)
    first = (values[1] - values[0]) / (at[1] - at[0])
    last = (values[-1] - values[-2]) / (at[-1] - at[-2])
    return np.asarray(
        inside + np.minimum(x - at[0], 0.0) * first + np.maximum(x - at[-1], 0.0) * last
    )


def _sampled(low: float, high: float, breaks: Floats) -> Floats:
    """Return the borders of the sample cells between `low` and `high`."""
    span = high - low
    inner = breaks[(breaks > low + 1e-9 * span) & (breaks < high - 1e-9 * span)]
    corners = np.r_[low, inner, high]
    each = int(np.clip(np.ceil(SAMPLES / (len(corners) - 1)), PER_PIECE, SAMPLES))
    if each * (len(corners) - 1) > MOST:
        return np.asarray(np.linspace(low, high, MOST + 1))
    shares = np.arange(each) / each
    fine = corners[:-1, None] + shares * np.diff(corners)[:, None]
    return np.asarray(np.r_[fine.reshape(-1), high])


def grid_of(
    surface: SurfacePoints,
    u_range: tuple[float, float],
    v_range: tuple[float, float],
    sag: float,
    angular: float,
) -> FaceGrid:
    """Return the stretched plane for a mesh tolerance `sag` [mm] and a turn `angular` [rad]."""
    if surface.kind == "plane":
        size = max(u_range[1] - u_range[0], v_range[1] - v_range[0])
        return FaceGrid(
            np.array(u_range),
            np.array([0.0, (u_range[1] - u_range[0]) / size]),
            np.array(v_range),
            np.array([0.0, (v_range[1] - v_range[0]) / size]),
        )
    borders_u = _sampled(*u_range, surface.breaks[0])
    borders_v = _sampled(*v_range, surface.breaks[1])
    mid_u, mid_v = (borders_u[1:] + borders_u[:-1]) / 2, (borders_v[1:] + borders_v[:-1]) / 2
    uv = np.stack(np.meshgrid(mid_u, mid_v, indexing="ij"), axis=-1).reshape(-1, 2)
    bend_u, bend_v, turn_u, turn_v = _bends(surface.at(uv, 2), (len(mid_u), len(mid_v)), uv)
    width_u, width_v = np.diff(borders_u), np.diff(borders_v)
    dense_v = _spread(np.sqrt(bend_v.max(axis=0) / (4 * sag)))
    count_v = max(1.0, float(dense_v @ width_v))
    # What the v direction leaves of the tolerance is u's: a cylinder's u may have all of it.
    spent = 4 * sag * (float(dense_v @ width_v) / np.ceil(count_v)) ** 2
    dense_u = _spread(np.sqrt(bend_u.max(axis=1) / (8 * sag - spent)))
    count_u = float(dense_u @ width_u)
    if count_u < 1.0:
        dense_v = _spread(np.sqrt(bend_v.max(axis=0) / (8 * sag - 4 * sag * count_u**2)))
    dense_u = np.maximum(dense_u, turn_u.max(axis=1) / angular)
    dense_v = np.maximum(dense_v, turn_v.max(axis=0) / angular)
    return FaceGrid(
        borders_u, _stretched(dense_u, width_u), borders_v, _stretched(dense_v, width_v)
    )


def _bends(
    rows: Floats, shape: tuple[int, int], uv: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the bends L', N' (k, m), the twist M shared out to both, and the turns per unit."""
    _, su, sv, suu, suv, svv = rows
    normal = cross(su, sv)
    size = np.linalg.norm(normal, axis=-1, keepdims=True)
    length_u = np.linalg.norm(su, axis=-1)
    length_v = np.linalg.norm(sv, axis=-1)
    # At a pole the normal has no direction there; what lies beside it decides.
    sound = size[:, 0] > 1e-9 * np.maximum(length_u * length_v, 1e-300)
    unit = np.where(sound[:, None], normal / np.maximum(size, 1e-300), 0.0)
    bend_u, twist, bend_v = (
        np.abs(np.einsum("ij,ij->i", d, unit)).reshape(shape) for d in (suu, suv, svv)
    )
    reach_u, reach_v = np.ptp(uv[:, 0]) or 1.0, np.ptp(uv[:, 1]) or 1.0
    small = 1e-12
    ratio = np.sqrt((bend_u.mean() + small) / (bend_v.mean() + small))
    ratio = float(np.clip(ratio, 1e-3 * reach_v / reach_u, 1e3 * reach_v / reach_u))
    fast_u = np.maximum(length_u, 1e-3 * length_u.max() + 1e-300).reshape(shape)
    fast_v = np.maximum(length_v, 1e-3 * length_v.max() + 1e-300).reshape(shape)
    return (
        bend_u + twist * ratio,
        bend_v + twist / ratio,
        bend_u / fast_u,
        bend_v / fast_v,
    )


def _spread(dense: Floats) -> Floats:
    """Let a sample speak for its neighbours too: the largest bend may lie between two samples."""
    padded = np.r_[dense[0], dense, dense[-1]]
    beside = np.maximum(padded[:-2], padded[2:])
    return np.asarray(np.maximum(dense, 0.5 * (dense + np.maximum(dense, beside))))


def _stretched(dense: Floats, width: Floats) -> Floats:
    total = float(dense @ width)
    span = float(width.sum())
    dense = np.maximum(dense, max(LEAST * total, 1.0 * LEAST) / span)
    running = np.r_[0.0, np.cumsum(dense * width)]
    count = max(1.0, float(np.ceil(running[-1] - 1e-9)))
    return np.asarray(running * (count / running[-1]))
