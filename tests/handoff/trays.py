"""Plain firewalls of revolution, made without the builder of the firewall."""

import math
from pathlib import Path

from geomgen.handoff.bend import Bending
from geomgen.handoff.flat_pattern import flat_pattern
from geomgen.handoff.sheet_solid import measure_sheet
from geomgen.handoff.tabs import Reliefs
from geomgen.kernel.booleans import cut
from geomgen.kernel.plain import Axis, Plane
from geomgen.kernel.primitives import cylinder, revolved

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
START = 1000.0
AXIS = Axis((START, 0.0, 700.0), (1.0, 0.0, 0.0))


def tray(radius=150.0, sheet=1.0, flange=20.0, half_angle=0.0, holes=()):
    """A disc with a flange aft; `half_angle` [deg] narrows it aft; the wall square to its skin."""
    narrow = math.tan(math.radians(half_angle))
    deep, wall = sheet + flange, sheet / math.cos(math.radians(half_angle))

    def skin(s, inward=0.0):
        return (s, radius - inward - s * narrow)

    body = revolved([(0.0, 0.0), skin(0.0), skin(deep), (deep, 0.0)], AXIS)
    ends = [(sheet, 0.0), skin(sheet, wall), skin(deep + 5.0, wall), (deep + 5.0, 0.0)]
    drills = [
        cylinder((START - 1.0, y, 700.0 + z), (1.0, 0.0, 0.0), d / 2, sheet + 2.0)
        for y, z, d in holes
    ]
    return cut(body, [revolved(ends, AXIS), *drills], "firewall", "pocket")


def measured(solid, sheet=1.0):
    middle = (START + sheet / 2, 0.0, 700.0)
    return measure_sheet(solid, Plane(middle, (1.0, 0.0, 0.0)), middle)


def pattern_of(solid, bending=None, reliefs=None):
    bending = bending or Bending(1.0, 1.5, 0.42)
    return flat_pattern(
        measured(solid, bending.thickness), bending, reliefs or Reliefs(3.0, 60.0, 0.3)
    )


def half_turn(radius, count, relief):
    """Return half the angle [rad] that a tab of a cylinder takes between two slits."""
    return math.pi / count - relief / 2 / radius


def chord_distance(radius, count, relief, room):
    """Return how far from the axis the tabs of a cylinder lie (closed form, derived).

    The corners of a tab stand off the cylinder by `room`, its middle lies within by the sagitta.
    """
    return radius * math.cos(half_turn(radius, count, relief)) + room
