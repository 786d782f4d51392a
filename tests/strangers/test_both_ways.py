"""What is told of first answers beside exact ones: strays, and how wide bounds are."""

from dataclasses import replace

from strangers.both_ways import beside, ratios_of
from strangers.outcome import Outcome, told

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.verdicts.first import first_judged
from geomgen.verdicts.judge import judge

GAP = Measurement("gap.pod", "pod", "gap", 25.0, "mm", "meshes", error_bound=0.2)
LIMIT = Target("gap.pod", "gap", "at least", "mm", low=20.0)


def answers(exact):
    first = first_judged([GAP], [LIMIT])
    return first, judge([replace(GAP, value=exact, error_bound=0.0)], [LIMIT])


def test_within_its_bound_a_first_answer_is_well():
    found = beside(*answers(25.1))
    assert (found["outcome"], found["message"]) == ("built", "")
    assert found["checks"] == {"final": 1, "figures": 1}
    assert abs(found["ratios"]["gap.pod"] - 2.0) < 1e-9


def test_beyond_its_bound_it_is_wrong_and_named():
    found = beside(*answers(25.3))
    assert found["outcome"] == "wrong"
    assert "gap.pod: the first answer 25.0" in found["message"]


def test_a_verdict_that_turned_is_wrong():
    assert beside(*answers(19.0))["outcome"] == "wrong"


def test_where_there_are_no_first_answers_it_is_not_built():
    found = beside((), answers(25.0)[1], "pylon: meshes do not settle it")
    assert (found["outcome"], found["message"]) == ("unclear", "pylon: meshes do not settle it")


def test_figures_without_an_error_have_no_ratio():
    assert ratios_of(*answers(25.0)) == {"gap.pod": None}


def test_ratios_are_told_with_the_rows():
    rows = [
        Outcome("fair", n, "both", "t", "p", "built", checks={"final": 2}, ratios={"gap.pod": r})
        for n, r in ((1, 2.0), (2, 8.0), (3, 4.0))
    ]
    text = told(rows)
    assert "first answers: 6 verdicts final, 0 wait" in text
    assert "3 of 3 figures off by anything; 4.0 in the middle, 2.0 to 8.0" in text
