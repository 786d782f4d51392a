"""How tightly a body's skin bends: the largest distance at which a surface beside it is whole."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.lofting.bodies import HALVES, Half
from geomgen.kernel.lofting.lines import Lines, quadrant
from geomgen.kernel.lofting.offsets import normals, sum_of_three, walkable

# A skin is looked at so often round a quadrant and along its length, at least so often in each
# span of its splines, and more closely so often, at so many places at the most.
LOOKS = (41, 241)
IN_SPAN, CLOSER, PEAKS = 7, 2, 12
STEP = 1e-5


@dataclass(frozen=True)
class Bend:
    """The tightest bend of a skin: its radius [mm] and the station [mm] where it is."""

    radius: float
    station: float


def tightest_bend(lines: Lines, start: float, end: float, inward: bool = True) -> Bend:
    """Return the tightest bend between two stations [mm]; see `radii`."""
    x, radius = radii(lines, start, end, inward)
    place = int(np.argmin(radius))
    return Bend(float(radius[place]), float(x[place]))


def radii(lines: Lines, start: float, end: float, inward: bool = True) -> tuple[Floats, Floats]:
    """Return stations (n,) [mm] and the least radius (n,) [mm] of the skin at each of them.

    A surface inside the skin, at a larger distance than the radius, folds over itself there.
    Outside the skin (`inward` False) it is hollows that count. Infinite where nothing bends so.
    """
    low, high = walkable(lines)
    ends = [min(max(lines.at_station(x), low), high) for x in (start, end)]
    v = _looks(lines, ends[0], ends[1])
    most = _most(lines, v, inward)
    # Where it bends most, and most of all beside, it is looked at more closely.
    for _ in range(CLOSER):
        v, most = _looked_closer(lines, v, most, inward)
    with np.errstate(divide="ignore"):
        return np.asarray(lines.station(v)), np.where(most > 1e-9, 1 / most, np.inf)


def _looks(lines: Lines, start: float, end: float) -> Floats:
    """Return where to look along a skin: evenly, and in each span of its splines."""
    knots = np.unique(np.r_[start, lines.curves["crown"].t, lines.station.t, end])
    knots = knots[(knots >= start) & (knots <= end)]
    inner = knots[:-1, None] + np.linspace(0, 1, IN_SPAN)[None, :] * np.diff(knots)[:, None]
    return np.unique(np.r_[np.linspace(start, end, LOOKS[1]), inner.ravel()])


def _most(lines: Lines, v: Floats, inward: bool) -> Floats:
    """Return the largest curvature [1/mm] round the skin at each `v` (n,)."""
    u = np.linspace(0.0, 1.0, LOOKS[0])
    most = np.zeros(len(v))
    for which in HALVES:
        hollow, bulge = principal_curvatures(lines, which, u, v)
        most = np.maximum(most, (bulge if inward else -hollow).max(axis=0))
    return most


def _looked_closer(lines: Lines, v: Floats, most: Floats, inward: bool) -> tuple[Floats, Floats]:
    """Return the looks (n,) and what they found, with more of them beside the largest peaks."""
    peak = most[1:-1] >= np.maximum(most[:-2], most[2:])
    places = 1 + np.nonzero(peak)[0]
    places = places[np.argsort(-most[places])][:PEAKS]
    beside = [np.linspace(v[i - 1], v[i + 1], IN_SPAN) for i in places]
    more = np.setdiff1d(np.concatenate([*beside, v[:0]]), v)
    order = np.argsort(np.r_[v, more], kind="stable")
    return np.r_[v, more][order], np.r_[most, _most(lines, more, inward)][order]


def principal_curvatures(lines: Lines, which: Half, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Return the smaller and the larger curvature [1/mm] of a quadrant, each (k, m).

    Where the skin bulges outward it is positive. From differences of the normals.
    """
    _, du, dv = quadrant(lines, which, u, v)
    inner = np.clip(u, STEP, 1 - STEP)
    ahead, behind = normals(lines, which, inner + STEP, v), normals(lines, which, inner - STEP, v)
    fore, aft = normals(lines, which, u, v - STEP), normals(lines, which, u, v + STEP)
    turned = [(ahead[1] - behind[1]) / (2 * STEP), (aft[1] - fore[1]) / (2 * STEP)]
    first = _products((du, dv), (du, dv))
    second = _products(turned, (du, dv))
    # Round a point the parameters run together; nothing is told there.
    size = np.maximum(first[..., 0, 0] + first[..., 1, 1], 1e-12)
    told = np.linalg.det(first) > 1e-9 * size**2
    first[~told], second[~told] = np.eye(2), 0.0
    shape = np.linalg.solve(first, second)
    half, product = (shape[..., 0, 0] + shape[..., 1, 1]) / 2, np.linalg.det(shape)
    spread = np.sqrt(np.maximum(half**2 - product, 0.0))
    return half - spread, half + spread


def _products(rows: "tuple[Floats, Floats] | list[Floats]", by: tuple[Floats, Floats]) -> Floats:
    return np.stack([np.stack([sum_of_three(a * b) for b in by], -1) for a in rows], -2)
