"""A layer along any line: finite, or refused in words; and what it says happens."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import follow
from geomgen.air.slow_layer.transition import limit
from geomgen.errors import ParameterError

AIR = {"speed": 25.0, "viscosity": 1.46e-5}


def body(trip=None, bubbles=True, length=3000.0):
    """A fat body of revolution: blunt nose, cylinder, long tail."""
    angle = np.linspace(0.0, math.pi, 120)
    s = length / math.pi * angle
    ratios = 1.15 * np.sin(angle) ** 0.35
    ratios[-1] = 0.0
    edge = EdgeSpeed.of(s, ratios, **AIR, widths=400 * np.sin(angle) ** 0.6)
    return follow(edge, trip=trip, bubbles=bubbles)


@settings(max_examples=25)
@given(
    st.lists(st.floats(0.01, 3.0), min_size=2, max_size=12),
    st.lists(st.floats(0.01, 1.0), min_size=12, max_size=12),
    st.floats(-1.0, 8.0),
    st.floats(-7.0, -1.0),
    st.booleans(),
)
def test_any_speed_gives_finite_figures(ratios, widths, size, thin, still):
    if still:
        ratios = [0.0, *ratios]
    s = np.linspace(0.0, 10.0**size, len(ratios))
    edge = EdgeSpeed.of(
        s, ratios, speed=20.0, viscosity=10.0**thin, widths=np.resize(widths, len(ratios))
    )
    for trip in (None, 0.0):
        layer = follow(edge, trip=trip, count=100)
        for values in (layer.momentum, layer.total, layer.displacement, layer.friction):
            assert np.all(np.isfinite(values))
            assert len(values) == len(layer.stations) == len(layer.turbulent)
        assert np.all(layer.momentum[1:] > 0)
        assert np.all(layer.displacement < layer.total + 1e-12)
        assert np.all(np.diff(layer.stations) >= 0)
        assert layer.words
        assert layer.stations[-1] == pytest.approx(layer.leaves or edge.fine(100).stations[-1])


def test_it_turns_where_the_criterion_says():
    edge = EdgeSpeed.of([0.0, 3000.0], [1.0, 1.0], **AIR)
    layer = follow(edge)
    assert layer.words == ("turns turbulent at 973 mm by itself",)
    here = layer.at(layer.turns)
    reached = 25.0 * layer.turns / 1000 / 1.46e-5
    own = 25.0 * here.momentum / 1000 / 1.46e-5
    assert own == pytest.approx(float(limit(np.array([reached]))[0]), rel=1e-3)


def test_a_trip_acts_where_it_stands_or_where_it_can_hold():
    edge = EdgeSpeed.of([0.0, 3000.0], [1.0, 1.0], **AIR)
    at, early, late = (follow(edge, trip=trip) for trip in (400.0, 5.0, 2500.0))
    assert at.turns == 400.0
    assert "tripped" in at.words[0]
    assert early.turns == pytest.approx(133.0, abs=2.0)
    assert "could not hold yet" in early.words[0]
    assert "by itself" in late.words[0]
    # Turbulent earlier is thicker at the end.
    assert early.at(3000.0).total > at.at(3000.0).total > late.at(3000.0).total


def test_the_layer_is_of_one_piece_where_it_turns():
    layer = body(trip=600.0)
    i = int(np.argmax(layer.turbulent))
    assert layer.stations[i] == pytest.approx(layer.turns)
    assert layer.momentum[i] == pytest.approx(layer.momentum[i - 1], rel=0.05)
    assert np.all(np.diff(layer.stations) > 0)


def test_it_leaves_the_tail_and_nothing_is_said_behind():
    layer = body(trip=600.0)
    assert layer.leaves is not None
    assert layer.may_leave < layer.leaves < 3000.0
    assert any("leaves the surface turbulent" in words for words in layer.words)
    with pytest.raises(ParameterError, match="has left the surface"):
        layer.at(2999.0)
    with pytest.raises(ParameterError, match="does not reach"):
        layer.at(-1.0)


def test_a_short_bubble_or_none():
    """A large and fast body comes back turbulent; a small and slow one does not."""
    s = np.linspace(0.0, 1.0, 40)
    fast, slow = (
        EdgeSpeed.of(s * length, 1.0 - 0.4 * s, speed=speed, viscosity=1.46e-5)
        for length, speed in ((250.0, 25.0), (100.0, 3.0))
    )
    assert "lie on it again" in follow(fast).words[0]
    assert "does not lie on again" in follow(slow).words[0]
    assert follow(slow).leaves == pytest.approx(100.0 * 0.3078, abs=0.2)
    assert follow(fast, bubbles=False).words == ("leaves the surface laminar at 77 mm",)


def test_units():
    """Ten times as long in millimetres and ten times as viscous is ten times as thick."""
    small = follow(EdgeSpeed.of([0.0, 300.0], [1.0, 0.9], speed=25.0, viscosity=1.5e-5), trip=50.0)
    large = follow(EdgeSpeed.of([0.0, 3e3], [1.0, 0.9], speed=25.0, viscosity=1.5e-4), trip=500.0)
    assert 10 * small.at(300.0).total == pytest.approx(large.at(3000.0).total, rel=1e-6)
    assert small.at(300.0).friction == pytest.approx(large.at(3000.0).friction, rel=1e-6)


def test_thick_layers_and_calmed_ones_are_said():
    s = np.linspace(0.0, 2000.0, 30)
    thin_body = EdgeSpeed.of(s, np.ones(30), **AIR, widths=np.full(30, 40.0) + s / 1e4)
    assert any(
        "thick against the bend of the skin" in w for w in follow(thin_body, trip=100.0).words
    )
    rushing = EdgeSpeed.of([0.0, 500.0, 600.0], [0.5, 0.5, 3.0], speed=3.0, viscosity=1.46e-5)
    assert (
        any("laminar again" in w for w in follow(rushing, trip=0.0).words)
        or not follow(rushing, trip=0.0).turns
    )
