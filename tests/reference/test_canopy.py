"""DERIVED: a round tube cut by a plane: segments of circles, integrated along it.

Inner skins are splines through points of the true ones: they may be off by a ten thousandth.
"""

from math import pi

import pytest
from canopied_tubes import (
    GAP,
    LENGTH,
    LEVEL,
    RADIUS,
    SLOPING,
    THICK,
    WALL,
    glazing,
    middle_area,
    rest,
    shell_above,
)

from geomgen.kernel.solids.properties import volume
from geomgen.measurements.pilot.glazing_fit import sheet


@pytest.mark.parametrize("edge", [LEVEL, pytest.param(SLOPING, marks=pytest.mark.long)])
def test_what_is_left_of_the_pod(edge):
    whole = pi * (RADIUS**2 - (RADIUS - WALL) ** 2) * LENGTH
    due = whole - shell_above(edge, WALL)
    assert volume(rest(edge).solid).value == pytest.approx(due, rel=1e-4)


@pytest.mark.parametrize("edge", [SLOPING, pytest.param(LEVEL, marks=pytest.mark.long)])
def test_the_glazing(edge):
    """Its sill stands off the opening's square to it, so higher up where that slopes."""
    rise = (edge.aft_sill - edge.fore_sill) / (edge.aft - edge.fore)
    up = GAP * (1 + rise**2) ** 0.5
    inside = type(edge)(
        *(edge.fore + GAP, edge.aft - GAP),
        *(edge.fore_sill + rise * GAP + up, edge.aft_sill - rise * GAP + up),
    )
    assert volume(glazing(edge).solid).value == pytest.approx(shell_above(inside, THICK), rel=1e-4)
    area, thick, off, thick_off = sheet(glazing(edge).solid)
    assert area == pytest.approx(middle_area(inside, THICK), rel=1e-4)
    assert off < 1e-4 * area
    assert thick == pytest.approx(THICK, abs=0.01)
    assert thick_off < 0.01
