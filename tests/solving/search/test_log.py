"""Every state is measured once, and never more of them than allowed."""

import pytest
from plain_solving import free, machine

from geomgen.errors import ParameterError
from geomgen.sizing.target import Target
from geomgen.solving.search.log import Log, SearchProblem, Spent
from geomgen.solving.search.until import KnownFigure, untils_of

AREA = Target("inlet.area", "", "at least", "mm2", low=9000.0)


def log(allowed: int = 5, formula=lambda h: 100 * h) -> Log:
    asked = untils_of(["inlet.area=target"], [KnownFigure("inlet.area", "mm2", "at least")])
    question = SearchProblem((free(30, 90, 50.0),), asked, evaluations=allowed)
    return Log(question, machine([AREA], {"inlet.area": formula}))


def test_a_state_is_measured_once_also_the_present_one() -> None:
    here = log()
    assert here.former() is here.at([50.0])
    assert here.at([60.0]) is here.written(["60 mm"])
    assert [point.number for point in here.points] == [1, 2]


def test_no_more_than_allowed_and_some_are_left_for_the_answer() -> None:
    here = log(3)
    here.spare = 1
    here.former()
    here.at([60.0])
    with pytest.raises(Spent):
        here.at([70.0])
    here.spare = 0
    here.at([70.0])
    with pytest.raises(Spent):
        here.at([80.0])
    # What is known may be asked for at any time.
    assert here.at([60.0]).number == 2


def test_a_refused_state_says_so() -> None:
    def refuse(h: float) -> float:
        raise ParameterError("as large as half the mouth", key="scoops.0.corner_radius")

    point = log(5, refuse).at([60.0])
    assert (point.kind, point.built, point.short) == ("refused", False, float("inf"))
    assert "half the mouth" in point.problem


def test_what_falls_off_the_bounds_is_not_within() -> None:
    here = log()
    here.former()
    here.written(["95 mm"])
    assert [point.values for point in here.within()] == [(50.0,)]


def test_a_figure_that_nothing_moves_is_stuck() -> None:
    for formula, stuck in ((lambda h: 8000.0, True), (lambda h: 100 * h, False)):
        here = log(5, formula)
        for value in (40.0, 50.0):
            here.at([value])
        assert not here.stuck(fewest=3)
        here.at([60.0])
        assert here.stuck(fewest=3) is stuck
