"""States of flight, each figure worked out by hand."""

from math import pi

import pytest

from geomgen.shapes.assembly.flight_states import GRAVITY, flight_states, static_thrust
from geomgen.shapes.assembly.places import places

GIVEN = (
    *("air.mass=300 kg", "air.propeller_efficiency=0.6", "air.static_merit=0.5"),
    *("air.glide_speed=24 m/s", "air.glide_heat=0.25", "powerplant.power=20 kW"),
    *("flight.climb_speed=25 m/s", "flight.level_speed=40 m/s", "flight.air_density=1.2 kg/m^3"),
    *("cooling.heat_fraction=0.5", "cooling.air_rise=50 K", "air.trip=900 mm"),
)


@pytest.fixture(scope="module")
def file(variant):
    return variant(*GIVEN)


@pytest.fixture(scope="module")
def states(file):
    return {state.name: state for state in flight_states(file)}


def test_four_states_in_the_order_of_the_report(file):
    assert [s.name for s in flight_states(file)] == ["climb", "level", "glide", "standing"]


def test_speeds_and_density(states):
    assert {n: s.speed for n, s in states.items()} == pytest.approx(
        {"climb": 25.0, "level": 40.0, "glide": 24.0, "standing": 0.0}
    )
    assert [s.density for s in states.values()] == pytest.approx([1.2] * 4)


def test_weight_is_carried_in_the_air_and_by_the_wheels_on_the_ground(states):
    weight = 300.0 * 9.80665
    assert GRAVITY == 9.80665
    assert [s.lift for s in states.values()] == pytest.approx([weight, weight, weight, 0.0])


def test_thrust_is_the_useful_power_over_the_speed(states):
    """eta P / V: 0.6 x 20 kW at 25 and at 40 m/s, none in the glide."""
    assert [states[n].thrust for n in ("climb", "level", "glide")] == pytest.approx(
        [480.0, 300.0, 0.0]
    )


def test_thrust_standing_is_that_of_an_ideal_disc_with_so_much_of_the_power(file, states):
    """Momentum theory: what the disc's own speed w takes, T w = P, with T = 2 rho A w^2."""
    thrust, area = states["standing"].thrust, pi * (file.propeller.diameter / 2000.0) ** 2
    induced = (thrust / (2 * 1.2 * area)) ** 0.5
    assert thrust * induced == pytest.approx(0.5 * 20e3)
    assert thrust == static_thrust(file)
    assert 300.0 < thrust < 900.0


def test_cooling_air_to_begin_with_is_what_carries_the_heat(states):
    """10 kW warm 0.199 kg/s by 50 K; in 1.2 kg/m3 that is 0.166 m3/s, a quarter in the glide."""
    due = 10e3 / (1005.0 * 50.0) / 1.2
    assert [s.through for s in states.values()] == pytest.approx([due, due, due / 4, due])


def test_no_scoop_takes_no_air_in(file):
    bare = file.model_copy(update={"scoops": ()})
    assert {s.through for s in flight_states(bare)} == {0.0}


def test_glide_is_at_the_climbs_speed_where_none_is_written(variant):
    states = {s.name: s for s in flight_states(variant("flight.climb_speed=25 m/s"))}
    assert states["glide"].speed == states["climb"].speed == pytest.approx(25.0)


def test_without_an_air_table_there_are_none(file):
    bare = file.model_copy(update={"air": None})
    assert flight_states(bare) == ()
    found = places(bare)
    assert (found.flights, found.trip) == ((), None)


def test_places_carry_states_and_trip(file):
    found = places(file)
    assert found.flights == flight_states(file)
    assert found.trip == pytest.approx(900.0)
