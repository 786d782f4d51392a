"""Which figures moved; closed forms on made-up checks."""

from dataclasses import replace

import pytest

from geomgen.comparison.figure_changes import figure_changes
from geomgen.verdicts.check import Check, Limits

GAP = Check(
    "gap", "pod", "gap", 30.0, "mm", Limits("at least 25 mm", low=25.0), "at least", 5.0, "pass",
    error_bound=0.01,
)  # fmt: skip


def only(old, new):
    (found,) = figure_changes([old] if old else [], [new] if new else [])
    return found


@pytest.mark.parametrize(("by", "kind"), [(0.0, "same"), (0.019, "same"), (0.03, "moved"),
                                          (-0.03, "moved")])  # fmt: skip
def test_what_moved_less_than_both_error_bounds_is_the_same(by, kind):
    assert only(GAP, replace(GAP, measured=30.0 + by, margin=5.0 + by)).kind == kind


def test_the_move_is_given_in_its_unit_and_as_a_share_of_the_margin():
    found = only(GAP, replace(GAP, measured=29.0, margin=4.0))
    assert (found.moved, found.share) == (-1.0, pytest.approx(0.2))
    assert found.error == pytest.approx(0.02)


def test_a_verdict_that_turned_is_told_either_way():
    found = only(GAP, replace(GAP, measured=24.0, margin=-1.0, verdict="fail"))
    assert found.kind == "turned"
    back = only(replace(GAP, measured=24.0, margin=-1.0, verdict="fail"), GAP)
    assert back.kind == "turned"


def test_a_changed_limit_is_told_though_the_figure_stayed():
    new = replace(GAP, target=Limits("at least 28 mm", low=28.0), margin=2.0)
    found = only(GAP, new)
    assert (found.kind, found.limit_changed) == ("limit changed", True)


def test_figures_come_and_go():
    assert only(None, GAP).kind == "appeared"
    assert only(GAP, None).kind == "vanished"
    assert only(GAP, replace(GAP, measured=None, margin=None)).kind == "moved"
    assert only(GAP, replace(GAP, unit="mm2")).moved is None


def test_names_that_are_compared_may_change():
    old = replace(GAP, measured=None, margin=None, comparison="one of", written="steel")
    assert only(old, replace(old, written="titanium")).kind == "moved"
    assert only(old, old).kind == "same"


def test_the_worst_stands_on_top():
    ids = ("a", "b", "c", "d")
    old = [replace(GAP, id=name) for name in ids]
    new = [
        replace(old[0]),
        replace(old[1], measured=33.0, margin=8.0),
        replace(old[2], verdict="warn"),
        replace(old[3], verdict="fail", measured=1.0, margin=-24.0),
    ]
    assert [c.id for c in figure_changes(old, new)] == ["d", "c", "b", "a"]


def test_two_checks_of_one_id_are_kept_apart():
    two = [GAP, replace(GAP, part="exit", measured=40.0)]
    moved = [GAP, replace(GAP, part="exit", measured=41.0)]
    assert [(c.kind, c.part) for c in figure_changes(two, moved)] == [
        ("moved", "exit"),
        ("same", "pod"),
    ]
