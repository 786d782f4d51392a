"""The bound of the least gap, against the least and the most that the least may be (DERIVED)."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.measurements.least_gap import before_each, bound_of_least, may_be_nearest

GAPS, BOUNDS = st.floats(0.0, 500.0), st.floats(0.0, 10.0)


@pytest.mark.parametrize("seed", range(20))
def test_the_least_that_any_gap_may_be_lies_within_the_bound(seed) -> None:
    rng = random.Random(seed)
    gaps = [(rng.uniform(10.0, 12.0), rng.choice([1e-5, 0.1, 1.5])) for _ in range(5)]
    least, bound = min(gaps)[0], bound_of_least(gaps)
    assert least - bound == pytest.approx(min(gap - own for gap, own in gaps))
    assert least + bound >= min(gap + own for gap, own in gaps) - 1e-9


def test_equal_parts_on_both_sides_keep_their_bound() -> None:
    assert bound_of_least([(10.0, 1e-5), (10.0 - 1e-13, 1e-5)]) == 1e-5


@given(st.lists(st.tuples(GAPS, BOUNDS, st.floats(0.0, 1.0)), min_size=1, max_size=8), GAPS)
def test_what_is_looked_at_holds_the_least_however_loose_the_boxes_are(rows, always) -> None:
    """Boxes keep each gap a share of it off; of those looked at the least is the least of all."""
    gaps = {str(k): (gap, bound) for k, (gap, bound, _) in enumerate(rows)}
    offs = {str(k): share * gap for k, (gap, _, share) in enumerate(rows)}
    seen: dict[str, tuple[float, float]] = {}
    for name, before in before_each(offs, always).items():
        assert set(before) <= set(offs)
        known = [seen[one] for one in before if one in seen]
        if not before or may_be_nearest(offs[name], known):
            seen[name] = gaps[name]
    assert min(seen.values())[0] == min(gaps.values())[0]
