"""The way of the grain: the one that the fewest bends follow."""

import math

import pytest
from shops.sheet_metal.trays import oval_tray, pattern_of

from geomgen.shops.sheet_metal.drawing.grain import grain_of
from geomgen.shops.sheet_metal.flat_pattern.pattern import Tab


def bend(turn):
    way = (50.0 * math.cos(math.radians(turn)), 50.0 * math.sin(math.radians(turn)))
    return Tab(1, ((0.0, 0.0), way), 90.0, 9.0, 9.0, ((0.0, 9.0), way))


@pytest.mark.parametrize(
    ("turns", "angle", "along"),
    [((0, 180, 90), 0.0 + 90.0, 1), ((90, 80, -100, 5), 0.0, 1), ((90, 90), 0.0, 0)],
)
def test_fewest_bends_run_along_it(turns, angle, along) -> None:
    grain = grain_of([bend(turn) for turn in turns])
    assert (grain.angle, grain.along, grain.bends) == (angle, along, len(turns))


def test_tall_firewall_has_its_grain_across() -> None:
    pattern = pattern_of(oval_tray(120.0, 200.0))
    grain = grain_of(pattern.tabs)
    assert grain.angle == 0.0
    assert 0 < grain.along < len(pattern.tabs) / 2
    assert "left to right" in grain.words


def test_plain_blank_has_no_grain() -> None:
    assert grain_of(()) is None
