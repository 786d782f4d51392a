"""Rows through JSON and back."""

import json

import pytest
from made_outcomes import check

from geomgen.processes.isolated import Ended
from geomgen.studies.row import STATUS_WORDS, VariantOutcome, outcome_from, outcome_of, tally
from geomgen.verdicts.check import Limits

GAP = check("gap", 20.0, Limits("at least 25 mm", 25.0), "at least")


def test_an_outcome_survives_json():
    meant = VariantOutcome("built", (GAP,), "pod", "words", 2.5, 3, 4)
    assert outcome_of(json.loads(json.dumps(meant.as_dict()))) == meant


def test_a_failing_check_is_named():
    assert not VariantOutcome("built", (GAP,)).passed
    assert VariantOutcome("built", (GAP,)).failing == ("gap",)
    assert not VariantOutcome("built").passed


@pytest.mark.parametrize(
    ("how", "status"), [("raised", "fault"), ("timed out", "timed out"), ("crashed", "crashed")]
)
def test_every_end_is_an_outcome(how, status):
    assert outcome_from(Ended(how, None, "why", 1.0)) == VariantOutcome(
        status, message="why", seconds=1.0
    )


def test_what_waits_neither_passes_nor_fails():
    room = check("room", 30.0, Limits("at least 25 mm", 25.0), "at least")
    open_ = VariantOutcome("built", (room, GAP), exact=False, waits=frozenset({"gap"}))
    assert (open_.passed, open_.failing, open_.waiting) == (False, (), ("gap",))
    assert open_.undecided
    failed = VariantOutcome("built", (room, GAP), exact=False, waits=frozenset({"room"}))
    assert (failed.failing, failed.undecided) == (("gap",), False)
    assert tally([open_, failed])["undecided"] == 1
    assert outcome_of(json.loads(json.dumps(open_.as_dict()))) == open_


def test_a_row_of_another_form_is_refused():
    with pytest.raises(ValueError, match="melted"):
        outcome_of({**VariantOutcome("built").as_dict(), "status": "melted"})
    with pytest.raises(KeyError):
        outcome_of({"status": "built"})


def test_every_status_is_counted():
    every = [VariantOutcome(status) for status in STATUS_WORDS]
    counts = tally(every)
    assert sum(counts.values()) == len(every)
    assert counts["failing"] == 1
