"""What differs between two states; the cases are set out by hand (closed form)."""

from dataclasses import replace

from geomgen.verdicts.check import Check, Limits
from geomgen.verdicts.outcome import near_limit
from geomgen.watching.live_page.changes import changes

GAP = Check(
    "gap", "pod", "a gap", 5.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", 1.0, "pass"
)


def other(measured, verdict="pass", **more):
    return replace(GAP, measured=measured, margin=measured - 4.0, verdict=verdict, **more)


def test_nothing_differs():
    assert changes([GAP], [GAP]) == ()
    # A difference that no reader can see is none.
    assert changes([GAP], [other(5.000001)]) == ()


def test_a_figure_and_a_verdict():
    (one,) = changes([GAP], [other(6.0)])
    assert (one.former, one.new, one.margin) == ("5.00 mm", "6.00 mm", "+2.00 mm")
    assert (one.words, one.mood) == ("PASS", "")
    (bad,) = changes([GAP], [other(3.0, "fail")])
    assert (bad.words, bad.mood, bad.margin) == ("PASS → FAIL", "bad", "-1.00 mm")
    (good,) = changes([other(3.0, "fail")], [GAP])
    assert (good.words, good.mood) == ("FAIL → PASS", "good")


def test_a_limit_that_moved_is_a_change():
    assert len(changes([GAP], [replace(GAP, target=Limits("at least 3.00 mm", 3.0))])) == 1


def test_what_came_and_went_is_told():
    new = replace(other(1.0, "fail"), id="new")
    found = {change.id: change for change in changes([GAP], [new])}
    assert (found["gap"].former, found["gap"].new, found["gap"].words) == (
        "5.00 mm",
        "–",
        "PASS → gone",
    )
    assert (found["new"].former, found["new"].mood) == ("–", "bad")


def test_the_worst_comes_first():
    rows = [replace(GAP, id=name) for name in "abc"]
    new = [
        replace(other(6.0), id="a"),
        replace(other(4.2, "warn"), id="b"),
        replace(other(3.0, "fail"), id="c"),
    ]
    assert [change.id for change in changes(rows, new)] == ["c", "b", "a"]


def test_by_how_much_a_figure_moved():
    (one,) = changes([GAP], [other(6.0)])
    assert one.as_dict()["moved"] == "+1.00 mm"
    (gone,) = changes([GAP], [])
    assert gone.moved == "–"


def test_what_is_near_its_limit():
    """A tenth of 4 mm is 0.4 mm."""
    assert near_limit(other(4.3))
    assert not near_limit(other(4.5))
    assert near_limit(other(9.0, "warn"))
    assert near_limit(other(3.0, "fail"))
    assert near_limit(replace(GAP, measured=None, margin=None, verdict="not_measured"))
    assert not near_limit(replace(GAP, margin=None, target=Limits(""), comparison="none"))
