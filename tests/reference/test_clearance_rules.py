"""Propeller clearances: 14 CFR 23.925 before Amdt 23-64 and CS 22.925, never mixed.

Sources: 14 CFR 23.925(a), (b), (d) as it stood before Amdt 23-64, in inches; CS 22.925(a), (b), in
millimetres. Both PUBLISHED.
"""

from math import isclose

import pytest

from geomgen.sizing.formulas import clearances


def test_american_set_published():
    rule = clearances.AMERICAN
    assert isclose(clearances.radial(rule).value, 1 * 25.4)
    assert isclose(clearances.axial(rule).value, 0.5 * 25.4)
    assert isclose(clearances.ground(rule, "tricycle").value, 7 * 25.4)
    assert isclose(clearances.ground(rule, "tailwheel").value, 9 * 25.4)


def test_european_set_published():
    rule = clearances.EUROPEAN
    assert clearances.radial(rule).value == 25
    assert clearances.axial(rule).value == 13
    assert clearances.ground(rule, "tricycle").value == 180
    assert clearances.ground(rule, "tailwheel").value == 230


@pytest.mark.parametrize(
    "ask",
    [
        clearances.radial,
        clearances.axial,
        lambda rule: clearances.ground(rule, "tricycle"),
        lambda rule: clearances.ground(rule, "tailwheel"),
    ],
)
def test_sets_are_kept_apart_published(ask):
    """25 mm is not 1 in, 13 mm not 1/2 in; each names its own text as the source."""
    american, european = ask(clearances.AMERICAN), ask(clearances.EUROPEAN)
    assert american.value != european.value
    assert american.source.startswith("14 CFR 23.925")
    assert european.source.startswith("CS 22.925")
    assert "CS" not in american.source
    assert "CFR" not in european.source


def test_largest_pitch_is_an_american_case_published():
    """14 CFR 23.925(b) rules out contact; CS 22.925 has no paragraph for aft propellers."""
    assert clearances.PITCHED[clearances.AMERICAN].startswith("14 CFR 23.925(b)")
    assert clearances.PITCHED[clearances.EUROPEAN].startswith("common practice")
