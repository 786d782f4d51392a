"""How wide a ring's leg on the sheet has to be, where the flange is bent as the hull asks.

The more a flange is bent, the further from the outline its bend and its relief cuts begin.
"""

import math

import numpy as np
import shapely
from scipy.optimize import brentq

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.shops.figures import plain
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab
from geomgen.shops.sheet_metal.ring.rivet_line import LegSpan, RingWish, RivetLine, root_radius

KEY = "handoff.sheet.ring_width"
# How near the roots of relief cuts are followed [mm]; a width that would do is told in steps of
# so much [mm].
FINE, STEP = 0.005, 0.1


def at_bend(whole: FlatPattern, tab: Tab, end: int) -> Floats:
    """Return where (2,) [mm] a side of a tab, carried on, reaches the beginning of its bend."""
    edge, bend = np.array(tab.ends[end]), np.array(tab.bend[end])
    share = whole.bending.allowance(tab.angle) / 2 / tab.flat
    return np.asarray(bend + share * (bend - edge))


def least_width(whole: FlatPattern, wish: RingWish) -> float:
    """Return the least width [mm] of a ring's leg: two edge distances inside of all its cuts.

    `whole` is the pattern of its flange.
    """
    outline = shapely.Polygon(whole.sheet.outline)
    deep = _depth(outline, np.array(whole.cut.dense(FINE)))
    return stepped(deep + 2 * wish.edge)


def tongue_width(
    whole: FlatPattern, wish: RingWish, along: RivetLine, span: LegSpan, tab: Tab
) -> float:
    """Return the least width [mm] of a leg whose tongue leaves the flange at the end of a tab.

    A round corner of radius r turns from the way (a, b) from the bend, b along the tongue, onto the
    tongue: r tan(turn / 2) = r (h - b) / a with h^2 = a^2 + b^2 has to be less than h (derived).
    """
    radius = root_radius(whole.bending)
    way = along.at([span.end], -wish.edge)[0] - at_bend(whole, tab, 1)
    a, b = float(way @ along.square([span.end])[0]), float(way @ along.along([span.end])[0])

    def room(deep: float) -> float:
        h = math.hypot(deep, b)
        return deep * h - radius * (h - b)

    tries = np.linspace(0.0, 2 * (radius + abs(b)), 400)
    short = int(np.nonzero([room(deep) <= 0.0 for deep in tries])[0][-1])
    least = brentq(room, tries[short], tries[short + 1])
    return wish.width if a > least else stepped(wish.width + least - a + STEP)


def stepped(width: float) -> float:
    """Return a width [mm] as it is told, no less.

    >>> stepped(17.31), stepped(17.3)
    (17.4, 17.3)
    """
    return round(math.ceil(round(width / STEP, 6)) * STEP, 6)


def _depth(outline: shapely.Polygon, points: Floats) -> float:
    """Return how far [mm] inside of an outline the innermost of points (n, 2) lies."""
    spots = shapely.points(points)
    inside = shapely.contains(outline, spots)
    return float(shapely.distance(spots[inside], outline.exterior).max(initial=0.0))


def too_narrow(width: float, least: float) -> GeometryError:
    """Return the refusal of a leg [mm] that leaves a tongue no room inside of the flange's bend."""
    return GeometryError(
        f"a ring {plain(width)} mm wide has no room for its tongues inside of the flange's bend; "
        f"{least:.1f} mm would do",
        part="firewall",
        step="flange ring",
        look_at=[KEY],
    )
