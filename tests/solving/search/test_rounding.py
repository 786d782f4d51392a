"""The answer lies on steps, and what is judged there was measured there."""

import pytest
from plain_solving import free, machine

from geomgen.sizing.target import Target
from geomgen.solving.search.log import Log, SearchProblem
from geomgen.solving.search.rounding import Rounding, spare_for
from geomgen.solving.search.until import KnownFigure, untils_of

AREA = Target("inlet.area", "", "at least", "mm2", low=9000.0)


def rounding(until: str, figure, frees, present, allowed: int = 40, to: str = "0.1 mm"):
    asked = SearchProblem(
        tuple(frees),
        untils_of([until], [KnownFigure("inlet.area", "mm2", "at least")]),
        False,
        allowed,
    )
    log = Log(asked, machine([AREA], {"inlet.area": figure}, present))
    return Rounding(log, frozenset())


def test_the_nearer_step_and_half_of_what_a_step_changes() -> None:
    here = rounding("inlet.area=9003 mm^2", lambda h: 100 * h, [free(30, 120, 50)], (50,))
    assert here.near([90.03]).texts == ("90 mm",)
    assert here.gives["inlet.area"] == pytest.approx(5.0)
    assert here.best().holds(here.gives)


def test_a_limit_is_rounded_to_its_good_side() -> None:
    here = rounding("inlet.area=target", lambda h: 100 * h - 3, [free(30, 120, 50)], (50,))
    assert here.near([90.03]).texts == ("90.1 mm",)


def test_never_beyond_the_bounds() -> None:
    here = rounding("inlet.area=target", lambda h: 100 * h, [free(30, 90.04, 50)], (50,))
    assert here.near([90.04]).values == (90.0,)
    here = rounding("inlet.area=target", lambda h: 100 * h, [free(90.06, 99, 95)], (95,))
    assert here.near([90.06]).values[0] == pytest.approx(90.1)


def test_corners_of_two_keys() -> None:
    """h w over the corners round (94.87, 94.87): a product of 9000 at least needs one of them."""
    frees = [free(30, 120, 50), free(30, 120, 50, 1)]
    here = rounding("inlet.area=target", lambda h, w: h * w, frees, (50, 50))
    found = here.near([9000**0.5, 9000**0.5])
    assert found.holds()
    assert found.values == pytest.approx((94.9, 94.9), abs=0.11)


def test_one_step_further_where_no_corner_holds() -> None:
    """The search was off by a step and a half."""
    here = rounding("inlet.area=target", lambda h: 100 * h, [free(30, 120, 50)], (50,))
    assert here.near([89.85]).values[0] == pytest.approx(90.0)


def test_what_it_needs_is_what_is_left_for_it() -> None:
    for keys in (1, 2, 3):
        frees = [free(2, 19, 10, n) for n in range(keys)]
        here = rounding(
            "inlet.area=9003 mm^2",
            lambda *v: 9003 + sum(x - 10.03 for x in v),
            frees,
            (10.0,) * keys,
            spare_for(keys),
        )
        here.near([10.03] * keys)
        assert len(here.log.points) <= spare_for(keys)
        assert here.gives["inlet.area"] == pytest.approx(0.05 * keys)


def test_no_give_for_a_figure_that_stays_on_one_side_of_the_value() -> None:
    """Over a jump the value is not reached, whatever a step changes."""
    here = rounding(
        "inlet.area=15000 mm^2", lambda h: 9100 if h < 50.05 else 30000, [free(30, 90, 40)], (40,)
    )
    assert here.near([50.05]).values == (50.0,)
    assert (here.gives, here.between) == ({}, set())


def test_a_flat_figure_comes_to_its_value_as_near_as_the_search_tells() -> None:
    """0.01 mm2 a step; the search ends 0.009 mm2 off 1e5, which it takes for nil."""
    here = rounding("inlet.area=100000 mm^2", lambda h: 1e5 + 0.1 * (h - 60.04), [free(30, 90, 40)],
                    (40,))  # fmt: skip
    assert here.near([60.13]).holds(here.gives)
    assert here.gives["inlet.area"] == pytest.approx(0.01)
