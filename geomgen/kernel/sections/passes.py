"""Where curves and rows of surfaces pass a plane, or where another value along them is nil."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Edge

from geomgen.arrays import Floats
from geomgen.kernel.brep.curve_points import edge_curve
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.plane_frame import Frame

# A value this small is nil; found in so many steps or as near as they come.
NIL, STEPS = 1e-11, 60
# Places along an edge where its side of the plane is asked.
PLACES = 33


def nil_between(
    value: Callable[[Floats], Floats], low: Floats, high: Floats, at_low: Floats, at_high: Floats
) -> Floats:
    """Return where `value` (n,) is nil between places (n,) [any unit] at which its signs differ.

    The rule of false position; an end that stays twice in turn counts half (Illinois). Status:
    common practice.

    >>> one, two = np.array([1.0]), np.array([2.0])
    >>> round(float(nil_between(lambda x: x * x - 2.0, one, two, -one, two)[0]), 12)
    1.414213562373
    """
    a, b, fa, fb = low, high, at_low, at_high
    for _ in range(STEPS):
        left = np.abs(fb) > NIL
        if not left.any():
            break
        c = np.where(left, b - fb * (b - a) / np.where(fb == fa, 1.0, fb - fa), b)
        fc = np.where(left, value(c), fb)
        kept = np.sign(fc) == np.sign(fb)
        a, fa = np.where(left & ~kept, b, a), np.where(left, np.where(kept, fa / 2, fb), fa)
        b, fb = c, fc
    return b


def nil_on_rows(
    value: Callable[[Floats], Floats], first: Floats, last: Floats, ends: tuple[Floats, Floats]
) -> Floats:
    """Return places (n, 2) [any unit] between `first` and `last` at which `value` (n,) is nil.

    `ends` are its values (n,) at both, of differing signs.
    """
    way, none = last - first, np.zeros(len(first))
    share = nil_between(lambda s: value(first + s[:, None] * way), none, none + 1.0, *ends)
    return np.asarray(first + share[:, None] * way)


@dataclass(frozen=True)
class EdgePasses:
    """An edge against a plane: places looked at (m, 3), their heights (m,), passes (k, 3) [mm]."""

    looked: Floats
    heights: Floats
    points: Floats


def edge_passes(edge: TopoDS_Edge, frame: Frame, near: float = 0.0) -> EdgePasses:
    """Return where an edge passes a plane; places nearer to it than `near` [mm] have no side.

    >>> from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    >>> from OCP.gp import gp_Pnt
    >>> from geomgen.kernel.plane_frame import at_station
    >>> line = BRepBuilderAPI_MakeEdge(gp_Pnt(0, 1, 2), gp_Pnt(8, 1, 2)).Edge()
    >>> edge_passes(line, at_station(3.0)).points.tolist()
    [[3.0, 1.0, 2.0]]
    """
    curve, at = edge_curve(edge), EdgeCurve(edge).even(PLACES)
    looked = curve.at(at)
    heights = frame.height(looked)
    clear = np.abs(heights) > near
    t, h = at[clear], heights[clear]
    i = np.nonzero(h[:-1] * h[1:] < 0.0)[0]
    places = nil_between(lambda s: frame.height(curve.at(s)), t[i], t[i + 1], h[i], h[i + 1])
    return EdgePasses(looked, heights, curve.at(places) if len(i) else np.zeros((0, 3)))
