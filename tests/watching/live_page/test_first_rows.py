"""What a page shows of first answers, from the first one that is known to the last."""

from dataclasses import replace

import pytest

from geomgen.verdicts.check import Check, Limits
from geomgen.verdicts.first import FirstCheck
from geomgen.watching.live_page.first_rows import first_verdict

GAP = Check(
    "gap", "pod", "a gap", 5.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", 1.0, "pass"
)
FORMER = tuple(replace(GAP, id=id_) for id_ in ("gap", "room", "angle"))


def check(id_, measured=5.0, **more):
    margin = None if measured is None else measured - 4.0
    verdict = "not_measured" if measured is None else "pass" if margin >= 0 else "fail"
    return replace(GAP, id=id_, measured=measured, margin=margin, verdict=verdict, **more)


def known(id_, measured=5.0, exact=False, **more):
    return FirstCheck(check(id_, measured, **more), True, exact)


def waiting(id_, measured=None, **more):
    return FirstCheck(check(id_, measured, **more), False)


def shown(told):
    """Return by id of which revision a row is, 0 for the new one."""
    return {row["id"]: row.get("of", 0) for group in told["groups"] for row in group["checks"]}


def told(checks, whole=False, former=FORMER):
    return first_verdict(checks, (), former, 5, 4, whole)


def test_before_anything_is_known_every_row_is_of_the_state_before():
    found = told([waiting(id_) for id_ in ("gap", "room", "angle")])
    assert shown(found) == {"gap": 4, "room": 4, "angle": 4}
    assert found["worst"] == "waits"
    assert found["sentence"] == (
        "Revision 5: nothing fails so far. 3 figures are still of revision 4."
    )


def test_rows_turn_to_the_new_state_one_by_one_and_keep_their_places():
    """Of every set of rows that may be known, each shows its own figure, the others the former."""
    ids = [check.id for check in FORMER]
    for pattern in range(8):
        new = {id_ for i, id_ in enumerate(ids) if pattern >> i & 1}
        found = told([known(i, 6.0) if i in new else waiting(i) for i in reversed(ids)])
        assert list(shown(found)) == ids
        assert {i for i, of in shown(found).items() if not of} == new
        rows = [row for group in found["groups"] for row in group["checks"]]
        assert [row["measured"] for row in rows] == [
            "6.00 mm" if row["id"] in new else "5.00 mm" for row in rows
        ]
        assert (found["worst"] == "pass") == (len(new) == 3)
        assert found["moved"] == [i for i in reversed(ids) if i in new]


@pytest.mark.parametrize("left", [waiting("angle"), waiting("angle", 4.1, error_bound=0.5)])
def test_all_is_well_is_never_said_while_a_row_is_open(left):
    found = told([known("gap"), known("room"), left], whole=True)
    assert (found["worst"], found["sign"]) == ("waits", "…")
    assert "pass" not in found["sentence"]


def test_a_failure_of_the_new_state_is_told_at_once_one_of_the_state_before_is_not():
    failed = (replace(check("gap", 3.0)), *FORMER[1:])
    before = told([waiting("gap"), known("room"), known("angle")], former=failed)
    assert (before["worst"], shown(before)["gap"]) == ("waits", 4)
    now = told([known("gap", 3.0), waiting("room"), waiting("angle")])
    assert (now["worst"], shown(now)["gap"]) == ("fail", 0)
    assert "checks fail: gap 3.00 mm" in now["sentence"]


def test_a_new_figure_that_does_not_decide_yet_stands_in_place_of_the_former_one():
    found = told([waiting("gap", 4.1, error_bound=0.5), known("room"), known("angle")])
    (still,) = [group for group in found["groups"] if group["kind"] == "waits"]
    assert [(row["id"], row["measured"]) for row in still["checks"]] == [("gap", "4.10 mm")]
    assert 4 not in shown(found).values()
    assert "gap" in found["near"]


def test_what_nothing_can_move_is_no_first_answer():
    rows = told([known("gap", exact=True), known("room")])["groups"][0]["checks"]
    assert [row.get("first_answer", False) for row in rows[:2]] == [False, True]


def test_a_figure_moved_only_if_it_did_by_more_than_it_may_be_off():
    near, far = (known("gap", value, error_bound=0.5) for value in (5.3, 5.8))
    assert told([near])["moved"] == []
    assert told([far])["moved"] == ["gap"]


def test_without_a_state_before_what_is_not_known_is_still_to_come():
    found = told([known("gap"), waiting("room")], former=())
    assert shown(found) == {"gap": 0, "room": 0}
    assert [row["word"] for row in found["groups"][-1]["checks"]] == ["to come"]
    assert found["sentence"] == "Revision 5: nothing fails so far. 1 more to come."
