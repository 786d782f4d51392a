"""Aerofoil outlines: NACA four- and five-digit sections, and sections given by points.

Sources: NACA Report 460 (four-digit thickness and camber), NACA Report 537 (five-digit camber),
both from memory and compared with ordinates worked by hand in the tests.
"""

from collections.abc import Sequence

import numpy as np
from scipy.interpolate import PchipInterpolator, make_interp_spline
from scipy.optimize import brentq

from geomgen.arrays import Floats
from geomgen.errors import GeometryError

# Points round half an outline; at 40 the spline through them is within 1e-5 chord of the equations.
HALF = 40
# From this share of the chord on, points follow a blunt edge that is moved aft.
FOLLOW = 0.7
THICKNESS = (0.2969, -0.1260, -0.3516, 0.2843, -0.1015)
# Camber-line constants m, k1 of the standard five-digit sections (design lift 0.3), Report 537.
FIVE_DIGIT = {
    "210": (0.0580, 361.4),
    "220": (0.1260, 51.64),
    "230": (0.2025, 15.957),
    "240": (0.2900, 6.643),
    "250": (0.3910, 3.230),
}


def angles() -> Floats:
    """Return the outline parameter (2 HALF + 1,) [rad]: upper edge -pi/2, nose 0, lower edge pi/2.

    Equal steps of this angle crowd the points towards the nose: x = 1 - cos. At the blunt edge it
    must run on, not stand still: where a surface stands still it has no normal, and the kernel then
    takes points far behind the edge to lie inside.
    """
    return np.linspace(-np.pi / 2, np.pi / 2, 2 * HALF + 1)


def half_thickness(x: Floats, thickness: float) -> Floats:
    """Return the half thickness yt (n,) [chord] at `x` (n,) [chord], of `thickness` [chord] in all.

    Of a four-digit section, NACA Report 460:
    yt = 5 t (0.2969 sqrt(x) - 0.1260 x - 0.3516 x^2 + 0.2843 x^3 - 0.1015 x^4).

    >>> round(float(half_thickness(np.array([0.3]), 0.12)[0]), 5)
    0.06002
    """
    a = THICKNESS
    return np.asarray(
        5 * thickness * (a[0] * np.sqrt(x) + x * (a[1] + x * (a[2] + x * (a[3] + x * a[4]))))
    )


def camber_four(x: Floats, m: float, p: float) -> tuple[Floats, Floats]:
    """Return camber [chord] and slope [1], each (n,), at `x` (n,) [chord] of a four-digit section.

    The most camber is `m` [chord], at `p` [chord]; NACA Report 460.
    """
    if m == 0 or p == 0:
        return np.zeros_like(x), np.zeros_like(x)
    fore = x < p
    y = np.where(
        fore, m / p**2 * (2 * p * x - x**2), m / (1 - p) ** 2 * (1 - 2 * p + 2 * p * x - x**2)
    )
    slope = np.where(fore, 2 * m / p**2 * (p - x), 2 * m / (1 - p) ** 2 * (p - x))
    return y, slope


def camber_five(x: Floats, series: str, lift: float) -> tuple[Floats, Floats]:
    """Return camber [chord] and slope [1], each (n,), at `x` (n,) [chord] of a five-digit section.

    Plain series only, not reflexed; `lift` is the design lift coefficient [1].
    """
    m, k1 = FIVE_DIGIT[series]
    k1 = k1 * lift / 0.3
    fore = x < m
    y = np.where(
        fore,
        k1 / 6 * (x**3 - 3 * m * x**2 + m**2 * (3 - m) * x),
        k1 * m**3 / 6 * (1 - x),
    )
    slope = np.where(fore, k1 / 6 * (3 * x**2 - 6 * m * x + m**2 * (3 - m)), -k1 * m**3 / 6 + 0 * x)
    return y, slope


def naca(digits: str) -> Floats:
    """Return the outline (2 HALF + 1, 2) [chord] of a NACA section, upper edge to lower edge.

    Raises GeometryError for a series that is not built here.

    >>> outline = naca("0012")
    >>> outline.shape, bool(outline[:, 1].max() < 0.0601)
    ((81, 2), True)
    """
    theta = angles()
    x = 1 - np.cos(theta)
    thickness = int(digits[-2:]) / 100
    if len(digits) == 4:
        camber, slope = camber_four(x, int(digits[0]) / 100, int(digits[1]) / 10)
    elif len(digits) == 5 and "2" + digits[1:3] in FIVE_DIGIT:
        camber, slope = camber_five(x, "2" + digits[1:3], int(digits[0]) * 0.15)
    else:
        raise GeometryError(f"no NACA section {digits!r} is built here", step="aerofoil")
    half = half_thickness(x, thickness) * np.where(theta <= 0, 1.0, -1.0)
    lean = np.arctan(slope)
    return np.stack([x - half * np.sin(lean), camber + half * np.cos(lean)], axis=-1)


def through(points: Sequence[tuple[float, float]]) -> Floats:
    """Return an outline (2 HALF + 1, 2) [chord] laid through points (n, 2) [chord].

    Both run from the upper edge round the nose to the lower edge.
    """
    given = np.asarray(points, dtype=float)
    nose = int(np.argmin(given[:, 0]))
    step = np.hypot(*np.diff(given, axis=0).T)
    run = np.r_[0.0, np.cumsum(step)]
    spline = make_interp_spline(run, given, k=3)
    front = _front(spline, run, nose)
    x0, x1 = float(spline(front)[0]), float(min(given[0, 0], given[-1, 0]))
    theta = angles()
    along = np.empty_like(theta)
    upper, lower = theta <= 0, theta >= 0
    for side, low, high in ((upper, 0.0, front), (lower, front, run[-1])):
        fine = np.linspace(low, high, 2001)
        x = np.clip((spline(fine)[:, 0] - x0) / (x1 - x0), 0, 1)
        turn = np.arccos(1 - x) * (-1 if low == 0.0 else 1)
        keep = np.r_[True, np.diff(np.maximum.accumulate(turn)) > 1e-12]
        along[side] = PchipInterpolator(turn[keep], fine[keep])(theta[side])
    along[0], along[HALF], along[-1] = 0.0, front, run[-1]
    return np.asarray(spline(along))


def _front(spline: object, run: Floats, nose: int) -> float:
    slope = spline.derivative()  # type: ignore[attr-defined]
    low, high = run[max(nose - 1, 0)], run[min(nose + 1, len(run) - 1)]
    if slope(low)[0] * slope(high)[0] < 0:
        return float(brentq(lambda s: float(slope(s)[0]), low, high))
    return float(run[nose])


def with_edge(outline: Floats, edge: float) -> Floats:
    """Return the outline (2 HALF + 1, 2) [chord] with a trailing edge `edge` thick [chord].

    Half of the difference is added to the upper and half to the lower side, in proportion to the
    distance from the nose.
    """
    gap = outline[0] - outline[-1]
    more = (edge - float(np.hypot(*gap))) / 2
    side = np.sign(-angles())
    end = np.where(side > 0, outline[0, 0], outline[-1, 0])
    x = (outline[:, 0] - outline[HALF, 0]) / (end - outline[HALF, 0])
    apart = gap / np.hypot(*gap) if np.hypot(*gap) > 1e-9 else np.array([0.0, 1.0])
    return np.asarray(outline + (more * np.clip(x, 0, None) * side)[:, None] * apart)


def grown(outline: Floats, distance: float) -> Floats:
    """Return the outline (2 HALF + 1, 2) moved outward by `distance` along its normals.

    Both are in one unit [chord].
    """
    spline = make_interp_spline(angles(), outline, k=3)
    tangent = spline.derivative()(angles())
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=-1)
    normal /= np.hypot(normal[:, 0], normal[:, 1])[:, None]
    moved = outline + distance * normal
    # The blunt edge moves aft as well, so that the corner stands clear all round; the points ahead
    # of it follow along the skin, or the spline would ripple there.
    share = (outline[:, 0] - outline[HALF, 0]) / (outline[0, 0] - outline[HALF, 0])
    moved[:, 0] += distance * np.clip((share - FOLLOW) / (1 - FOLLOW), 0, None) ** 2
    return np.asarray(moved)
