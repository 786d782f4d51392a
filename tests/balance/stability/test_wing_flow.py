"""The flow about a wing: continuous, level far ahead, none through the wing, half as deep aft."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.balance.stability.wing_flow import WingFlow, lift_slope, lifting_share

# The elliptic wing of this span and area is 1273 mm deep in the middle, from 318 mm ahead.
ASPECT_RATIO, SPAN = 8.0, 8000.0


def flow(slope=4.9, span=SPAN, station=0.0, waterline=0.0):
    return WingFlow(slope, ASPECT_RATIO, span, station, waterline)


def test_level_far_ahead_and_nothing_through_the_wing() -> None:
    """A lifting line's slope 2 pi A/(A + 2) is the one that lets no air through at its middle."""
    lifting_line = flow(2 * math.pi * 8 / 10)
    assert lifting_line.turn_at(-1e7, 0.0) == pytest.approx(1.0, abs=1e-6)
    assert lifting_line.turn_at(0.0, 0.0) == pytest.approx(0.0, abs=1e-9)
    assert lifting_line.turn_at(200.0, 0.0) == pytest.approx(0.0, abs=0.04)


def test_upwash_ahead_grows_towards_the_wing_and_downwash_aft_towards_twice_its_own() -> None:
    ahead = [flow().turn_at(-x, 0.0) for x in (350.0, 500.0, 1000.0, 3000.0)]
    assert ahead == sorted(ahead, reverse=True)
    assert min(ahead) > 1.0
    aft = [flow().turn_at(x, 0.0) for x in (1100.0, 1500.0, 3000.0, 9000.0)]
    assert aft == sorted(aft)
    assert max(aft) < 1.0 - 2 * 4.9 / (math.pi * 8) + 0.03


@given(st.floats(-4000.0, 4000.0), st.floats(20.0, 900.0), st.floats(-900.0, 900.0))
def test_a_mean_is_that_of_its_places(front, length, height) -> None:
    """Gauss's two halves against many places; near the wing itself there are too few of them."""
    if abs(height) < 50.0:
        height = 50.0
    count = 2000
    each = [flow().turn_at(front + (i + 0.5) * length / count, height) for i in range(0, count, 20)]
    found = flow().mean_turn(front, front + length, height)
    assert found == pytest.approx(sum(each) / len(each), abs=0.03)


@given(st.floats(-3000.0, 6000.0), st.floats(-900.0, 900.0), st.floats(0.1, 10.0))
def test_a_larger_machine_elsewhere_has_the_same_flow(station, height, scale) -> None:
    if abs(height) < 1.0:
        height = 1.0
    here = flow().turn_at(station, height)
    there = flow(4.9, scale * SPAN, 700.0, -300.0)
    again = there.turn_at(700.0 + scale * station, scale * height - 300.0)
    assert again == pytest.approx(here, rel=1e-9, abs=1e-9)
    assert flow().turn_at(station, -height) == pytest.approx(here, rel=1e-12)


@given(st.floats(1.5, 30.0), st.floats(-15.0, 15.0))
def test_more_span_lifts_more_and_sweep_lifts_less(aspect_ratio, sweep) -> None:
    straight = lift_slope(aspect_ratio)
    assert straight < lift_slope(1.01 * aspect_ratio) < 2 * math.pi
    assert lift_slope(aspect_ratio, sweep) <= straight
    assert lift_slope(aspect_ratio, sweep) == lift_slope(aspect_ratio, -sweep)


def test_a_level_tail_lifts_with_all_of_its_area_and_an_upright_one_with_none() -> None:
    assert lifting_share(0.0) == 1.0
    assert lifting_share(90.0) == pytest.approx(0.0, abs=1e-12)
