"""The non-dominated set against its definition, written out (Pareto's order, common practice)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.studies.best import non_dominated, sense_of, senses_of

CELL = st.one_of(st.none(), st.integers(-4, 4).map(float), st.just(math.inf))


@st.composite
def trades(draw):
    width = draw(st.integers(1, 4))
    senses = draw(st.lists(st.sampled_from(["low", "high"]), min_size=width, max_size=width))
    row = st.lists(CELL, min_size=width, max_size=width)
    return draw(st.lists(row, max_size=12)), senses


def better(a, b, senses):
    """Say whether a beats b: as good everywhere, better somewhere."""
    pairs = [(x, y) if way == "high" else (y, x) for x, y, way in zip(a, b, senses, strict=True)]
    return all(x >= y for x, y in pairs) and any(x > y for x, y in pairs)


def known(row):
    return all(value is not None and math.isfinite(value) for value in row)


@given(trades())
def test_against_the_definition(trade):
    rows, senses = trade
    meant = tuple(
        known(row) and not any(known(other) and better(other, row, senses) for other in rows)
        for row in rows
    )
    assert non_dominated(rows, senses) == meant


def test_a_quarter_circle_is_all_best():
    """Closed form: on an arc that falls, nothing beats anything; a point inside is beaten."""
    arc = [(math.cos(t), math.sin(t)) for t in (0.1, 0.5, 0.9, 1.3)]
    assert non_dominated([*arc, (0.1, 0.1)], ["high", "high"]) == (True,) * 4 + (False,)


def test_nothing_to_weigh_is_nothing_best():
    assert non_dominated([], ["low"]) == ()
    assert non_dominated([(), ()], []) == (False, False)


def test_the_good_way_follows_the_limit():
    ways = [sense_of(c) for c in ("at most", "at least", "more than", "between", "equal", "none")]
    assert ways == ["low", "high", "high", None, None, None]


@pytest.mark.parametrize("text", ["a", "a=", "a=least", "=low", "a=low,a=high"])
def test_ways_that_are_none_are_refused(text):
    with pytest.raises(ParameterError) as refused:
        senses_of(text)
    assert refused.value.exit_code == 2
