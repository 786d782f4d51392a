"""Even spacing: numpy.linspace; combinations: itertools.product (closed form for their number)."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.studies.vary import grid, overrides_of, varies_of, vary_of

TABLES = {"firewall": {}, "rules": {}, "propeller": {}, "pod": {}, "scoops": [{"name": "cheek"}]}


@given(
    low=st.floats(0.1, 9.0),
    high=st.floats(9.5, 90.0),
    many=st.integers(2, 40),
    unit=st.sampled_from(["mm", "in", "m", "ft"]),
)
def test_a_range_is_spaced_evenly_with_its_ends(low, high, many, unit):
    factor = {"mm": 1.0, "in": 25.4, "m": 1000.0, "ft": 304.8}[unit]
    vary = vary_of(f"firewall.station={low!r} {unit}:{high!r}{unit}:{many}", TABLES)
    numbers = [value.number for value in vary.values]
    assert numbers == pytest.approx(np.linspace(low * factor, high * factor, many), rel=1e-8)
    assert vary.values[0].text == f"{low!r} {unit}"
    assert vary.values[-1].text == f"{high!r}{unit}"
    assert all(value.text.endswith(unit) for value in vary.values)


def test_ends_in_two_units_are_the_same_range():
    vary = vary_of("firewall.station=1800 mm:2 m:3", TABLES)
    assert [value.number for value in vary.values] == [1800.0, 1900.0, 2000.0]
    assert vary.values[1].text == "1900 mm"


def test_plain_ratios_and_percents():
    assert [v.text for v in vary_of("rules.tip_mach=0.6:0.7:3", TABLES).values] == [
        *("0.6", "0.65", "0.7")
    ]
    percent = vary_of("rules.exit_to_inlet=70%:90%:3", TABLES).values
    assert [v.number for v in percent] == pytest.approx([0.7, 0.8, 0.9])


def test_a_falling_range_falls():
    assert [v.number for v in vary_of("firewall.tilt=2deg:-2deg:3", TABLES).values] == [2, 0, -2]


def test_lists_of_words_and_quoted_values():
    asked = """rules.clearances="CS 22.925", '14 CFR 23.925'"""
    assert [v.shown for v in vary_of(asked, TABLES).values] == ["CS 22.925", "14 CFR 23.925"]
    bare = vary_of("rules.clearances=CS 22.925,14 CFR 23.925", TABLES)
    assert [v.shown for v in bare.values] == ["CS 22.925", "14 CFR 23.925"]
    both = vary_of("scoops.cheek.mouth=at firewall,1.8 m", TABLES)
    assert [v.number for v in both.values] == [None, 1800.0]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("firewall.station", "not a key with its values"),
        ("firewall.station=", "not a key with its values"),
        ("=1 m", "not a key with its values"),
        ("firewall.station=1.8m:2m", "how many values"),
        ("firewall.station=1.8m:2m:1", "not a number of values"),
        ("firewall.station=1.8m:2m:x", "not a number of values"),
        ("firewall.station=1.8m:2m:2.5", "not a number of values"),
        ("firewall.station=1.8m:2m:99999", "not a number of values"),
        ("firewall.station=1.8m:2m:3:4", "not a range"),
        ("firewall.station=1.8m::3", "not a range"),
        ("firewall.station=1.8m:1800mm:3", "both ends are the same"),
        ("firewall.station=1.8m:2:3", "no unit"),
        ("firewall.station=1.8m:2kg:3", "unit of a mass"),
        ("firewall.station=1 m,,2 m", "a value is missing"),
        ("firewall.station=1 m,1000 mm", "the same value twice"),
        ("scoops.cheek.mouth=at firewall:2m:3", "numbers at both ends"),
    ],
)
def test_what_is_not_of_the_form_is_refused(text, problem):
    with pytest.raises(ParameterError, match=problem) as refused:
        vary_of(text, TABLES)
    assert refused.value.exit_code == 2
    assert refused.value.written or refused.value.key


def test_a_range_without_a_number_of_values_is_told_as_written():
    with pytest.raises(ParameterError, match=r"write 1\.8m:2m:5, or --samples N") as refused:
        vary_of("firewall.station=1.8m:2m", TABLES)
    assert refused.value.written == "1.8m:2m"


def test_steps_of_whole_numbers_must_be_whole():
    tables = {"handoff": {"cores": {}}}
    assert [v.text for v in vary_of("handoff.cores.ticks=10:30:3", tables).values] == [
        *("10", "20", "30")
    ]
    with pytest.raises(ParameterError, match="the steps are not whole numbers"):
        vary_of("handoff.cores.ticks=10:15:3", tables)


def test_a_key_is_varied_once_however_it_is_named():
    twice = ["scoops.cheek.width=1 m,2 m", "scoops.0.width=3 m,4 m"]
    with pytest.raises(ParameterError, match="varied twice"):
        varies_of(twice, TABLES)
    with pytest.raises(ParameterError, match="nothing is varied"):
        varies_of([], TABLES)
    with pytest.raises(ParameterError, match="varied twice"):
        varies_of(["rules.tip_mach=0.5,0.6", "rules.tip_mach.value=0.7,0.8"], TABLES)
    bare = {"rules": {"tip_mach": "0.65"}}
    with pytest.raises(ParameterError, match="varied twice"):
        varies_of(["rules.tip_mach=0.5,0.6", "rules.tip_mach.value=0.7,0.8"], bare)


def test_a_range_too_fine_for_ten_digits_is_refused():
    for text in ("1.8 m:1.8000000000001 m:1000", "1799.9999999999 mm:1.8 m:3"):
        with pytest.raises(ParameterError, match="its values fall together"):
            vary_of(f"firewall.station={text}", TABLES)


def test_the_grid_is_every_combination():
    texts = ["firewall.station=1m:2m:5", "firewall.tilt=0 deg,1 deg", "rules.tip_mach=0.5:0.7:3"]
    varies = varies_of(texts, TABLES)
    rows = [tuple(v.text for v in variant.values) for variant in grid(varies)]
    assert rows == list(itertools.product(*([v.text for v in vary.values] for vary in varies)))
    assert [variant.number for variant in grid(varies)] == list(range(1, 31))


def test_too_many_are_refused():
    texts = ["firewall.station=1m:2m:1000", "firewall.tilt=0deg:1deg:100"]
    with pytest.raises(ParameterError, match="too many variants"):
        grid(varies_of(texts, TABLES))


def test_what_is_laid_over_the_file_is_read_as_meant(saltmarsh):
    varies = varies_of(
        ["firewall.station=1.75m:1.85m:3", 'rules.clearances="14 CFR 23.925"'], TABLES
    )
    path = saltmarsh.folder / "saltmarsh.toml"
    p = load(path, overrides_of(varies, grid(varies)[1]))
    assert p.firewall.station == 1800.0
    assert p.rules.clearances == "14 CFR 23.925"
