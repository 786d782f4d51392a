"""The bar of a check: order and sides of limit and value (closed forms of a linear scale)."""

import pytest

from geomgen.pages.margin_bar import LONG, bar
from geomgen.verdicts.check import Check, Limits


def check(value, low=None, high=None, verdict="pass", error=None):
    limits = Limits("", low, high)
    return Check("a", "pod", "gap", value, "mm", limits, "at least", None, verdict, "", error)


def test_nothing_to_draw():
    assert bar(check(None, 1.0)) is None
    assert bar(check(3.0)) is None


@pytest.mark.parametrize(("value", "low"), [(30.0, 20.0), (12.0, 20.0), (1e-6, 0.0), (-4.0, 0.0)])
def test_a_low_limit_is_open_above(value, low):
    made = bar(check(value, low, verdict="pass" if value >= low else "fail"))
    assert made.high_open
    assert not made.low_open
    assert made.allowed[1] == LONG
    assert made.inside == (value >= low)
    assert (made.value >= made.allowed[0]) == (value >= low)
    assert 0 <= made.margin[0] < made.margin[1] <= LONG


def test_two_limits_keep_their_proportions():
    made = bar(check(16.0, 10.0, 20.0))
    low, high = made.allowed
    assert (made.value - low) / (high - low) == pytest.approx(0.6, abs=1e-4)
    # The margin is counted from the limit that the value is nearest to.
    assert made.margin == pytest.approx((made.value, high))


def test_the_same_scale_holds_in_other_units():
    one, other = bar(check(30.0, 20.0)), bar(check(30.0 / 25.4, 20.0 / 25.4))
    assert one.margin == pytest.approx(other.margin, abs=2e-3)


def test_a_failed_check_of_a_word_is_outside_even_on_the_limit():
    assert not bar(check(20.0, 20.0, verdict="fail")).inside


def test_the_error_is_shown_in_scale():
    made = bar(check(30.0, 10.0, error=2.0))
    assert made.error / (made.margin[1] - made.margin[0]) == pytest.approx(0.1, rel=1e-3)
