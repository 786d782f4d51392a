"""Layers that ran along a joint: between a new one behind it and both parts' together."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.slow_layer.bands import band
from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import follow
from geomgen.air.slow_layer.joints import beside, off_another, plate

AIR = {"speed": 25.0, "viscosity": 1.46e-5}
WALL = EdgeSpeed.of([0.0, 500.0, 1000.0, 2000.0], [1.0, 1.0, 1.0, 1.0], **AIR)


def test_both_together_are_the_sum_of_two_plates():
    found = band(WALL, 2000.0)
    wide = beside(found, WALL, 500.0, 1500.0, "wing")
    root = 0.37 * 1000.0 * (25.0 * 1.0 / 1.46e-5) ** -0.2
    assert wide.total[1] == pytest.approx(found.total[1] + 1.05 * root)
    assert wide.best == found.best
    assert "1000 mm along the joint of the wing" in wide.words[-1]


def test_new_layer_is_that_of_the_length_behind_the_joint():
    wide = beside(band(WALL, 2000.0), WALL, 500.0, 1500.0, "wing")
    alone = follow(EdgeSpeed.of([0.0, 500.0], [1.0, 1.0], **AIR)).at(500.0).total
    assert wide.total[0] == pytest.approx(alone / 1.05, rel=1e-6)


def test_joint_up_to_the_mouth_leaves_nothing_for_sure():
    assert beside(band(WALL, 2000.0), WALL, 500.0, 2000.0, "wing").total[0] == 0.0


def test_off_another_part_has_no_end():
    found = off_another(band(WALL, 2000.0))
    assert found.total[1] == inf
    assert "off another part" in found.words[-1]


def test_plate_grows_with_the_four_fifths_of_its_length():
    assert plate(2000.0, 25.0, 1.46e-5) / plate(1000.0, 25.0, 1.46e-5) == pytest.approx(2**0.8)
    assert plate(0.0, 25.0, 1.46e-5) == 0.0


@settings(max_examples=20)
@given(st.floats(0.0, 1900.0), st.floats(1.0, 2000.0), st.floats(0.5, 1.5))
def test_band_only_widens(first, long, fast):
    edge = EdgeSpeed.of([0.0, 700.0, 2000.0], [1.0, fast, 1.0], **AIR)
    found = band(edge, 2000.0)
    wide = beside(found, edge, first, min(first + long, 2000.0), "wing")
    assert wide.total[0] <= found.total[0]
    assert wide.total[1] >= found.total[1]
