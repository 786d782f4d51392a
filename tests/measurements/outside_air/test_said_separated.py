"""What is said of mouths in air that has left the skin, and how it is judged."""

from math import inf

import pytest
from aired_machines import machine
from measurements.outside_air.test_said import answer, model, mouth_row, state_row

from geomgen.errors import GeometryError
from geomgen.measurements.answers import refused
from geomgen.measurements.outside_air.said import NAME, TIMES
from geomgen.measurements.outside_air.said_separated import separated
from geomgen.measurements.question import from_text, text_of
from geomgen.measurements.subject import Answered
from geomgen.sizing.targets import figures
from geomgen.verdicts.judge import judge

ON = {"length": 0.0, "most": 0.0, "at": None, "words": "laminar", "why": ""}
OFF = {"length": 200.0, "most": 400.0, "at": (50.0, 300.0, 0.0), "words": "leaves", "why": ""}
MIGHT = {**ON, "most": 120.0, "at": (60.0, 300.0, 0.0)}
LOST = {"length": None, "most": None, "at": None, "words": "", "why": "off another part"}


def row(left):
    return state_row(mouths={"scoop_a_right": mouth_row(left=left)})


def told(climb, coarse=None, **states):
    given = answer(climb=[row(climb), row(climb if coarse is None else coarse)], **states)
    kept = from_text(text_of(given))
    return {m.id: m for m in separated(Answered(model(), (), {NAME: kept}))}


def found(*given, **states):
    return told(*given, **states)["inlet.separated.scoop_a_right"]


def verdict(made):
    (check,) = [c for c in judge([made], figures(machine())) if c.id == made.id]
    return check


def test_air_that_stays_on_passes():
    made = found(ON)
    assert (made.value, made.error_bound) == (0.0, 0.0)
    assert verdict(made).verdict == "pass"
    assert "stays on the skin" in made.where


def test_a_mouth_that_is_not_closed_says_so_on_both_sides():
    """A left one is told by the right one, which it mirrors."""
    hidden = answer(climb=[state_row(mouths={}), state_row(mouths={})])
    hidden["unmeasured"] = {"scoop_a_right": "not closed all round"}
    rows = separated(Answered(model(), (), {NAME: from_text(text_of(hidden))}))
    assert [row.note for row in rows] == ["not closed all round"] * 2
    assert all(
        (verdict(made).verdict, verdict(made).stops) == ("not_measured", True) for made in rows
    )


def test_a_mouth_of_which_nothing_is_known_is_not_measured_and_not_left_out():
    """The air refused as a whole, or no panel of the mouth that faces it."""
    no = refused(GeometryError("too few cuts", part="pod", step="air"))
    hidden = answer(climb=[state_row(mouths={}), state_row(mouths={})])
    for given, why in ((no, "too few cuts"), (hidden, "no panel of the mouth")):
        kept = from_text(text_of(given))
        rows = separated(Answered(model(), (), {NAME: kept}))
        assert [row.part for row in rows] == [way.name for way in model().passages]
        for made in rows:
            check = verdict(made)
            assert (check.verdict, check.stops) == ("not_measured", True)
            assert why in check.note


def test_air_that_has_left_fails_and_says_where():
    made = found(OFF)
    check = verdict(made)
    assert (made.value, check.verdict, check.stops) == (200.0, "fail", True)
    assert made.points == ((50.0, 300.0, 0.0),)
    assert "STA 50.0" in made.where
    assert "further forward" in check.note


def test_air_that_might_have_left_warns():
    made = found(MIGHT)
    assert (made.value, made.error_bound) == (0.0, 120.0)
    assert verdict(made).verdict == "warn"


@pytest.mark.parametrize(("fine", "coarse"), [(ON, OFF), (OFF, ON)])
def test_where_coarser_panels_say_otherwise_it_warns(fine, coarse):
    made = found(fine, coarse)
    assert made.error_bound == pytest.approx(TIMES * 200.0)
    assert verdict(made).verdict == "warn"


def test_coarser_panels_that_tell_nothing_leave_no_bound():
    assert found(ON, LOST).error_bound == inf
    assert verdict(found(ON, LOST)).verdict == "warn"
    assert verdict(found(OFF, LOST)).verdict == "fail"


def test_layer_that_cannot_be_followed_is_not_measured():
    made = found(LOST)
    assert (made.value, made.note) == (None, "climb: off another part")
    assert verdict(made).verdict == "not_measured"


def test_known_in_one_state_and_left_there_fails_whatever_the_other():
    made = found(LOST, level=[row(OFF)] * 2)
    assert verdict(made).verdict == "fail"
    assert "off another part" in made.note
    assert found(LOST, level=[row(ON)] * 2).value is None


def test_worse_of_climb_and_level_flight_counts_and_the_glide_does_not():
    assert found(ON, level=[row(OFF)] * 2).where.startswith("level")
    assert found(ON, glide=[row(OFF)] * 2).value == 0.0


def test_both_hands_are_told_and_nothing_without_an_answer():
    both = told(OFF)
    assert both["inlet.separated.scoop_a_left"].value == both["inlet.separated.scoop_a_right"].value
    assert separated(Answered(model(), (), {})) == []


def test_without_air_nothing_is_judged():
    p = machine().model_copy(update={"air": None})
    assert not [t for t in figures(p) if t.id.startswith("inlet.separated")]
