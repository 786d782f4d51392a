"""Least mass under constraints, against solutions in closed form."""

import pytest
from plain_solving import free, machine

from geomgen.errors import GeometryError
from geomgen.sizing.target import Target
from geomgen.solving.search.level import level_of
from geomgen.solving.search.lightest import Lightest
from geomgen.solving.search.log import Log, SearchProblem
from geomgen.solving.search.until import KnownFigure, untils_of

AREA = Target("inlet.area", "", "at least", "mm2", low=6400.0)
GAP = Target("prop.radial_clearance", "", "at least", "mm", low=10.0)


def lightest(area, mass, present=(120.0, 150.0), gap=None, allowed: int = 90):
    figures = {"inlet.area": area} | ({"prop.radial_clearance": gap} if gap else {})
    targets = [AREA, GAP][: len(figures)]
    asked = untils_of(["inlet.area=target"], [KnownFigure("inlet.area", "mm2", "at least")])
    frees = (free(40, 200, present[0]), free(40, 400, present[1], 1))
    question = SearchProblem(frees, asked, True, allowed)
    log = Log(question, machine(targets, figures, present, mass))
    return Lightest(log, level_of(question), log.former()).run(), log


def test_a_product_with_weights() -> None:
    """Least 4 h + w with h w = 6400: h = 40, w = 160 (closed form)."""
    found, _ = lightest(lambda h, w: h * w, lambda h, w: (4 * h + w) / 100)
    assert found.mass == pytest.approx(3.2, rel=5e-3)
    assert found.values == pytest.approx((40.0, 160.0), rel=0.08)


def test_a_check_that_is_not_asked_for_is_kept() -> None:
    """With h - 60 >= 10 kept, h = 70 and w = 6400 / 70 (closed form)."""
    found, _ = lightest(lambda h, w: h * w, lambda h, w: (4 * h + w) / 100, gap=lambda h, w: h - 60)
    assert found.values == pytest.approx((70.0, 6400 / 70), rel=0.01)


def test_what_cant_be_built_is_walked_round() -> None:
    def area(h: float, w: float) -> float:
        if h < 60:
            raise GeometryError("the walls meet")
        return h * w

    found, log = lightest(area, lambda h, w: (4 * h + w) / 100)
    assert found.built
    assert found.mass == pytest.approx((4 * 60 + 6400 / 60) / 100, rel=0.03)
    assert len(log.points) <= 90


def test_few_states_still_give_one_that_holds() -> None:
    found, log = lightest(lambda h, w: h * w, lambda h, w: (4 * h + w) / 100, allowed=8)
    assert found.holds()
    assert len(log.points) <= 8


def test_a_mass_that_nothing_moves_is_not_searched_for_long() -> None:
    found, log = lightest(lambda h, w: h * w, lambda h, w: 2.0)
    assert found.holds()
    assert len(log.points) <= 8
