"""What the page's state says from a save to its drawings, and where that is broken off."""

from dataclasses import replace

import pytest

from geomgen.verdicts.check import Check, Limits
from geomgen.verdicts.first import FirstCheck
from geomgen.watching.live_page.page_sections import PageSections
from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.state_results import (
    CaptionedDrawing,
    DrawnState,
    FirstJudged,
    Judged,
    Modelled,
)

CHECK = Check(
    "gap", "pod", "a gap", 5.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", 1.0, "pass"
)
GEOMETRY = {"error": "geometry", "problem": "the walls meet"}
PARAMETER = {"error": "parameter", "problem": "out of range"}


@pytest.fixture
def state():
    return PageState()


@pytest.fixture
def sections(state):
    made = PageSections(state, "mine.toml")
    made.building(1, "mine", "Mine", "A")
    return made


def phase(state):
    return state.section("status")["phase"]


def test_each_part_of_a_state_carries_its_revision(state, sections):
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    sections.made(Modelled("{}"))
    sections.made(DrawnState((CaptionedDrawing("Three-view", "<svg/>"),)))
    assert (phase(state), sections.busy) == ("finishing", True)
    sections.done()
    sections.building(2, "mine", "Mine", "B")
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    assert state.section("verdict")["revision"] == 2
    assert state.section("model")["revision"] == state.section("drawings")["revision"] == 1
    assert state.section("status")["letter"] == "B"


def test_first_answers_stand_for_the_verdict_until_the_exact_ones_come(state, sections):
    far = FirstCheck(CHECK, True)
    near = FirstCheck(replace(CHECK, id="near", margin=0.01, error_bound=0.2), False)
    sections.first_judged(FirstJudged((far, near), 0.1))
    told = state.section("verdict")
    assert (told["revision"], told["first"], phase(state)) == (1, True, "building")
    assert told["sentence"] == (
        "First answer: nothing fails so far. 1 more waits for the exact figures."
    )
    assert [(group["kind"], len(group["checks"])) for group in told["groups"]] == [
        *(("pass", 1), ("waits", 1)),
    ]
    words = [group["checks"][0]["word"] for group in told["groups"]]
    assert words == ["PASS", "waits for the exact figure"]
    assert told["groups"][0]["checks"][0]["first_answer"]
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    assert "first" not in state.section("verdict")


def test_first_answers_stand_beside_what_the_state_before_had(state, sections):
    other = replace(CHECK, id="other")
    sections.judged(Judged((CHECK, other), 0.1), (), 0.5)
    sections.building(2, "mine", "Mine", "A")
    assert state.section("verdict")["revision"] == 1
    sections.first_judged(FirstJudged((FirstCheck(CHECK, True),), 0.1, whole=False))
    told = state.section("verdict")
    (group,) = told["groups"]
    assert [row.get("of") for row in group["checks"]] == [None, 1]
    assert (told["worst"], told["partial"]) == ("waits", True)
    assert told["sentence"] == (
        "Revision 2: nothing fails so far. 1 figure is still of revision 1."
    )


@pytest.mark.parametrize("end", ["refused", "given_up"])
def test_of_a_state_that_cannot_be_built_no_first_answer_stays(state, sections, end):
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    exact = state.section("verdict")
    sections.building(2, "mine", "Mine", "A")
    moved = replace(CHECK, measured=9.0, margin=5.0)
    sections.first_judged(FirstJudged((FirstCheck(moved, True),), 0.1, whole=False))
    assert state.section("verdict") != exact
    sections.refused(GEOMETRY) if end == "refused" else sections.given_up()
    assert state.section("verdict") == exact


def test_each_view_of_a_state_is_told_and_the_first_shape_says_what_it_is(state, sections):
    """A first shape, an exact one, the exact one with its openings: three views of one state."""
    told = []
    for made in (Modelled("{}", first=True), Modelled("{}"), Modelled("{}")):
        stamp, _ = state.since(0)
        sections.made(made)
        told += [name for name in state.since(stamp)[1] if name == "model"]
        assert state.section("model")["first"] is made.first
    assert told == ["model"] * 3


def test_only_the_first_state_has_none_before_it(state, sections):
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    assert state.section("changes")["first"] is True
    sections.judged(Judged((CHECK,), 0.1), (), 0.5, (CHECK,))
    assert state.section("changes")["first"] is False


def test_what_moved_since_the_file_was_opened_stays_told(state, sections):
    walls = [replace(CHECK, measured=v, margin=v - 4.0) for v in (5.0, 6.0, 6.0, 4.1)]
    sections.judged(Judged((walls[0],), 0.1), (), 0.5)
    for before, now in zip(walls[:-1], walls[1:], strict=True):
        sections.judged(Judged((now,), 0.1), (), 0.5, (before,))
    (row,) = state.section("changes")["opened"]
    assert (row["former"], row["new"]) == ("5.00 mm", "4.10 mm")
    assert state.section("verdict")["near"] == ["gap"]


def test_masses_are_shown_where_there_are_some_and_gone_where_there_are_none(state, sections):
    empty = replace(CHECK, id="mass.empty", measured=130.0, unit="kg")
    sections.judged(Judged((CHECK, empty), 0.1), (), 0.5, (replace(empty, measured=128.5),))
    assert [row["moved"] for row in state.section("balance")["rows"]] == ["+1.500 kg"]
    sections.judged(Judged((CHECK,), 0.1), (), 0.5, (CHECK, empty))
    assert state.section("balance") is None


def test_former_drawings_are_kept_until_there_are_new_ones(state, sections):
    sections.made(DrawnState((CaptionedDrawing("Three-view", "<svg>1</svg>"),)))
    sections.building(2, "mine", "Mine", "A")
    assert state.body("drawing-1-0") == b"<svg>1</svg>"
    sections.made(DrawnState((CaptionedDrawing("Three-view", "<svg>2</svg>"),)))
    assert state.body("drawing-1-0") is None
    assert state.body(state.section("drawings")["shown"][0]["name"]) == b"<svg>2</svg>"


def test_a_refused_file_does_not_stop_what_is_being_built(state, sections):
    sections.refused(PARAMETER)
    assert (phase(state), state.section("error")) == ("building", PARAMETER)
    sections.given_up()
    assert (phase(state), state.section("error")) == ("refused", PARAMETER)
    sections.building(2, "mine", "Mine", "A")
    assert state.section("error") is None


def test_what_cannot_be_built_ends_it_and_the_same_file_again_mends_it(state, sections):
    sections.refused(GEOMETRY)
    assert (phase(state), sections.busy) == ("refused", False)
    sections.mended()
    assert (phase(state), state.section("error")) == ("ready", None)


def test_what_is_missing_after_the_verdict_is_told_apart(state, sections):
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    sections.unfinished(GEOMETRY)
    assert (phase(state), sections.busy) == ("unfinished", False)
    assert state.section("error") == {**GEOMETRY, "checked": True}
    assert state.section("verdict")["worst"] == "pass"


def test_fields_are_told_of_only_when_they_differ(state, sections):
    for key, stamp in (("a", 1), ("a", 1), ("b", 2)):
        sections.fields([{"key": key, "table": ""}])
        assert state.section("fields") == {"stamp": stamp}
    assert state.body("fields") == b'[{"key":"b","table":""}]'


def test_a_lost_builder_is_noted_until_the_next_verdict(state, sections):
    sections.lost("another one was started")
    assert state.section("status")["builder"] == "another one was started"
    sections.judged(Judged((CHECK,), 0.1), (), 0.5)
    assert state.section("status")["builder"] == ""
