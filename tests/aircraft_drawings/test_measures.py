"""Measures of the plain machine against the numbers that it was made from (closed form)."""

import math
from dataclasses import replace

import pytest
from aircraft_drawings.plain_machine import MEASURES, machine

from geomgen.aircraft_drawings.measures import Measures
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Ground, Plane
from geomgen.kernel.visibility.hidden_lines import Scene


def measures(model):
    return Measures(model, Scene(model.parts, (model.swept,)))


def test_extremes_leave_the_swept_volume_out():
    model = machine("wing", "wheel")
    whole = measures(model).whole()
    assert (whole.low[2], whole.high[2]) == pytest.approx((500.0, 1900.0), abs=1e-6)
    assert whole.low[0] == pytest.approx(0.0, abs=1e-6)


def test_trailing_edge_counts_within_the_blades_only():
    """A swept wing's tip reaches further aft than what the blades see: closed form."""
    model = machine()
    model.parts["outer"] = box((2300.0, 3000.0, 1250.0), (2900.0, 4000.0, 1350.0))
    model.families["outer"] = "wing"
    edge, disc = measures(model).trailing_edge()
    assert disc[0] - edge[0] == pytest.approx(MEASURES["trailing edge to disc"], abs=0.01)


def test_no_gap_where_the_wing_ends_behind_the_disc():
    model = machine()
    model.parts["wing"] = box((1300.0, -4000.0, 1250.0), (3400.0, 4000.0, 1350.0))
    assert measures(model).trailing_edge() is None
    assert measures(machine("prop_disc")).trailing_edge() is None
    assert measures(machine("wing")).trailing_edge() is None


def test_the_highest_point_over_a_leaning_ground():
    """Closed form: the corner of the fin that stands furthest along the ground's normal."""
    model = machine()
    turn = math.radians(8.0)
    lean = Plane((1900.0, 0.0, 20.0), (-math.sin(turn), 0.0, math.cos(turn)))
    model.grounds = [replace(Ground("static", lean), name="static")]
    top = measures(model).highest(model.grounds[0])
    assert (top[0], top[2]) == pytest.approx((4300.0, 1900.0), abs=0.01)
