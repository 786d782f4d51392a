"""The bound of the least gap, against the least and the most that the least may be (DERIVED)."""

import random

import pytest

from geomgen.measurements.least_gap import bound_of_least


@pytest.mark.parametrize("seed", range(20))
def test_the_least_that_any_gap_may_be_lies_within_the_bound(seed) -> None:
    rng = random.Random(seed)
    gaps = [(rng.uniform(10.0, 12.0), rng.choice([1e-5, 0.1, 1.5])) for _ in range(5)]
    least, bound = min(gaps)[0], bound_of_least(gaps)
    assert least - bound == pytest.approx(min(gap - own for gap, own in gaps))
    assert least + bound >= min(gap + own for gap, own in gaps) - 1e-9


def test_equal_parts_on_both_sides_keep_their_bound() -> None:
    assert bound_of_least([(10.0, 1e-5), (10.0 - 1e-13, 1e-5)]) == 1e-5
