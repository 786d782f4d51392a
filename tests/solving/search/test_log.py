"""Every state is measured once, and never more of them than allowed."""

from dataclasses import replace

import pytest
from plain_solving import first_looks, free, machine

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


def seen(formula=lambda h: 100 * h, **more) -> Log:
    """Return a log with first answers that are 3 mm^2 off, by a bound of 5 mm^2."""
    here = log(5, formula)
    here.first = first_looks([AREA], {"inlet.area": formula}, bound=5.0, off=lambda h: 0.6)
    here.former()
    return replace(here, **more)


def area(point) -> float | None:
    return point.checks[0].measured


def test_a_first_answer_is_enough_where_it_is_said_to_be() -> None:
    here = seen()
    assert (here.points[0].exact, area(here.points[0])) == (True, 5000.0)
    assert (area(here.look([60.0], lambda p: True)), area(here.look([70.0], lambda p: False))) == (
        6003.0,
        7000.0,
    )
    assert [point.exact for point in here.points] == [True, False, True]


def test_a_state_that_is_measured_after_its_first_answer_counts_once_and_keeps_its_place() -> None:
    told = []
    here = seen(tell=lambda point: told.append((point.number, point.exact)))
    here.look([60.0], lambda p: True)
    here.look([70.0], lambda p: True)
    here.spare = 5
    assert area(here.at([60.0])) == 6000.0
    assert here.look([60.0], lambda p: False) is here.points[1]
    assert [(point.number, point.exact) for point in here.points] == [
        (1, True),
        (2, True),
        (3, False),
    ]
    assert told == [(2, False), (3, False), (2, True)]


def test_the_first_state_that_may_do_is_measured_where_trimming_is_counted() -> None:
    here = seen(lambda h: 120 * h, trims=8)
    assert not here.look([60.0], lambda p: True).exact
    assert here.look([80.0], lambda p: True).exact
    assert [point.values for point in here.valid()] == [(80.0,)]
    assert not here.look([82.0], lambda p: True).exact


def test_what_can_not_be_built_is_said_by_the_exact_way() -> None:
    def refuse(h: float) -> float:
        if h > 55:
            raise ParameterError("as large as half the mouth", key="scoops.0.corner_radius")
        return 100 * h

    point = seen(refuse).look([60.0], lambda p: True)
    assert (point.kind, point.exact, point.number) == ("refused", True, 2)
    assert seen(refuse).look([52.0], lambda p: True).exact is False
