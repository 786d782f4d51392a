"""Dimensions and limits: the parameter records themselves; units: geomgen's exact table."""

import pytest

from geomgen.errors import ParameterError
from geomgen.studies.vary_key import key_of

TABLES = {
    "rules": {"tip_mach": {"value": 0.65, "source": "own choice"}},
    "pod": {"stations": [{"station": "0 mm"}, {"station": "60 mm"}]},
    "scoops": [{"name": "cheek", "mouth": "at firewall"}],
    "firewall": {},
    "propeller": {},
    "drawings": {},
}


@pytest.mark.parametrize(
    ("written", "name", "dimension", "unit"),
    [
        ("firewall.station", "firewall.station", "length", "mm"),
        ("firewall.tilt", "firewall.tilt", "angle", "deg"),
        ("rules.tip_mach", "rules.tip_mach", "fraction", ""),
        ("rules.tip_mach.value", "rules.tip_mach.value", "fraction", ""),
        ("rules.clearances", "rules.clearances", None, ""),
        ("scoops.cheek.mouth", "scoops.0.mouth", "length", "mm"),
        ("pod.stations.1.fullness_upper", "pod.stations.1.fullness_upper", "fraction", ""),
        ("propeller.behind_trailing_edge", "propeller.behind_trailing_edge", "fraction", ""),
        ("propeller.station", "propeller.station", "length", "mm"),
        ("powerplant.power", "powerplant.power", "power", "W"),
        ("spinner.diameter", "spinner.diameter", "length", "mm"),
    ],
)
def test_a_key_knows_its_dimension(written, name, dimension, unit):
    key = key_of(written, TABLES)
    assert (key.name, key.dimension, key.unit) == (name, dimension, unit)


@pytest.mark.parametrize(
    ("written", "problem"),
    [
        ("firewal.station", "unknown key"),
        ("firewall.sttion", "unknown key"),
        ("scoops.chin.width", "no such item"),
        ("pod.stations.9.crown", "no such item"),
        ("pod", "a table, not one value"),
        ("pod.stations", "a table, not one value"),
        ("drawings.stations", "a list, not one value"),
        ("firewall.station.x", "has no keys inside|there are no keys inside"),
        ("extends", "can't be set"),
        ("", "not an override"),
    ],
)
def test_keys_that_can_not_be_varied_are_refused(written, problem):
    with pytest.raises(ParameterError, match=problem) as refused:
        key_of(written, TABLES)
    assert refused.value.exit_code == 2


def test_a_bare_threshold_may_be_named_by_its_value():
    tables = {"rules": {"tip_mach": 0.65}, "spinner": {"length": "180 mm"}}
    assert key_of("rules.tip_mach.value", tables).name == "rules.tip_mach"
    for written in ("spinner.length.value", "rules.tip_mach.value.value", "spinner.value"):
        with pytest.raises(ParameterError, match=r"no keys inside|unknown key"):
            key_of(written, tables)


def test_a_mistyped_key_is_told_with_what_is_allowed():
    with pytest.raises(ParameterError) as refused:
        key_of("firewall.sttion", TABLES)
    assert refused.value.key == "firewall.sttion"
    assert "station" in refused.value.allowed.split(", ")
    assert refused.value.advice == "perhaps station?"


def test_values_are_read_with_their_units():
    assert key_of("firewall.station", TABLES).number("72 in") == pytest.approx(72 * 25.4)
    assert key_of("scoops.0.mouth", TABLES).number("at firewall") is None
    assert key_of("pod.stations.0.fullness_lower", TABLES).number("ellipse") is None
    assert key_of("propeller.behind_trailing_edge", TABLES).number("50 %") == 0.5
    assert key_of("rules.clearances", TABLES).number('"CS 22.925"') is None


@pytest.mark.parametrize(
    ("written", "value", "problem"),
    [
        ("firewall.station", "1.85", "no unit"),
        ("firewall.station", "1.85 kg", "unit of a mass"),
        ("firewall.tilt", "2 mm", "unit of a length"),
        ("firewall.station", "nan mm", "not a finite number"),
        ("rules.clearances", "my own", "not one of the choices"),
        ("scoops.0.mirrored", "maybe", "not true or false"),
    ],
)
def test_values_of_another_kind_are_refused(written, value, problem):
    with pytest.raises(ParameterError, match=problem):
        key_of(written, TABLES).number(value)


def test_whole_numbers_stay_whole():
    key = key_of("handoff.cores.ticks", {"handoff": {"cores": {}}})
    assert key.whole
    assert key.number("24") == 24
    with pytest.raises(ParameterError, match="not a whole number"):
        key.number("24.5")


@pytest.mark.parametrize(
    ("written", "part"),
    [
        ("spinner.length", "spinner"),
        ("engine.fan_face.station", "engine fan face"),
        ("scoops.cheek.width", "scoop cheek"),
        ("scoops.0.width", "scoop cheek"),
        ("scoops.1.width", "scoops 1"),
        ("engine.boxes.0.length", "engine box dry sump"),
        ("access.fuel-cock.hand", "access fuel-cock"),
        ("wing.sections.1.chord", "wing sections 1"),
    ],
)
def test_a_key_says_what_it_belongs_to(written, part):
    tables = {
        "scoops": [{"name": "cheek"}, {}],
        "engine": {"boxes": [{"name": "dry sump"}]},
        "access": [{"name": "fuel-cock"}],
        "wing": {"sections": [{}, {}]},
    }
    assert key_of(written, tables).part == part
