"""Plain firewalls of revolution, made without the builder of the firewall."""

import math
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax2, gp_Dir, gp_Elips, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS
from scipy.special import ellipe

from geomgen.kernel.brep.primitives import cylinder, revolved
from geomgen.kernel.plain import Axis, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.pattern import flat_pattern
from geomgen.shops.sheet_metal.flat_pattern.solid import measure_sheet
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs

CONFIG = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"
START = 1000.0
AXIS = Axis((START, 0.0, 700.0), (1.0, 0.0, 0.0))


def tray(radius=150.0, sheet=1.0, flange=20.0, half_angle=0.0, holes=()):
    """A disc with a flange aft; `half_angle` [deg] narrows it aft; the wall square to its skin."""
    return _tray(radius, sheet, flange, half_angle, tuple(holes))


@cache
def _tray(radius, sheet, flange, half_angle, holes):
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


def oval(half_wide, half_high, start, deep):
    """Return an elliptical cylinder along x, `half_high` up and not less than `half_wide`."""
    axes = gp_Ax2(gp_Pnt(start, 0.0, 700.0), gp_Dir(1.0, 0.0, 0.0), gp_Dir(0.0, 0.0, 1.0))
    edge = BRepBuilderAPI_MakeEdge(gp_Elips(axes, half_high, half_wide)).Edge()
    face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(edge).Wire()).Face()
    return TopoDS.Solid(BRepPrimAPI_MakePrism(face, gp_Vec(deep, 0.0, 0.0)).Shape())


@cache
def oval_tray(half_wide, half_high, sheet=1.0, flange=20.0):
    """Return an elliptical sheet with a flange aft, straight along x."""
    pocket = oval(half_wide - sheet, half_high - sheet, START + sheet, flange + 5.0)
    return cut(oval(half_wide, half_high, START, sheet + flange), [pocket], "firewall", "pocket")


@cache
def oval_tabs(half_wide, half_high, pitch, relief, count=2_000_000):
    """Return the arcs of an ellipse between relief cuts as points (k, 2), each (closed form).

    Lengths by the trapezoidal rule over the angle; the whole is held to scipy's elliptic integral.
    """
    turn = np.linspace(np.pi / 2, np.pi / 2 + 2 * np.pi, count)
    points = np.stack([half_wide * np.cos(turn), half_high * np.sin(turn)], axis=-1)
    s = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    assert s[-1] == pytest.approx(4 * half_high * ellipe(1 - (half_wide / half_high) ** 2))
    many = int(np.ceil(s[-1] / pitch))
    corners = np.linspace(0.0, s[-1], many + 1)
    return [
        points[np.searchsorted(s, a + relief / 2) : np.searchsorted(s, b - relief / 2)]
        for a, b in pairwise(corners)
    ]


@cache
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
