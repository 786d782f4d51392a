"""Slopes of a potential along a surface, from its values on panels: parabolas along grid lines."""

from dataclasses import dataclass

import numpy as np

from geomgen.air.potential.panels import NOBODY, Panels
from geomgen.arrays import Bools, Floats, Ints

MIRROR = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True)
class Slopes:
    """How to differ along both grid lines: three panels and their weights a line.

    `who` (n, 2, 3) are panels, `weights` (n, 2, 3) [1/mm] give the slope of a panel's values at its
    own centre; `along` (n, 2, 3) [1] the lines' directions there; `known` (n, 2) is False where
    a panel has no neighbour on a line.
    """

    who: Ints
    weights: Floats
    along: Floats
    known: Bools
    normals: Floats

    def speeds(self, potential: Floats, onset: Floats) -> Floats:
        """Return speeds along the surface (n, 3, k) [m/s] of potentials (n, k) [mm m/s].

        `onset` (n, 3, k) [m/s] is what flows there already. Along a line without neighbours the
        potential is taken as even.
        """
        steep = np.einsum("nls,nlsk->nlk", self.weights, potential[self.who])
        steep = steep + np.einsum("nld,ndk->nlk", self.along, onset)
        first, second = self.along[:, 0], self.along[:, 1]
        aa, bb = (np.einsum("nd,nd->n", v, v) for v in (first, second))
        ab = np.einsum("nd,nd->n", first, second)
        det = aa * bb - ab * ab
        one = (bb[:, None] * steep[:, 0] - ab[:, None] * steep[:, 1]) / det[:, None]
        two = (aa[:, None] * steep[:, 1] - ab[:, None] * steep[:, 0]) / det[:, None]
        return np.asarray(
            first[:, :, None] * one[:, None, :] + second[:, :, None] * two[:, None, :]
        )


def slopes(panels: Panels, cut: Bools | None = None) -> Slopes:
    """Return how to differ on panels [mm]; `cut` (n, 2, 2) parts neighbours that a wake parts."""
    near, beyond = panels.neighbours.copy(), panels.beyond
    if cut is not None:
        near[cut] = NOBODY
    lines = [_line(panels, near[:, d], beyond[:, d], panels.turned[:, d], d) for d in (0, 1)]
    who, weights, along, known = (np.stack(part, axis=1) for part in zip(*lines, strict=True))
    for d in (0, 1):
        lone = ~known[:, d]
        along[lone, d] = np.cross(panels.normals[lone], along[lone, 1 - d])
    crossed = np.cross(along[:, 0], along[:, 1])
    # Lines that all but fall into one say nothing across: panels that are left alone.
    flat = np.linalg.norm(crossed, axis=1) < 1e-6
    along[flat, 1] = np.cross(panels.normals[flat], along[flat, 0])
    weights[flat, 1] = 0.0
    known[flat, 1] = False
    normals = np.cross(along[:, 0], along[:, 1])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    return Slopes(who, weights, along, known, normals)


def _line(
    panels: Panels, near: Ints, beyond: Bools, turned: Bools, d: int
) -> tuple[Ints, Floats, Floats, Bools]:
    own = np.arange(len(panels))
    back, ahead = near[:, 0], near[:, 1]
    third_ahead = np.where((ahead != NOBODY) & ~turned[:, 1], near[ahead, 1], NOBODY)
    third_back = np.where((back != NOBODY) & ~turned[:, 0], near[back, 0], NOBODY)
    both = (back != NOBODY) & (ahead != NOBODY)
    only_ahead, only_back = (back == NOBODY) & (ahead != NOBODY), (back != NOBODY) & (ahead == NOBODY)
    one = np.where(only_ahead, ahead, back)
    two = np.where(both, ahead, np.where(only_ahead, third_ahead, third_back))
    one_over = np.where(only_ahead, beyond[:, 1], beyond[:, 0])
    two_over = np.where(
        both,
        beyond[:, 1],
        np.where(only_ahead, beyond[ahead, 1] & (two != NOBODY), beyond[back, 0] & (two != NOBODY)),
    )
    at = panels.spots
    p0 = at
    p1 = _places(at, one, one_over)
    p2 = _places(at, two, two_over)
    s1 = np.linalg.norm(p1 - p0, axis=1)
    s2 = np.where(both, np.linalg.norm(p2 - p0, axis=1), s1 + np.linalg.norm(p2 - p1, axis=1))
    sign = np.where(only_ahead, 1.0, -1.0)
    s1 = s1 * sign
    s2 = np.where(both, s2, s2 * sign)
    known = one != NOBODY
    three = known & (two != NOBODY)
    with np.errstate(divide="ignore", invalid="ignore"):
        w1 = np.where(three, s2 / (s1 * (s2 - s1)), 1.0 / s1)
        w2 = np.where(three, -s1 / (s2 * (s2 - s1)), 0.0)
    w1, w2 = np.where(known, w1, 0.0), np.where(three, w2, 0.0)
    weights = np.stack([-(w1 + w2), w1, w2], axis=1)
    who = np.stack([own, np.where(known, one, own), np.where(three, two, own)], axis=1)
    along = weights[:, 1, None] * (p1 - p0) + weights[:, 2, None] * (p2 - p0)
    # Where nothing is known the line runs as its panel does.
    c = panels.corners
    sides = (c[:, 1] + c[:, 2] - c[:, 0] - c[:, 3], c[:, 2] + c[:, 3] - c[:, 0] - c[:, 1])[d]
    along = np.where(known[:, None], along, sides / np.linalg.norm(sides, axis=1)[:, None])
    return who, weights, along, known


def _places(at: Floats, who: Ints, over: Bools) -> Floats:
    return np.asarray(at[who] * np.where(over[:, None], MIRROR, 1.0))
