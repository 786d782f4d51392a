"""Every unit of the table against an independent unit library (pint, its own definitions)."""

import math
import re
import subprocess
import sys
import time

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen import units
from geomgen.errors import ParameterError

ROWS = [(name, unit) for name, kind in units.DIMENSIONS.items() for unit in kind.factors if unit]
# Spellings for pint: it has rpm and revolutions, and its own words for some trade units.
PINT = {
    "rpm": "revolutions_per_minute",
    "rev/min": "revolution/minute",
    "1/min": "revolution/minute",
    "rev/s": "revolution/second",
    "bhp": "horsepower",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "lbs": "lb",
    "kt": "knot",
    "°": "degree",
    "%": "percent",
    "lbf/ft^2": "force_pound/ft^2",
    "mmH2O": "kilogram_force/m^2",
    "K": "delta_degC",
}


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize(("dimension", "unit"), ROWS)
def test_factor_agrees_with_unit_library(registry, dimension, unit):
    """Source: pint's definitions (NIST SP 811 figures). Status: PUBLISHED."""
    inside = units.DIMENSIONS[dimension].inside
    theirs = registry.Quantity(1.0, PINT.get(unit, unit))
    expected = theirs.to(PINT.get(inside, inside) or "dimensionless").magnitude
    assert units.parse(f"1 {unit}", dimension) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("1.35 m", "length", 1350.0),
        ("1.35m", "length", 1350.0),
        ("  4 in ", "length", 101.6),
        ('4"', "length", 101.6),
        ("6'", "length", 1828.8),
        ("3/16 in", "length", 4.7625),
        ("2 3/8 in", "length", 60.325),
        ("-2 1/2 in", "length", -63.5),
        ("1e3 mm", "length", 1000.0),
        (".5 ft", "length", 152.4),
        ("10 cm²", "area", 1000.0),
        ("10 cm**2", "area", 1000.0),
        ("8 g / cm^3", "density", 8000.0),
        ("80 %", "fraction", 0.8),
        (0.8, "fraction", 0.8),
        (1, "fraction", 1.0),
    ],
)
def test_reads(text, dimension, expected):
    assert units.parse(text, dimension) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        ("45", "speed", "no unit"),
        (45, "speed", "no unit"),
        (4.5, "length", "no unit"),
        ("nan mm", "length", "not a finite number"),
        ("inf m", "length", "not a finite number"),
        ("-infinity m", "length", "not a finite number"),
        ("1e999 m", "length", "not a finite number"),
        (float("nan"), "length", "not a finite number"),
        (float("inf"), "fraction", "not a finite number"),
        ("1/0 in", "length", "not a finite number"),
        ("1,35 m", "length", "decimal point"),
        ("1.2.3 m", "length", "not a number with a unit|unknown unit"),
        ("two feet", "length", "not a number with a unit"),
        ("", "length", "not a number with a unit"),
        ("22 kw", "power", "perhaps 'kW'"),
        ("3 metres", "length", "unknown unit"),
        ("3 kg", "length", "a unit of a mass"),
        ("50 kt", "power", "a unit of a speed"),
        (True, "length", "not a length"),
        (None, "length", "not a length"),
        ([1], "length", "not a length"),
        ({"a": 1}, "length", "a table"),
        pytest.param(10**4000, "length", "more than 30 digits|finite", id="long"),
    ],
)
def test_refuses(text, dimension, message):
    with pytest.raises(ParameterError) as caught:
        units.parse(text, dimension)
    assert re.search(message, str(caught.value))
    assert caught.value.allowed


def test_message_lists_units():
    with pytest.raises(ParameterError, match="mm, cm, m, in"):
        units.parse("3 furlongs", "length")


@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from(list(units.DIMENSIONS)))
def test_written_reads_back_the_same_number(value, dimension):
    assert units.parse(units.written(value, dimension), dimension) == value


@given(st.text(max_size=30), st.sampled_from(list(units.DIMENSIONS)))
def test_any_text_gives_a_finite_number_or_a_refusal(text, dimension):
    try:
        assert math.isfinite(units.parse(text, dimension))
    except ParameterError:
        return


@pytest.mark.parametrize("dimension", [d for d in units.DIMENSIONS if d != "fraction"])
def test_pattern_takes_what_is_read(dimension):
    kind = units.DIMENSIONS[dimension]
    for unit in kind.factors:
        assert re.search(units.pattern(dimension), f"1.5 {unit}")
        assert re.search(units.pattern(dimension), f"-3e-2{unit}")
    for wrong in ("3", "nan mm", "3 furlongs", "1,5 m"):
        assert not re.search(units.pattern(dimension), wrong)


def test_both_units():
    assert units.both(20012.864, "area") == "31.02 in^2 / 200.1 cm^2"
    assert units.both(22000.0, "power") == "22.00 kW / 29.50 hp"
    assert units.both(60.0, "temperature") == "60.0 K / 108.0 F"
    assert units.both(2500.0, "rotation") == "2500 rpm"
    assert units.both(0.8, "fraction") == "0.8"


def test_loads_no_unit_library():
    code = "import geomgen.units, sys; print('pint' in sys.modules, 'numpy' in sys.modules)"
    begun = time.perf_counter()
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "False"]
    assert time.perf_counter() - begun < 5.0
