"""The outcome in a sentence: what failed is named, and nothing that failed is passed over."""

import pytest

from geomgen.pages.verdict_words import kind_of, sentence
from geomgen.verdicts.check import Check, Limits


def check(verdict, id_="gap", measured=12.0, comparison="at least", written=""):
    limits = Limits("at least 25.00 mm", 25.0)
    return Check(
        id_, "pod", "gap", measured, "mm", limits, comparison, -13.0, verdict, written=written
    )


def test_all_well():
    assert sentence([check("pass"), check("pass")]) == "All 2 checks pass."


def test_a_figure_without_limit_is_no_check():
    info = check("pass", comparison="none")
    assert kind_of(info) == "info"
    assert sentence([info, check("pass")]) == "The one check passes."
    assert sentence([info]) == "Nothing was checked."


def test_failures_come_with_their_figures():
    told = sentence([check("pass"), check("fail", "prop.radial_clearance")])
    assert told == ("1 of 2 checks fail: prop.radial_clearance 12.00 mm (at least 25.00 mm).")


def test_many_failures_are_counted():
    told = sentence([check("fail", f"check.{i}") for i in range(7)])
    assert "7 of 7" in told
    assert "and 4 more" in told


@pytest.mark.parametrize("verdict", ["fail", "not_measured"])
def test_no_outcome_that_stops_reads_as_passed(verdict):
    told = sentence([check("pass"), check(verdict, measured=None)])
    assert "pass" not in told
    assert "gap" in told


def test_warnings_are_named():
    told = sentence([check("pass"), check("warn", "tip")])
    assert told.startswith("No check fails; 1 of 2 warns: tip")


def test_a_written_word_is_quoted():
    assert "aluminium" in sentence([check("fail", written="aluminium", measured=None)])
