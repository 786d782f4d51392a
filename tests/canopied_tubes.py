"""A straight round tube as a pod, with a canopy cut out of it: all of it has a closed form."""

from functools import cache
from math import acos, sqrt

import numpy as np
from scipy.integrate import quad

from geomgen.kernel.lofting.bodies import outer_skin, tube
from geomgen.kernel.lofting.halves import half_tube
from geomgen.kernel.lofting.lines import lay
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.plain import Glass
from geomgen.shapes.assembly import canopy
from geomgen.shapes.hull import HULL, PodLines, round_stations
from geomgen.shapes.piece import NamedSolid

# Of the tube [mm]: radius, wall, length, waterline of its axis; of the canopy.
RADIUS, WALL, LENGTH, AXIS = 300.0, 5.0, 1500.0, 900.0
GAP, THICK = 2.0, 3.0
LEVEL = Glass(300.0, 1100.0, 1000.0, 1000.0)
SLOPING = Glass(300.0, 1100.0, 940.0, 1060.0)
SHORT = Glass(300.0, 500.0, 1000.0, 1000.0)


@cache
def lines():
    x = np.linspace(0.0, LENGTH, 5)
    return PodLines(lay(round_stations(x, np.full(5, RADIUS), AXIS), "pod"), WALL, 0.0, LENGTH)


def outer_net(skin):
    """Return the points (n, m, 3) [mm] of a glazed skin's outside, left to right across."""
    rows = np.array(skin.outer)
    return np.concatenate([rows[:, :0:-1] * [1.0, -1.0, 1.0], rows], axis=1)


@cache
def narrowing():
    """Return the lines of a cone that a thin wall closes: inside it, lines aft meet its skin."""
    x = np.linspace(0.0, LENGTH, 5)
    stations = round_stations(x, RADIUS - 0.1 * x, AXIS)
    return PodLines(lay(stations, "pod"), 2.5, 0.0, LENGTH)


@cache
def pod(of=lines):
    pod = of()
    outer = outer_skin(pod.lines, 0.0, LENGTH)
    inner = offset_skin(pod.lines, pod.wall, 0.0, LENGTH, "pod")
    return NamedSolid("pod", "pod", tube(outer, inner, "pod"), HULL, half_tube(outer, inner, "pod"))


@cache
def rest(edge=LEVEL, of=lines):
    return canopy.less_canopy(pod(of), edge)


@cache
def glazing(edge=LEVEL, gap=GAP, thick=THICK, of=lines):
    return canopy.glazing(of(), edge, gap, thick)


def above(radius, height):
    """Return the area [mm2] of a circle above a chord `height` [mm] over its centre."""
    return radius**2 * acos(height / radius) - height * sqrt(radius**2 - height**2)


def shell_above(edge, thick):
    """Return the volume [mm3] of a tube's wall, `thick` inward, between the ends above the sill."""
    found, _ = quad(
        lambda x: above(RADIUS, edge.sill(x) - AXIS) - above(RADIUS - thick, edge.sill(x) - AXIS),
        *(edge.fore, edge.aft),
    )
    return found


def middle_area(edge, thick):
    """Return the area [mm2] of the skins outside and inside that wall, half of both together."""
    found = [
        quad(lambda x, r=r: 2 * r * acos((edge.sill(x) - AXIS) / r), edge.fore, edge.aft)[0]
        for r in (RADIUS, RADIUS - thick)
    ]
    return sum(found) / 2
