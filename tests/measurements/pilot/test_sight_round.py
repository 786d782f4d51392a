"""Looks to the side, up ahead and into a turn, asked as `check` asks them, of boxes.

Source: closed forms.
"""

from dataclasses import replace
from math import atan2, degrees

import pytest
from asking import bodies_of
from seated_pilots import boxed, figures_of
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.plain import Glass

EYE = (1200.0, 0.0, 1000.0)
# Inside from BL -300 to 300, walls of 5 mm; all above WL 800 is glass but the nose.
CABIN = boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1200.0))
GLASS = Glass(400.0, 1810.0, 800.0, 800.0)
SILL = degrees(atan2(200.0, 305.0))


def angle(up, along):
    return degrees(atan2(up, along))


def looked(eye=EYE, glass=GLASS, others=None, **parts):
    model = model_of({"pod": CABIN} | parts, eye=eye, glass=glass, other_eyes=others or {})
    model.families.update({"pod": "pod", **{name: "wing" for name in parts}})
    return figures_of(model, bodies_of(model))


def test_over_the_sill_and_nothing_else():
    found = looked()
    assert found["sight.side"].value == pytest.approx(SILL, abs=1e-6)
    # The nose that is no glass stands up to WL 1205, 800 mm ahead.
    assert found["sight.up"].value == 90.0
    # Straight ahead it is in the way all the same.
    up_to = angle(205.0, 800.0)
    assert f"horizon itself is barred: free from {up_to:.1f} deg" in found["sight.up"].note
    assert found["sight.side"].note == ""
    assert "[canopy]" not in found["sight.side"].note
    assert found["sight.side"].points == (EYE, pytest.approx((1200.0, 305.0, 800.0), abs=1e-6))


def test_a_low_wing_bars_up_to_its_tip_and_a_high_one_nothing_below():
    low = looked(wing=box((900.0, -4000.0, 700.0), (1500.0, 4000.0, 750.0)))["sight.side"]
    assert low.value == pytest.approx(angle(250.0, 4000.0), abs=1e-6)
    assert low.part == "wing"
    high = looked(wing=box((900.0, -4000.0, 1300.0), (1500.0, 4000.0, 1350.0)))
    assert high["sight.side"].value == pytest.approx(SILL, abs=1e-6)
    # A wing that is not beside the eye is not in this plane.
    behind = looked(wing=box((1201.0, -4000.0, 700.0), (1500.0, 4000.0, 750.0)))
    assert behind["sight.side"].value == pytest.approx(SILL, abs=1e-6)


def test_a_wing_at_the_height_of_the_eye_hides_the_horizon_and_that_is_said():
    wing = box((900.0, 305.0, 995.0), (1500.0, 4000.0, 1400.0))
    found = looked(wing=wing, wing_left=mirrored(wing))["sight.side"]
    assert found.value == pytest.approx(SILL, abs=1e-6)
    assert f"free from {angle(5.0, 305.0):.1f} deg off it" in found.note


def test_up_ahead_it_is_the_wing_s_leading_edge():
    found = looked(wing=box((700.0, -4000.0, 1500.0), (1150.0, 4000.0, 1560.0)))["sight.up"]
    assert found.value == pytest.approx(angle(500.0, 500.0), abs=1e-6)
    assert found.part == "wing"


def test_the_lesser_side_counts_and_is_named():
    wing = box((900.0, 310.0, 700.0), (1190.0, 2000.0, 1100.0))
    right = looked(wing=wing)["sight.into_turn"]
    left = looked(wing=mirrored(wing))["sight.into_turn"]
    assert (right.value, left.value) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert right.where.startswith("to the right")
    assert left.where.startswith("to the left")


def test_into_a_turn_the_tip_hides_the_horizon():
    # No nose stands in the way where the glass begins at the front.
    glass = replace(GLASS, fore=90.0)
    found = looked(glass=glass, wing=box((600.0, -4e3, 1400.0), (1190.0, 4e3, 1450.0)))
    assert found["sight.into_turn"].value == pytest.approx(angle(400.0, 4000.0), abs=1e-6)
    free = looked(glass=glass, wing=box((1210.0, -4e3, 1400.0), (1700.0, 4e3, 1450.0)))
    assert free["sight.into_turn"].value == 90.0
    assert free["sight.into_turn"].where.endswith("nothing bars it")


def test_without_glass_all_is_barred_and_said():
    found = looked(glass=None)
    assert (found["sight.side"].value, found["sight.up"].value) == (-90.0, -90.0)
    assert found["sight.into_turn"].value == pytest.approx(0.0, abs=1e-9)
    assert all("[canopy]" in one.note for name, one in found.items() if name.startswith("sight"))


def test_what_turns_is_looked_through():
    """The swept volume is no part that bars: blades are seen through."""
    disc = cylinder((600.0, 0.0, 1000.0), (1.0, 0.0, 0.0), 700.0, 50.0)
    glass = replace(GLASS, fore=90.0)
    assert looked(glass=glass, prop_disc=disc)["sight.into_turn"].value == 90.0
    barred = looked(glass=glass, wing=disc)["sight.into_turn"]
    assert barred.value == pytest.approx(0.0, abs=1e-9)


def test_a_mirrored_machine_has_the_same_sight():
    strut = box((900.0, 310.0, 600.0), (1300.0, 900.0, 860.0))
    one, other = looked(wing=strut), looked(wing=mirrored(strut))
    names = {"sight.side", "sight.up", "sight.into_turn"}
    assert {n: one[n].value for n in names} == {n: other[n].value for n in names}


def test_of_all_who_fly_it_the_least_sight_counts():
    """A smaller pilot sees less over the sill, a taller one less under a high wing."""
    small, tall = (1200.0, 0.0, 900.0), (1200.0, 0.0, 1100.0)
    wing = box((600.0, -4e3, 1400.0), (1190.0, 4e3, 1450.0))
    glass = replace(GLASS, fore=90.0)
    others = {" of the 5th woman": small, " of the 95th man": tall}
    found = looked(glass=glass, others=others, wing=wing)
    assert found["sight.side"].value == pytest.approx(angle(100.0, 305.0), abs=1e-6)
    assert found["sight.up"].value == pytest.approx(angle(300.0, 600.0), abs=1e-6)
    assert found["sight.into_turn"].value == pytest.approx(angle(300.0, 4000.0), abs=1e-6)
    assert "from the eye of the 5th woman" in found["sight.side"].where
    assert "from the eye of the 95th man" in found["sight.up"].where
    assert found["sight.side"].points[0] == small


def test_without_an_eye_or_a_pod_nothing_is_asked():
    assert "sight.side" not in looked(eye=None)
    model = model_of({"wing": CABIN}, eye=EYE)
    assert "sight.side" not in figures_of(model)
