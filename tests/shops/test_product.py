"""What a shop is given is judged as everything else is: by its limits, or by its severity."""

import ast
from math import inf, nan
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import geomgen
from geomgen.shops.product import found

FIGURES = st.floats(-1e3, 1e3, allow_nan=False).map(lambda value: round(value, 3))
SHOPS = Path(geomgen.__file__).parent / "shops"
LIMITS = st.one_of(st.none(), FIGURES)


@given(FIGURES, LIMITS, LIMITS, st.sampled_from(["fail", "warn"]))
def test_inside_its_limits_it_passes_and_outside_it_is_as_severe_as_stated(
    value, low, high, severity
):
    check = found("a.b", "pod", "w", value, "mm", low=low, high=high, severity=severity)
    inside = (low is None or value >= low) and (high is None or value <= high)
    if low is None and high is None:
        assert (check.verdict, check.margin) == ("warn", None)
    else:
        assert check.verdict == ("pass" if inside else severity)
    assert (check.target.low, check.target.high, check.measured) == (low, high, value)
    assert check.stops == (check.verdict == "fail")


def test_a_figure_to_read_neither_warns_nor_stops():
    check = found("foam.count", "pod", "slabs", 60.0, "1", severity="info")
    assert (check.verdict, check.stops, check.comparison) == ("pass", False, "none")


@pytest.mark.parametrize("severity", ["fail", "warn"])
@pytest.mark.parametrize("value", [None, 5.0])
def test_where_no_figure_will_do_it_says_what_to_do(value, severity):
    check = found("a", "pod", "w", value, "mm", high=9.0, severity=severity, hopeless="compare")
    assert (check.verdict, check.measured, check.note) == (severity, value, "compare")


@pytest.mark.parametrize("value", [nan, inf])
def test_what_is_no_figure_stops_as_one_that_was_not_measured(value):
    check = found("a", "pod", "w", value, "mm", high=9.0, advice="look")
    assert (check.verdict, check.measured, check.note) == ("not_measured", None, "look")
    assert check.stops


def test_what_to_do_is_kept_where_all_is_well():
    assert found("a", "pod", "w", 1.0, "mm", high=9.0, advice="look").note == "look"


def sources(tree: ast.AST):
    """Give line and source of each finding that has a limit, or for which no figure will do."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "found":
            told = {keyword.arg: keyword.value for keyword in node.keywords}
            # A call that hands on what it was given says nothing itself.
            if None not in told and told.keys() & {"low", "high", "hopeless"}:
                yield node.lineno, told.get("source")


def test_every_finding_with_a_limit_names_its_source():
    seen, bare = 0, []
    for file in sorted(SHOPS.rglob("*.py")):
        for line, source in sources(ast.parse(file.read_text())):
            seen += 1
            if source is None or (isinstance(source, ast.Constant) and not source.value):
                bare.append(f"{file.relative_to(SHOPS)}:{line}")
    assert seen > 30
    assert bare == []
