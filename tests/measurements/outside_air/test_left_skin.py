"""Skin ahead of a mouth that the air has left: a sphere, whose laminar layer leaves at 105 deg."""

import numpy as np
import pytest

from geomgen.air.slow_layer.streamlines import SweptSurface, upstream
from geomgen.errors import ParameterError
from geomgen.measurements.outside_air.left_skin import OFF_ANOTHER, left_along

RADIUS = 300.0
# Where the equations themselves leave (tests/reference/test_slow_layer.py); 105 MEMORY.
LEAVES = 104.8


def sphere(way=1.0):
    """Return a sphere in the air of potential flow: 1.5 sin from the front; `way` -1 from aft."""
    k = np.arange(4000) + 0.5
    x, turn = -1 + 2 * k / 4000, np.pi * (1 + 5**0.5) * k
    round_ = np.sqrt(1 - x**2)
    normals = np.stack([x, round_ * np.cos(turn), round_ * np.sin(turn)], axis=1)
    ahead = np.array([way, 0.0, 0.0])
    return SweptSurface.of(
        RADIUS * normals, normals, 1.5 * (ahead - normals * (normals @ ahead)[:, None])
    )


def looked_at(degrees, speed=1.0, over=None, trip=None):
    """Return what is left ahead of a place so many degrees from the front; the mouth is there."""
    a = np.radians(degrees)
    place = RADIUS * np.array([-np.cos(a), np.sin(a), 0.0])
    mouth = tuple(place.tolist())
    air = {"speed": speed, "viscosity": 1.46e-5, "trip": trip}
    return left_along(upstream(over or sphere(), place), place, mouth, **air)


@pytest.mark.parametrize("degrees", [112.0, 130.0])
def test_length_to_where_a_spheres_laminar_layer_leaves(degrees):
    found = looked_at(degrees)
    due = RADIUS * np.radians(degrees - LEAVES)
    assert found.length == pytest.approx(due, abs=RADIUS * np.radians(2.0))
    assert found.most >= found.length
    assert np.degrees(np.arccos(-found.at[0] / RADIUS)) == pytest.approx(LEAVES, abs=2.0)
    assert "leaves the surface laminar" in found.words


def test_ahead_of_that_the_air_stays_on():
    found = looked_at(90.0)
    assert (found.length, found.most, found.at) == (0.0, 0.0, None)


def test_step_in_the_skin_keeps_the_air_on_and_says_nothing_for_sure():
    """At a speed at which a turbulent layer holds it stays on longer: Prandtl's wire."""
    free, stirred = looked_at(112.0, 8.0), looked_at(112.0, 8.0, trip=-0.7 * RADIUS)
    assert stirred.length == 0.0
    assert free.length >= stirred.length


def test_place_behind_the_mouths_own_lip_counts_the_way_to_the_mouth():
    a, b = np.radians(130.0), np.radians(140.0)
    place, mouth = (RADIUS * np.array([-np.cos(t), np.sin(t), 0.0]) for t in (a, b))
    air = {"speed": 1.0, "viscosity": 1.46e-5, "trip": None}
    found = left_along(upstream(sphere(), place), place, tuple(mouth.tolist()), **air)
    chord = 2 * RADIUS * np.sin((b - a) / 2)
    assert found.length == pytest.approx(looked_at(130.0).length + chord)


def test_air_from_the_other_end_leaves_elsewhere():
    """Broken on purpose: with the flow turned round a mouth at 112 deg is in the front half."""
    assert looked_at(112.0, over=sphere(-1.0)).length == 0.0
    assert looked_at(112.0).length > 0.0


def test_what_comes_off_another_part_is_not_told():
    whole = sphere()
    kept = whole.points[:, 0] > -0.5 * RADIUS
    cut = SweptSurface.of(whole.points[kept], whole.normals[kept], whole.speeds[kept])
    found = looked_at(130.0, over=cut)
    assert found.length is None
    assert found.why == OFF_ANOTHER


def test_where_the_air_stands_no_line_leads():
    with pytest.raises(ParameterError, match="stands"):
        looked_at(180.0)
