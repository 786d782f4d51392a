"""The rule of thumb for cooling inlets, the units of its speed, and the exit by heat and pressure.

Sources: the inlet rule of thumb is common practice, source not checked (PRACTICE); its cases below
were worked by hand from it. SI form, ram pressure and the exit's energy balance are DERIVED, each
computed here a second way. Units by Pint, an independent library.
"""

import math

import pint
import pytest

from geomgen.sizing.formulas import cooling

UNITS = pint.UnitRegistry()

# bhp, climb speed [kt], inlet [in^2]; PRACTICE.
CASES = [(40.0, 50.0, 31.02), (20.0, 35.0, 22.16), (28.0, 40.0, 27.15)]


def si(value: float, unit: str, into: str) -> float:
    return float((value * UNITS(unit)).to(into).magnitude)


@pytest.mark.parametrize(("bhp", "knots", "square_inches"), CASES)
def test_inlet_rule_practice(bhp, knots, square_inches):
    area = cooling.inlet_area(si(bhp, "horsepower", "watt"), si(knots, "knot", "m/s"))
    assert si(area, "mm^2", "inch^2") == pytest.approx(square_inches, abs=0.005)


@pytest.mark.parametrize(("kilowatts", "speed"), [(5.0, 12.0), (22.0, 25.0), (60.0, 41.0)])
def test_inlet_rule_in_si_derived(kilowatts, speed):
    """A [m^2] = kW / (57.935 V [m/s]), from the legal definitions of horsepower and foot."""
    constant = si(1, "horsepower", "kW") * 2.2 / (si(1, "foot", "m") * si(1, "foot^2", "m^2"))
    assert constant == pytest.approx(57.935, abs=5e-4)
    area = cooling.inlet_area(kilowatts * 1000, speed) / 1e6
    assert area == pytest.approx(kilowatts / (constant * speed), rel=1e-9)


@pytest.mark.parametrize(("unit", "wrong"), [("knot", 52.36), ("mph", 45.50)])
def test_number_fed_in_another_unit_practice(unit, wrong):
    """40 bhp at 50 kt, its number read as ft/s: what the unit error gives."""
    number = si(si(50, "knot", "m/s"), "m/s", unit)
    area = cooling.inlet_area(si(40, "horsepower", "W"), si(number, "foot/s", "m/s"))
    assert si(area, "mm^2", "inch^2") == pytest.approx(wrong, abs=0.005)


def test_whole_ram_at_25_metres_a_second_derived():
    """383 Pa at sea level of the standard atmosphere (1.225 kg/m^3)."""
    assert cooling.ram_pressure(1.225, 25.0) == pytest.approx(383, abs=0.5)


def test_warm_air_alone_asks_for_a_fifth_more_derived():
    """At equal speed in and out 60 K ask for 1 + 60/T of the area, about 1.2."""
    flow = cooling.mass_flow(18000.0, 60.0)
    inlet = flow / (1.225 * 25.0) * 1e6
    # Recovery 1, exit at ambient pressure and no drop: the air leaves as fast as it came.
    estimate = exit_of(recovery=1.0, drop=0.0, exit_pressure=0.0)
    assert estimate.speed_ratio == pytest.approx(1.0)
    assert estimate.area is not None
    assert estimate.area / inlet == pytest.approx(1 + 60 / 288.15, abs=1e-4)
    assert estimate.area / inlet == pytest.approx(1.2, abs=0.02)


def exit_of(**changes):
    values = {
        "heat": 18000.0,
        "rise": 60.0,
        "density": 1.225,
        "speed": 25.0,
        "sound_speed": 340.29,
        "recovery": 0.7,
        "drop": 200.0,
        "exit_pressure": -0.1,
    }
    return cooling.exit_estimate(**{**values, **changes})


def test_exit_by_heat_and_pressure_derived():
    """The balance worked in pressures instead of coefficients, with Pint."""
    q = 0.5 * UNITS("1.225 kg/m^3") * UNITS("25 m/s") ** 2
    driving = 0.7 * q + 0.1 * q - UNITS("200 Pa")
    out = (2 * driving / UNITS("1.225 kg/m^3")) ** 0.5
    flow = UNITS("18 kW") / (UNITS("1005 J/kg/kelvin") * UNITS("60 kelvin"))
    warm = UNITS("101325 Pa") / (UNITS("287.05 J/kg/kelvin") * UNITS("348.15 kelvin"))
    area = (flow / (warm * out)).to("mm^2").magnitude
    estimate = exit_of()
    assert estimate.area == pytest.approx(area, rel=3e-4)
    assert estimate.speed_ratio == pytest.approx(math.sqrt(0.8 - 200 / 382.8125), rel=1e-9)


@pytest.mark.parametrize("drop", [306.25, 400.0])
def test_a_drop_that_the_ram_cannot_meet_is_said_derived(drop):
    estimate = exit_of(drop=drop)
    assert estimate.area is None
    assert estimate.speed_ratio is None
    assert "can't push this flow" in estimate.words
    assert "q is 382.8 Pa" in estimate.words
    assert f"{drop:.1f} Pa" in estimate.words
