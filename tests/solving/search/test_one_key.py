"""Crossings along one freed key, against roots in closed form."""

import pytest
from plain_solving import free, machine

from geomgen.errors import GeometryError
from geomgen.sizing.target import Target
from geomgen.solving.search.level import level_of
from geomgen.solving.search.log import Log, SearchProblem
from geomgen.solving.search.one_key import OneKey
from geomgen.solving.search.until import KnownFigure, untils_of

AREA = Target("inlet.area", "", "at least", "mm2", low=9000.0)


def line(formula, allowed: int = 60, start: float = 50.0, bounds=(30, 90)) -> OneKey:
    asked = untils_of(["inlet.area=9000 mm^2"], [KnownFigure("inlet.area", "mm2", "at least")])
    question = SearchProblem((free(*bounds, start),), asked, evaluations=allowed)
    return OneKey(Log(question, machine([AREA], {"inlet.area": formula})), level_of(question))


@pytest.mark.parametrize("power", [0.3, 1.0, 2.5, 6.0])
def test_a_root_of_a_power(power: float) -> None:
    """(h / 71)^n = 1 at h = 71."""
    found = line(lambda h: 9000 * (h / 71) ** power)
    assert found.crossings()[0] == pytest.approx(71.0, abs=0.025)
    assert len(found.log.points) <= 16


def test_a_jump_has_no_root_but_both_its_sides_are_found() -> None:
    (found, *_) = line(lambda h: 8000.0 if h < 64.3 else 9500.0).crossings()
    assert found == pytest.approx(64.3, abs=0.05)


def test_both_crossings_the_nearest_to_the_present_first() -> None:
    """(h - 60)^2 = 15^2 at 45 and 75 (closed form)."""
    found = line(lambda h: 9000 + 10 * ((h - 60) ** 2 - 225), start=70.0).crossings()
    assert found[:2] == pytest.approx([75.0, 45.0], abs=0.03)


def test_what_only_rises_and_stays_far_off_is_not_searched_for_long() -> None:
    found = line(lambda h: 10 * h)
    assert found.crossings() == [90.0]
    assert len(found.log.points) == 4


def test_the_hopeless_side_of_a_hole_is_not_searched_for_long() -> None:
    def area(h: float) -> float:
        if h < 35:
            raise GeometryError("the walls meet")
        return 60 * h

    found = line(area)
    assert found.crossings() == [90.0]
    assert len(found.log.points) <= 9


def test_a_root_at_the_edge_of_a_hole() -> None:
    def area(h: float) -> float:
        if 51 < h < 80:
            raise GeometryError("the walls meet")
        return 180 * h

    assert line(area, start=40.0).crossings()[0] == pytest.approx(50.0, abs=0.03)


def test_it_ends_when_nothing_more_may_be_measured() -> None:
    found = line(lambda h: 9000 * (h / 71) ** 6, allowed=4)
    assert found.crossings()
    assert len(found.log.points) == 4


def test_what_can_be_built_nowhere_is_not_searched_for_long() -> None:
    def never(h: float) -> float:
        raise GeometryError("the walls meet")

    found = line(never)
    assert found.crossings() == []
    assert len(found.log.points) <= 9


def test_a_root_between_two_holes() -> None:
    def area(h: float) -> float:
        if 42 < h < 48 or 53 < h < 89:
            raise GeometryError("the walls meet")
        return 180 * h

    assert line(area, start=40.0).crossings()[0] == pytest.approx(50.0, abs=0.03)


def test_of_equal_states_the_present_one() -> None:
    assert line(lambda h: 8000.0, start=57.0).crossings() == [57.0]


def test_bounds_that_are_closer_than_a_step() -> None:
    """Nothing crosses between 69.96 and 70.04 mm: the figure dips in the middle only."""
    found = line(lambda h: 9100 + 100 * (h - 70) ** 2, start=70.04, bounds=(69.96, 70.04))
    assert found.crossings() == pytest.approx([70.0], abs=0.02)


@pytest.mark.parametrize("end", [33.1, 41.7, 52.0, 64.4, 73.3, 79.2])
@pytest.mark.parametrize("behind", [0.9, 2.2, 8.4])
def test_a_root_close_behind_a_hole_that_begins_at_a_bound(end: float, behind: float) -> None:
    def area(h: float) -> float:
        if h < end:
            raise GeometryError("the walls meet")
        return 9000 * (1 + (h - end - behind) / 60)

    found = line(area, allowed=40, start=89.0)
    assert found.crossings()[0] == pytest.approx(end + behind, abs=0.025)
    assert len(found.log.points) <= 22
