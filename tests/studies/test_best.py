"""The non-dominated set against its definition, written out (Pareto's order, common practice)."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.studies import best
from geomgen.studies.best import beaten, non_dominated, sense_of, senses_of

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


def surely(by, row):
    """Say whether one beats another with (values, bounds) each: written out figure by figure."""
    figures = list(zip(*by, *row, strict=True))
    good = all(v <= w - max(0.0, c - b) + 2.0 * b for v, b, w, c in figures)
    return good and any(v < w - c - 2.0 * b for v, b, w, c in figures)


def table(rng, many, columns, kind):
    """Return random values and bounds: anywhere, on a falling surface, on a coarse grid."""
    values = rng.random((many, columns))
    if kind == "surface":
        values[:, -1] = columns - values[:, :-1].sum(axis=1)
    elif kind == "grid":
        values = np.round(4 * values)
    bounds = rng.choice([0.0, 0.01, 0.25], (many, columns)) * rng.random((many, 1))
    return values, bounds


@pytest.mark.parametrize("kind", ["anywhere", "surface", "grid"])
@pytest.mark.parametrize("columns", [1, 2, 3, 5])
def test_large_tables_against_the_definition(kind, columns, monkeypatch) -> None:
    """Boxes down to a few rows; some rows have no figure at all."""
    monkeypatch.setattr(best, "PAIRS", 64)
    rng = np.random.default_rng(11)
    rows, by = (table(rng, many, columns, kind) for many in (120, 90))
    rows[0][7, 0] = by[0][3, -1] = math.nan
    pairs = [list(zip(*each, strict=True)) for each in (rows, by)]
    meant = [any(surely(other, row) for other in pairs[1]) for row in pairs[0]]
    assert beaten(rows, by).tolist() == meant
    senses = ["low"] * columns
    flags = [
        known(a) and not any(known(b) and better(b, a, senses) for b in rows[0]) for a in rows[0]
    ]
    assert non_dominated(rows[0].tolist(), senses) == tuple(flags)


@pytest.mark.parametrize("kind", ["anywhere", "surface"])
def test_eight_times_the_rows_take_little_more_than_eight_times_the_comparisons(
    kind, monkeypatch
) -> None:
    compared, beats = [0], best._beats

    def counted(by, values, bounds):
        compared[0] += len(by[0]) * max(1, values.size // values.shape[-1])
        return beats(by, values, bounds)

    monkeypatch.setattr(best, "_beats", counted)
    counts = []
    for many in (1000, 8000):
        compared[0] = 0
        values, _ = table(np.random.default_rng(5), many, 3, kind)
        non_dominated(values.tolist(), ["low"] * 3)
        counts.append(compared[0])
    assert counts[1] < 8 * 1.5 * counts[0]


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
