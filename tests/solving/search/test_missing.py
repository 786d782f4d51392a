"""Aims, shortfalls and what counts as met, against hand-worked figures."""

import pytest

from geomgen.solving.search.missing import gaps_of
from geomgen.solving.search.until import Until
from geomgen.verdicts.check import Check, Limits


def check(measured, low=None, high=None, comparison="at least", bound=0.5, id_="a", verdict=None):
    margins = [m for m in (low is not None and measured is not None and measured - low,
                           high is not None and measured is not None and high - measured)
               if m is not False]  # fmt: skip
    margin = min(margins, default=None)
    said = verdict or ("not_measured" if margin is None else "pass" if margin >= 0 else "fail")
    limits = Limits("", low, high)
    return Check(id_, "p", "", measured, "mm", limits, comparison, margin, said, "", bound)


def gap(row, way="target", value=None, give=None):
    (found,) = gaps_of([Until("a", "a", False, way, value, give)], [row])
    return found


def test_a_one_sided_limit_is_aimed_at_with_the_error_bound_inside() -> None:
    assert gap(check(30.0, low=25.0)).aim == 25.5
    assert gap(check(30.0, high=35.0, comparison="at most")).aim == 34.5
    assert gap(check(30.0, low=25.0)).met()
    assert not gap(check(24.9, low=25.0)).met()


def test_a_band_is_aimed_at_in_its_middle_and_met_inside() -> None:
    found = gap(check(21.0, 20.0, 30.0, "between"))
    assert (found.aim, found.off, found.met()) == (25.0, -4.0, True)
    assert found.short == pytest.approx(4 / 25)


@pytest.mark.parametrize(("measured", "met"), [(100.4, True), (100.6, False), (99.4, False)])
def test_a_value_is_met_within_the_error_bound(measured: float, met: bool) -> None:
    assert gap(check(measured, low=0.0), "=", 100.0).met() is met


def test_a_value_is_met_within_a_stated_tolerance_or_what_steps_allow() -> None:
    assert gap(check(103.0, low=0.0), "=", 100.0, 3.0).met()
    assert not gap(check(103.1, low=0.0), "=", 100.0, 3.0).met(give=9.0)
    assert gap(check(100.9, low=0.0), "=", 100.0).met(give=0.95)


def test_the_band_of_masses_is_no_tolerance_of_a_search() -> None:
    asked = Until("a", "a", False, "=", 100.0, banded=True)
    (off,), (near,) = (gaps_of([asked], [check(m, low=0.0, bound=30.0)]) for m in (100.4, 100.004))
    assert (off.met(), off.met(give=0.01), near.met(give=0.01)) == (False, False, True)
    (least,) = gaps_of(
        [Until("a", "a", False, ">=", 40.0, banded=True)], [check(39.9, low=0.0, bound=30.0)]
    )
    assert (least.aim, least.met()) == (40.0, False)
    # A limit of the file is kept with the band inside it, so that the check surely passes.
    (limit,) = gaps_of([Until("a", "a", False, banded=True, way="target")], [check(30.0, low=25.0)])
    assert limit.aim == 25.5


def test_steps_may_cost_a_hundredth_of_a_value() -> None:
    assert gap(check(101.0, low=0.0), "=", 100.0).met(give=30.0)
    assert not gap(check(101.1, low=0.0), "=", 100.0).met(give=30.0)
    assert gap(check(2.05, low=0.0, bound=0.01), "=", 2.0).met(give=0.05)
    assert not gap(check(2.2, low=0.0, bound=0.01), "=", 2.0).met(give=0.3)


def test_inequalities() -> None:
    assert gap(check(40.0, low=25.0), ">=", 40.0).met()
    assert not gap(check(39.9, low=25.0), ">=", 40.0).met()
    assert gap(check(39.9, low=25.0), "<=", 40.0).met()
    assert gap(check(38.0, low=25.0), ">=", 40.0).short == pytest.approx(2.5 / 40.5)


def test_what_was_not_measured_is_not_met() -> None:
    assert not gap(check(None, low=25.0)).met()
    assert gap(check(None, low=25.0)).short == 1.0


def test_all_counts_every_check_that_binds() -> None:
    from dataclasses import replace

    rows = [check(30.0, low=25.0), replace(check(3.0, low=25.0, id_="b"), binding=False)]
    found = gaps_of([Until("all", "", True, "all")], rows)
    assert [(row.check.id, row.met()) for row in found] == [("a", True)]


def test_names_are_met_by_their_verdict() -> None:
    row = Check("a", "p", "", None, "", Limits(""), "one of", None, "pass")
    assert gap(row).met()
    assert gap(row).short == 0.0
