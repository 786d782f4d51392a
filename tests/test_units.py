"""Every unit of the table against an independent unit library (pint, its own definitions)."""

import math
import re
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.unit_table import ALSO as ALSO_TABLE

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
    "degC rise": "delta_degC",
    "degF rise": "delta_degF",
    "US gal": "US_liquid_gallon",
}
# Every other spelling, in pint's words; written apart from the table, so that it can't echo it.
ALSO = {
    "length": {
        "mm": "millimetre millimetres millimeter millimeters MM",
        "cm": "centimetre centimetres centimeter centimeters CM",
        "m": "metre metres meter meters",
        "inch": "inches IN \" ″ ” ''",
        "foot": "foot feet FT ' ′ ’",
    },
    "angle": {"radian": "radian radians"},
    "area": {
        "mm**2": "sq_mm sq._mm mm2 mm² mm**2",
        "cm**2": "sq_cm sq._cm cm2 cm²",
        "m**2": "sq_m sq._m m2 square_metres square_meters",
        "inch**2": "sq_in sq._in sqin in2 in² square_inches square_inch",
        "foot**2": "sq_ft sq._ft sqft ft2 ft² square_feet square_foot",
    },
    "volume": {
        "cm**3": "cu_cm cc cm3",
        "inch**3": "cu_in cu._in in3 cubic_inches",
        "foot**3": "cu_ft cu._ft ft3 cubic_feet",
        "liter": "L litre litres liter liters",
        "US_liquid_gallon": "US_gallon US_gallons U.S._gal USgal",
    },
    "speed": {
        "m/s": "m/sec",
        "km/hour": "km/hr kmh kph",
        "knot": "kts kn KT KTS",
        "mile/hour": "MPH mi/h",
        "foot/second": "fps ft/sec",
        "foot/minute": "fpm",
    },
    "power": {"watt": "watt watts", "horsepower": "HP horsepower BHP"},
    "density": {
        "kg/m**3": "kg/cu_m kg/m3",
        "g/cm**3": "g/cu_cm g/cc g/cm3",
        "pound/foot**3": "lb/cu_ft lbs/cu_ft lbs/ft^3 lbs/ft3 lb/ft3 pcf",
        "pound/inch**3": "lb/cu_in lbs/cu_in lbs/in^3 lb/in3",
    },
    "mass": {
        "kg": "kgs kilogram kilograms",
        "gram": "gram grams",
        "pound": "pound pounds LB LBS",
        "ounce": "ounce ounces OZ",
    },
    "areal weight": {
        "kg/m**2": "kg/sq_m kg/m2",
        "g/m**2": "g/sq_m gsm g/m2",
        "ounce/yard**2": "oz/sq_yd oz/yd2",
        "pound/foot**2": "lb/sq_ft lb/ft2",
    },
    "rotation": {"revolution/minute": "RPM r/min"},
    "temperature": {
        "delta_degC": "K_rise K_difference °C_rise C_rise degC_difference °C_difference "
        "C_difference deg_C_rise deg_C_difference",
        "delta_degF": "°F_rise F_rise degF_difference °F_difference F_difference "
        "deg_F_rise deg_F_difference",
    },
    "pressure": {
        "psi": "PSI lbf/in^2 lbf/in2",
        "force_pound/foot**2": "lbf/sq_ft psf lbf/ft2",
        "inch_H2O_4C": "inches_H2O in_H2O",
        "kilogram_force/m**2": "mm_H2O",
    },
    "fraction": {"percent": "percent per_cent"},
}
SPELT = [
    (dimension, theirs, word.replace("_", " ").replace("delta deg", "delta_deg"))
    for dimension, rows in ALSO.items()
    for theirs, words in rows.items()
    for word in words.split()
]


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


@pytest.mark.parametrize(("dimension", "theirs", "word"), SPELT)
def test_other_spellings_agree_with_unit_library(registry, dimension, theirs, word):
    """Source: pint's definitions. Status: PUBLISHED."""
    inside = units.DIMENSIONS[dimension].inside
    if theirs == "inch_H2O_4C":
        # The library's water is not weighed to the figure that the table's round one has.
        theirs = "25.4 * kilogram_force/m^2"
    expected = registry.Quantity(theirs).to(PINT.get(inside, inside) or "dimensionless").magnitude
    assert units.parse(f"3 {word}", dimension) == pytest.approx(3 * expected, rel=1e-12)
    assert units.parse(f"3{word}", dimension) == units.parse(f"3 {word}", dimension)
    assert re.search(units.pattern(dimension), f"3 {word}")


def test_no_spelling_is_left_untried():
    tried = {(dimension, "".join(word.split())) for dimension, _, word in SPELT}
    for dimension, kind in units.DIMENSIONS.items():
        for unit in kind.factors:
            for word in ALSO_TABLE.get(unit, "").split("|") if unit in ALSO_TABLE else ():
                assert (dimension, "".join(word.split())) in tried, word


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("5' 3\"", "length", 63 * 25.4),
        ("5'-3 1/2\"", "length", 63.5 * 25.4),
        ("5 ft 3.25 in", "length", 63.25 * 25.4),
        ("-5 ft 3 in", "length", -63 * 25.4),
        ("5 feet 3 inches", "length", 63 * 25.4),
        ("4' 0-3/8 in", "length", 48.375 * 25.4),
        ("1-1/2 in", "length", 1.5 * 25.4),
        ("53”", "length", 53 * 25.4),
        ("108 degF rise", "temperature", 60.0),
        ("108 deg F rise", "temperature", 60.0),
        ("60 degC rise", "temperature", 60.0),
        ("12 US gal", "volume", 12 * 231 * 25.4**3),
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
        ("1,35 m", "length", r'write "1\.35 m", with a decimal point'),
        ("1,5 mm", "length", r'do: write "1\.5 mm", with a decimal point'),
        ("1,350 mm", "length", r'"1350 mm", or "1\.350 mm" if the comma stands for'),
        ("0,350 m", "length", r'write "0\.350 m", with a decimal point'),
        ("1,234,567 mm", "length", r'write "1234567 mm", with nothing between'),
        ("1,234.5 mm", "length", r'write "1234\.5 mm", with nothing between'),
        ("1.234,5 mm", "length", r'write "1234\.5 mm", with a decimal point'),
        ("5 in", "speed", "'in' is a unit of a length, not a speed"),
        ("5 inches", "speed", "unit of a length, not a speed"),
        ("5' 14\"", "length", "not a number with a unit|unknown unit"),
        ("5' 12\"", "length", "not a number with a unit|unknown unit"),
        ("108 degF", "temperature", r'not a difference(.|\n)*"108 degF rise"'),
        ("108 deg F", "temperature", r'not a difference(.|\n)*"108 degF rise"'),
        ("42 °C", "temperature", r'not a difference(.|\n)*"42 degC rise"'),
        ("330 K", "length", "a unit of a temperature difference"),
        ("12 gal", "volume", "unknown unit"),
        ("1 mm" + " " * 10**6 + "x", "length", "not a number with a unit"),
        ("9" * 10**6, "length", "not a number with a unit"),
        ("1.2.3 m", "length", "not a number with a unit|unknown unit"),
        ("two feet", "length", "not a number with a unit"),
        ("", "length", "not a number with a unit"),
        ("22 kw", "power", "perhaps 'kW'"),
        ("3 mètres", "length", "unknown unit"),
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
    for wrong in ("3", "nan mm", "3 furlongs", "1,5 m", "1,350 mm", "108 degF"):
        assert not re.search(units.pattern(dimension), wrong)


def test_both_units():
    assert units.both(20012.864, "area") == "31.02 in^2 / 200.1 cm^2"
    assert units.both(22000.0, "power") == "22.00 kW / 29.50 hp"
    assert units.both(60.0, "temperature") == "60.0 K / 108.0 degF rise"
    assert units.both(2500.0, "rotation") == "2500 rpm"
    assert units.both(0.8, "fraction") == "0.8"


def test_loads_no_unit_library():
    code = "import geomgen.units, sys; print('pint' in sys.modules, 'numpy' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "False"]


@given(
    st.integers(0, 99),
    st.integers(0, 11),
    st.integers(0, 63),
    st.sampled_from([64, 32, 16]),
    st.sampled_from(["{}' {} {}/{}\"", "{} ft {}-{}/{} in", "{}'-{} {}/{}''"]),
)
def test_feet_inches_and_fractions(feet, inches, part, whole, form):
    text = form.format(feet, inches, part, whole)
    expected = (12 * feet + inches + part / whole) * 25.4
    assert units.parse(text, "length") == pytest.approx(expected, rel=1e-14)
    number, unit = units.taken_apart(text, "length")
    assert units.parse(f"{number} {unit}", "length") == units.parse(text, "length")
    assert re.search(units.pattern("length"), text)


@given(st.text("0123456789.,/-'\" inftmMKrse", max_size=14), st.sampled_from(["length", "speed"]))
def test_what_is_read_fits_the_pattern(text, dimension):
    try:
        units.parse(text, dimension)
    except ParameterError:
        return
    assert re.search(units.pattern(dimension), text), text
