"""Figures as people write them, against the units' own factors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen import units
from geomgen.parameters.reading.written_key import slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.starting.figures import STEPS, UNITS, Writer, default_of, figure, in_system


@pytest.mark.parametrize("system", UNITS)
@given(value=st.floats(-9000, 9000))
def test_a_length_is_off_by_no_more_than_half_a_step(system, value) -> None:
    text = figure(value, "length", system)
    unit = UNITS[system]["length"]
    size = abs(value) / units.DIMENSIONS["length"].factors[unit]
    step = next(step for least, step in STEPS[unit] if size >= least)
    off = abs(units.parse(text, "length") - value)
    assert off <= (step / 2 + 1e-9) * units.DIMENSIONS["length"].factors[unit]
    assert len(text.split()[0].lstrip("-").replace(".", "")) <= 5


@pytest.mark.parametrize("system", UNITS)
@pytest.mark.parametrize("dimension", sorted(set(UNITS["metric"]) - {"length"}))
@given(value=st.floats(0.01, 90_000))
def test_other_figures_keep_three_digits(system, dimension, value) -> None:
    back = units.parse(figure(value, dimension, system), dimension)
    assert back == pytest.approx(value, rel=0.0051)


@pytest.mark.parametrize(
    ("value", "dimension", "metric", "imperial"),
    [
        (1350.0, "length", "1350 mm", "53.1 in"),
        (4.0, "length", "4 mm", "0.16 in"),
        (0.3, "length", "0.3 mm", "0.012 in"),
        (0.5, "length", "0.5 mm", "0.02 in"),
        (-90.0, "length", "-90 mm", "-3.5 in"),
        (0.0, "length", "0 mm", "0 in"),
        (22_371.0, "power", "22.4 kW", "30 hp"),
        (2550.0, "rotation", "2550 rpm", "2550 rpm"),
        (0.2, "areal weight", "200 g/m^2", "5.9 oz/yd^2"),
        (1.5, "mass", "1.5 kg", "3.31 lb"),
    ],
)
def test_as_people_write_them(value, dimension, metric, imperial) -> None:
    assert figure(value, dimension, "metric") == metric
    assert figure(value, dimension, "imperial") == imperial


def test_defaults_of_the_schema_come_in_the_units_that_were_chosen() -> None:
    assert in_system("25 mm", "length", "imperial") == "1 in"
    assert in_system("25 mm", "length", "metric") == "25 mm"
    assert in_system("60 K", "temperature", "imperial") == "108 degF rise"
    assert in_system("340.29 m/s", "speed", "imperial") == "340.29 m/s"
    rules = slot_of(Parameters.model_fields["rules"]).record
    made = Writer("imperial").table(rules, {})
    assert made["engine_clearance"] == {"value": "1 in", "source": "common practice"}
    assert "radial_clearance" not in made


def test_a_default_is_the_schema_s_own() -> None:
    assert default_of(Parameters.model_fields["revision"]) == "A"
    assert default_of(Parameters.model_fields["cooling"]) == {}
    assert default_of(Parameters.model_fields["pylon"]) is None
    assert default_of(Parameters.model_fields["name"]) is None
