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
    a panel has no neighbour on a line. `doubtful` (n,) are panels cut at another body or parted
    from a neighbour by a wake, and those beside them: leave them out where a largest speed is
    sought.
    """

    who: Ints
    weights: Floats
    along: Floats
    known: Bools
    doubtful: Bools

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
    odd = panels.trimmed | ~known.any(axis=1)
    if cut is not None:
        odd |= cut.any(axis=(1, 2))
    beside = (odd[panels.neighbours] & (panels.neighbours != NOBODY)).any(axis=(1, 2))
    return Slopes(who, weights, along, known, odd | beside)


def _line(
    panels: Panels, near: Ints, beyond: Bools, turned: Bools, d: int
) -> tuple[Ints, Floats, Floats, Bools]:
    """Return three panels of each line, their weights [1/mm], its direction [1], what is known."""
    one, two, one_over, two_over, both = _three(near, beyond, turned)
    known, three = one != NOBODY, two != NOBODY
    at = panels.spots
    p1, p2 = _places(at, one, one_over), _places(at, two, two_over)
    s1 = np.linalg.norm(p1 - at, axis=1)
    s2 = np.where(both, -np.linalg.norm(p2 - at, axis=1), s1 + np.linalg.norm(p2 - p1, axis=1))
    # The line is measured from the panel to the first other one; grids count the other way there
    # where that one is behind.
    sign = np.where(near[:, 0] == NOBODY, 1.0, -1.0)
    s1, s2 = sign * s1, sign * s2
    with np.errstate(divide="ignore", invalid="ignore"):
        w1 = np.where(three, s2 / (s1 * (s2 - s1)), 1.0 / s1)
        w2 = np.where(three, -s1 / (s2 * (s2 - s1)), 0.0)
    w1, w2 = np.where(known, w1, 0.0), np.where(three, w2, 0.0)
    own = np.arange(len(panels))
    who = np.stack([own, np.where(known, one, own), np.where(three, two, own)], axis=1)
    along = w1[:, None] * (p1 - at) + w2[:, None] * (p2 - at)
    # Where nobody is beside a panel the line runs as the panel does.
    c = panels.corners
    sides = (c[:, 1] + c[:, 2] - c[:, 0] - c[:, 3], c[:, 2] + c[:, 3] - c[:, 0] - c[:, 1])[d]
    alone = sides / np.maximum(np.linalg.norm(sides, axis=1), 1e-30)[:, None]
    along = np.where(known[:, None], along, alone)
    return who, np.stack([-(w1 + w2), w1, w2], axis=1), along, known


def _three(near: Ints, beyond: Bools, turned: Bools) -> tuple[Ints, Ints, Bools, Bools, Bools]:
    """Return both others of each line, whether they are mirrored, and whether on either side.

    Both neighbours, or the only one and the next but one on its side; lines that turn back end.
    """
    back, ahead = near[:, 0], near[:, 1]
    both = (back != NOBODY) & (ahead != NOBODY)
    side = np.where(back == NOBODY, 1, 0)
    rows = np.arange(len(near))
    one, one_over = near[rows, side], beyond[rows, side]
    goes_on = (one != NOBODY) & ~turned[rows, side]
    further = np.where(goes_on, near[one, side], NOBODY)
    further_over = beyond[one, side] & (further != NOBODY)
    two = np.where(both, ahead, further)
    return one, two, one_over, np.where(both, beyond[:, 1], further_over), both


def _places(at: Floats, who: Ints, over: Bools) -> Floats:
    return np.asarray(at[who] * np.where(over[:, None], MIRROR, 1.0))
