"""Sight over an edge in closed form: atan; glass taken out; attitudes."""

from dataclasses import replace
from math import atan2, cos, degrees, radians, sin

import pytest
from asking import bodies_of
from seated_pilots import boxed, figures_of
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Glass, Ground, Plane
from geomgen.measurements.pilot.sight import sight_over

EYE = (1200.0, 0.0, 1000.0)
# A tub whose edge is at STA 100, 700 high; a cabin with a roof.
TUB = box((100.0, -300.0, 300.0), (900.0, 300.0, 700.0))
CABIN = boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1200.0))


@pytest.fixture(scope="module")
def tub():
    return bodies_of(model_of({"pod": TUB}))["pod"]


@pytest.fixture(scope="module")
def cabin():
    return bodies_of(model_of({"pod": CABIN}))["pod"]


def below(x, z):
    return degrees(atan2(EYE[2] - z, EYE[0] - x))


def test_over_the_edge_of_a_box_it_is_an_arc_tangent(tub):
    found = sight_over([tub], EYE, None)
    assert found.angle == pytest.approx(below(100.0, 700.0), abs=1e-6)
    assert found.at == pytest.approx((100.0, 0.0, 700.0), abs=1e-6)


def test_a_closed_cabin_bars_it(cabin):
    assert sight_over([cabin], EYE, None).angle < -80.0


@pytest.mark.parametrize("fore", [95.0, 400.0, 900.0])
def test_through_glass_it_is_what_is_left_below_the_sill(cabin, fore):
    """A sill that falls forward: what is left ahead of the glass, or the sill's own fore end."""
    found = sight_over([cabin], EYE, Glass(fore, 1500.0, 650.0, 800.0))
    due = below(95.0, 650.0) if fore == 95.0 else min(below(fore, 1200.0), below(fore, 1205.0))
    assert found.angle == pytest.approx(due, abs=1e-6)


def test_a_sill_that_rises_ahead_of_the_eye_bars_at_the_sill(cabin):
    found = sight_over([cabin], EYE, Glass(95.0, 1500.0, 600.0, 1150.0))
    # The wall in front is cut where the sill's line passes its inner face.
    at_inner = 600.0 + (100.0 - 95.0) / (1500.0 - 95.0) * 550.0
    assert found.angle == pytest.approx(below(100.0, at_inner), abs=1e-6)


def test_nothing_ahead_of_the_eye_is_no_figure(tub):
    assert sight_over([tub], (50.0, 0.0, 1000.0), None) is None


@pytest.mark.parametrize(("name", "key"), [("static", "static"), ("tail_down", "tail_down")])
@pytest.mark.parametrize("pitch", [-4.0, 0.0, 12.0])
def test_nose_up_takes_as_much_away(tub, name, key, pitch):
    turn = radians(pitch)
    plane = Plane((0.0, 0.0, -300.0), (-sin(turn), 0.0, cos(turn)))
    model = model_of({"pod": TUB}, eye=EYE, grounds=[Ground(name, plane)])
    found = figures_of(model, {"pod": tub})
    level = found["sight.over_nose.level"].value
    assert level == pytest.approx(below(100.0, 700.0), abs=1e-6)
    assert found[f"sight.over_nose.{key}"].value == pytest.approx(level - pitch, abs=1e-6)


def test_the_climb_takes_its_pitch_away_where_it_is_known(tub):
    model = model_of({"pod": TUB}, eye=EYE, climb_pitch=7.5)
    found = figures_of(model, {"pod": tub})
    due = below(100.0, 700.0) - 7.5
    assert found["sight.over_nose.climb"].value == pytest.approx(due, abs=1e-6)
    unknown = figures_of(replace(model, climb_pitch=None), {"pod": tub})
    assert "sight.over_nose.climb" not in unknown


def test_without_glass_the_figure_says_so(cabin):
    model = model_of({"pod": CABIN}, eye=EYE)
    assert "[canopy]" in figures_of(model, {"pod": cabin})["sight.over_nose.level"].note
    glazed = replace(model, glass=Glass(400.0, 1500.0, 650.0, 800.0))
    assert figures_of(glazed, {"pod": cabin})["sight.over_nose.level"].note == ""


def test_without_an_eye_nothing_is_asked(cabin):
    assert figures_of(model_of({"pod": CABIN}), {"pod": cabin}) == {}


def test_of_several_eyes_the_one_that_sees_least_counts(tub):
    eyes = {" of the 5th woman": (1100.0, 0.0, 900.0), " of the 95th man": (1250.0, 0.0, 1080.0)}
    model = model_of({"pod": TUB}, eye=EYE, other_eyes=eyes)
    found = figures_of(model, {"pod": tub})["sight.over_nose.level"]
    assert found.value == pytest.approx(degrees(atan2(200.0, 1000.0)), abs=1e-6)
    assert found.where.startswith("from the eye of the 5th woman at STA 1100.0")
    assert found.points[0] == (1100.0, 0.0, 900.0)
