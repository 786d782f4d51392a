"""How tightly a body's skin bends: the largest distance at which a surface beside it is whole."""

from dataclasses import dataclass

import numpy as np

from geomgen.kernel.bodies import HALVES, Half, normals, walkable
from geomgen.kernel.lines import Floats, Lines, quadrant

# A skin is looked at so often round a quadrant and along its length.
LOOKS = (41, 241)
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
    v = np.linspace(ends[0], ends[1], LOOKS[1])
    u = np.linspace(0.0, 1.0, LOOKS[0])
    most = np.zeros(len(v))
    for which in HALVES:
        hollow, bulge = principal_curvatures(lines, which, u, v)
        most = np.maximum(most, (bulge if inward else -hollow).max(axis=0))
    with np.errstate(divide="ignore"):
        return np.asarray(lines.station(v)), np.where(most > 1e-9, 1 / most, np.inf)


def principal_curvatures(lines: Lines, which: Half, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Return the smaller and the larger curvature [1/mm] of a quadrant, each (k, m).

    Where the skin bulges outward it is positive. From differences of the normals.
    """
    at = np.broadcast_to(v, (len(u), len(v)))
    _, du, dv = quadrant(lines, which, u, at)
    inner = np.clip(u, STEP, 1 - STEP)
    ahead, behind = normals(lines, which, inner + STEP, at), normals(lines, which, inner - STEP, at)
    fore, aft = normals(lines, which, u, at - STEP), normals(lines, which, u, at + STEP)
    turned = [(ahead[1] - behind[1]) / (2 * STEP), (aft[1] - fore[1]) / (2 * STEP)]
    first = _products((du, dv), (du, dv))
    second = _products(turned, (du, dv))
    # Round a point the parameters run together; nothing is told there.
    size = np.maximum(np.trace(first, axis1=-2, axis2=-1), 1e-12)
    told = np.linalg.det(first) > 1e-9 * size**2
    first[~told], second[~told] = np.eye(2), 0.0
    shape = np.linalg.solve(first, second)
    half, product = np.trace(shape, axis1=-2, axis2=-1) / 2, np.linalg.det(shape)
    spread = np.sqrt(np.maximum(half**2 - product, 0.0))
    return half - spread, half + spread


def _products(rows: "tuple[Floats, Floats] | list[Floats]", by: tuple[Floats, Floats]) -> Floats:
    return np.stack([np.stack([(a * b).sum(-1) for b in by], -1) for a in rows], -2)
