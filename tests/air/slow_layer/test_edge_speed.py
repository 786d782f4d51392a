"""What no layer can follow is refused in words; what can is passed on as it is."""

import numpy as np
import pytest

from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import follow
from geomgen.errors import ParameterError

GOOD = {"stations": [0.0, 50.0, 100.0], "ratios": [0.0, 0.5, 1.0], "speed": 25.0, "viscosity": 1e-5}


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"stations": [0.0, 60.0, 50.0]}, "each further along"),
        ({"stations": [0.0], "ratios": [1.0]}, "two stations or more"),
        ({"ratios": [0.0, 0.5]}, "differ in number"),
        ({"ratios": [0.0, -0.5, 1.0]}, "stands still or runs back"),
        ({"ratios": [0.0, 0.0, 1.0]}, "stands still or runs back"),
        ({"ratios": [0.0, 0.0, 0.0]}, "stands still or runs back"),
        ({"ratios": [0.0, float("nan"), 1.0]}, "finite numbers in a row"),
        ({"ratios": ["a", "b", "c"]}, "must be numbers"),
        ({"speed": 0.0}, "speed must be above zero"),
        ({"viscosity": -1.0}, "viscosity must be above zero"),
        ({"widths": [1.0, 0.0, 1.0]}, "no width within"),
        ({"widths": [0.0, 0.0, 0.0]}, "no width within"),
    ],
)
def test_nonsense_is_refused(wrong, words):
    given = {**GOOD, **wrong}
    with pytest.raises(ParameterError, match=words):
        EdgeSpeed.of(
            given["stations"],
            given["ratios"],
            speed=given["speed"],
            viscosity=given["viscosity"],
            widths=given.get("widths"),
        )


def test_fine_keeps_the_stations_and_never_overshoots():
    edge = EdgeSpeed.of([0.0, 10.0, 100.0, 110.0], [0.2, 1.0, 1.0, 0.1], speed=2.0, viscosity=1e-5)
    fine = edge.fine()
    assert len(fine.stations) >= 400
    assert set(edge.stations) <= set(fine.stations)
    assert np.max(fine.speeds) <= 2.0 + 1e-12
    assert np.interp(10.0, fine.stations, fine.speeds) == pytest.approx(2.0)
    # A Reynolds number of 2 m/s, 100 mm and 1e-5 m2/s.
    assert np.interp(100.0, fine.stations, fine.reached()) == pytest.approx(20000.0, rel=1e-9)


def test_a_closed_end_is_left_out():
    ends = EdgeSpeed.of([0.0, 50.0, 100.0], [0.0, 1.0, 0.0], speed=2.0, viscosity=1e-5).fine()
    point = EdgeSpeed.of(
        [0.0, 50.0, 100.0], [1.0, 1.0, 1.0], speed=2.0, viscosity=1e-5, widths=[0.0, 9.0, 0.0]
    ).fine()
    assert ends.stations[-1] < 100.0
    assert point.stations[-1] < 100.0
    assert np.all(point.widths[1:] > 0)


def test_onward_begins_at_the_station_asked_for():
    fine = EdgeSpeed.of([0.0, 100.0], [1.0, 2.0], speed=1.0, viscosity=1e-5).fine()
    later = fine.onward(33.3)
    assert later.stations[0] == 33.3
    assert later.speeds[0] == pytest.approx(1.333)
    assert np.all(np.diff(later.stations) > 0)


@pytest.mark.parametrize("steps", [8, 40, 200])
def test_last_digits_of_even_steps_don_t_change_the_stations_in_between(steps):
    """400 of them over 8, 40 or 200 steps are a whole number each, to the last digit."""
    even = np.linspace(0.0, 700.0, steps + 1)
    ratios, found = 1.0 - 2e-4 * even, []
    for seed in range(4):
        rough = even * (1.0 + 1e-9 * np.random.default_rng(seed).uniform(-1, 1, len(even)))
        edge = EdgeSpeed.of(rough, ratios, speed=25.0, viscosity=1.46e-5)
        found.append((len(edge.fine().stations), follow(edge).at(600.0).total))
    assert {count for count, _ in found} == {401}
    assert np.ptp([total for _, total in found]) < 1e-6
