"""The table of the air: defaults, ranges, units, and what is said where one is wrong."""

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.records.air import Air


def test_defaults(saltmarsh):
    air = saltmarsh("air.mass=265 kg").air
    assert (air.static_merit, air.glide_heat, air.drop_exponent) == (0.6, 0.2, 1.8)
    assert (air.leakage, air.discharge) == (0.1, 0.9)
    assert (air.glide_speed, air.trip) == (None, None)


def test_units_become_kilograms_metres_a_second_and_millimetres(saltmarsh):
    air = saltmarsh("air.mass=600 lb", "air.glide_speed=45 kt", "air.trip=50 in").air
    assert air.mass == pytest.approx(600 * 0.45359237)
    assert air.glide_speed == pytest.approx(45 * 1852 / 3600)
    assert air.trip == pytest.approx(1270.0)


@pytest.mark.parametrize(
    ("key", "wrong"),
    [
        ("mass", "19 kg"), ("mass", "3 t"), ("mass", "265"), ("mass", "265 mm"),
        ("propeller_efficiency", "0.05"), ("propeller_efficiency", "1.0"), ("static_merit", "1.2"),
        ("glide_speed", "0 kt"), ("glide_speed", "160 m/s"), ("glide_speed", "45 kg"),
        ("glide_heat", "-0.1"), ("glide_heat", "1.1"), ("trip", "1 kg"), ("drop_exponent", "0.9"),
        ("drop_exponent", "2.6"), ("leakage", "0.95"), ("discharge", "0.2"), ("discharge", "1.1"),
        ("speed", "40 kt"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_key(saltmarsh, key, wrong):
    with pytest.raises(ParameterError) as told:
        saltmarsh(f"air.{key}={wrong}")
    assert f"air.{key}" in str(told.value)


@pytest.mark.parametrize(
    ("key", "value"), [("leakage", 0.0), ("glide_heat", 0.0), ("discharge", 1)]
)
def test_ends_of_ranges_are_allowed(saltmarsh, key, value):
    assert getattr(saltmarsh(f"air.{key}={value}").air, key) == value


def test_mass_is_the_only_key_that_must_be_written():
    needed = [key for key, field in Air.model_fields.items() if field.is_required()]
    assert needed == ["mass"]


def test_yardsticks_say_that_they_are_our_own(saltmarsh):
    rules = saltmarsh().rules
    for threshold in (rules.inlet_pressure, rules.slow_layer):
        assert 0.0 < threshold.value < 1.0
        assert threshold.source == "own choice"
    own = saltmarsh('rules.slow_layer={ value = 0.2, source = "mine" }').rules.slow_layer
    assert (own.value, own.source) == (0.2, "mine")
