"""Sections of the firewall's flange, each point by its length along the sheet's outline."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet


def run_of(loop: Floats) -> tuple[Floats, float]:
    """Return the length run at each point of a loop (n,) and the whole length [mm]."""
    steps = np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1)
    return np.r_[0.0, np.cumsum(steps)[:-1]], float(steps.sum())


def around(s: Floats, loop: Floats, total: float, at: Floats) -> Floats:
    """Return points (k, 2) at lengths (k,) round a loop [mm]."""
    return np.stack([np.interp(at, s, loop[:, i], period=total) for i in (0, 1)], axis=-1)


@dataclass(frozen=True)
class Ring:
    """A section of the flange's outside: height, points (m, 2), their lengths along the outline."""

    h: float
    points: Floats
    s: Floats
    total: float

    def at(self, lengths: Floats) -> Floats:
        """Return u, v, h (k, 3) at lengths (k,) along the outline [mm]."""
        return np.column_stack(
            [around(self.s, self.points, self.total, lengths), np.full(len(lengths), self.h)]
        )


def rings_of(sheet: MeasuredSheet) -> list[Ring]:
    """Return the mid plane's outline and all sections, each point with its nearest length."""
    s, total = run_of(sheet.outline)
    found = [Ring(0.0, sheet.outline, s, total)]
    for h, points in sheet.rings:
        near = _nearest_lengths(sheet.outline, s, total, points)
        order = np.argsort(near)
        found.append(Ring(h, points[order], near[order], total))
    return found


def _nearest_lengths(loop: Floats, s: Floats, total: float, points: Floats) -> Floats:
    """Return the lengths (m,) along a loop where it is nearest to points (m, 2)."""
    nearest = cKDTree(loop).query(points)[1]
    best, found = np.full(len(points), np.inf), np.zeros(len(points))
    steps = np.diff(np.r_[s, total])
    for first in (nearest - 1, nearest):
        i = first % len(loop)
        a = loop[i]
        side = loop[(i + 1) % len(loop)] - a
        share = np.sum((points - a) * side, axis=1) / np.maximum(np.sum(side**2, axis=1), 1e-18)
        share = np.clip(share, 0.0, 1.0)
        off = np.linalg.norm(points - a - share[:, None] * side, axis=1)
        found = np.where(off < best, s[i] + share * steps[i], found)
        best = np.minimum(off, best)
    return np.asarray(np.mod(found, total))
