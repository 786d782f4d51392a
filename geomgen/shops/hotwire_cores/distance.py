"""How far points stand inside the skins of a wing panel."""

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.shops.hotwire_cores.sections import Panel, Skin

GRID = (241, 25)
TURNS = 8


def depth_in(panel: Panel, points: Floats) -> Floats:
    """Return how deep points (n, 3) [mm] stand below the nearest of a panel's skins, (n,) [mm].

    Outside of the wing the depth is negative. Skins count where others were cut into them, too.
    """
    best = np.full(len(points), np.inf)
    for skin, outward in _oriented(panel):
        foot, normal = _feet(skin, points)
        gap = points - foot
        size = np.linalg.norm(gap, axis=1)
        inside = (gap * normal).sum(axis=1) * outward <= 0
        better = size < np.abs(best)
        best[better] = np.where(inside, size, -size)[better]
    return best


def _oriented(panel: Panel) -> list[tuple[Skin, float]]:
    """Return the skins, each with the sense in which its normal looks outward."""
    section = panel.section(0.5 * (panel.low + panel.high))
    centre = 0.5 * (section.upper.points.mean(axis=0) + section.lower.points.mean(axis=0))
    found = []
    for skin in (panel.upper, panel.lower, panel.edge):
        at, normal = skin.curve(section.buttock_line, 3)
        found.append((skin, float(np.sign((at[1] - centre) @ normal[1]))))
    return found


def _feet(skin: Skin, points: Floats) -> tuple[Floats, Floats]:
    """Return the nearest point of a skin to each of some points, and its unit normal."""
    low, high = skin.limits[:, 0], skin.limits[:, 1]
    shares = [np.linspace(0, 1, GRID[i == skin.across]) for i in (0, 1)]
    u, v = np.meshgrid(*(low[i] + shares[i] * (high[i] - low[i]) for i in (0, 1)))
    grid = np.stack([u.ravel(), v.ravel()], axis=-1)
    # Across the span the grid is wide; there the buttock line says where to start.
    share = np.clip((points[:, 1] - skin.y0) / (skin.y1 - skin.y0), 0, 1)
    flat = skin.points.at(grid)[0]
    scale = np.array([1.0, 0.2, 1.0])
    uv = grid[cKDTree(flat * scale).query(points * scale)[1]]
    i = skin.across
    uv[:, i] = low[i] + share * (high[i] - low[i])
    for _ in range(TURNS):
        uv = np.clip(uv + _step(skin, uv, points), low, high)
    at, along, over = skin.points.at(uv, 1)
    normal = np.cross(along, over)
    return at, normal / np.linalg.norm(normal, axis=1)[:, None]


def _step(skin: Skin, uv: Floats, points: Floats) -> Floats:
    """Return Newton's step to the place of a surface that is nearest to each point."""
    at, du, dv, duu, duv, dvv = skin.points.at(uv, 2)
    gap = at - points
    gu, gv = (gap * du).sum(1), (gap * dv).sum(1)
    bend = gap[:, None, :] @ np.stack([duu, duv, dvv], axis=-1)
    guu, guv, gvv = (
        (du * du).sum(1) + bend[:, 0, 0],
        (du * dv).sum(1) + bend[:, 0, 1],
        (dv * dv).sum(1) + bend[:, 0, 2],
    )
    det = guu * gvv - guv**2
    # Where the bend turns Newton's step uphill the plain one is taken.
    plain = (det <= 0) | (guu <= 0)
    guu, gvv = np.where(plain, (du * du).sum(1), guu), np.where(plain, (dv * dv).sum(1), gvv)
    guv = np.where(plain, (du * dv).sum(1), guv)
    det = guu * gvv - guv**2
    return np.asarray(np.stack([gv * guv - gu * gvv, gu * guv - gv * guu], axis=-1) / det[:, None])
