"""A state of the flow: coefficients, heads, speeds at places."""

import numpy as np
import pytest
from air_bodies import body

from geomgen.air.potential.disc import Disc, head_of
from geomgen.air.potential.onsets import AFT, UP
from geomgen.air.potential.solution import solved

DISC = Disc("propeller", (4000.0, 0.0, 0.0), 750.0)


@pytest.fixture(scope="module")
def egg():
    return solved(body(12, 10, (2000.0, 400.0, 500.0)), [AFT, UP, DISC])


def test_coefficients_are_by_the_stream_or_by_a_speed_given(egg) -> None:
    flow = egg.flow({"aft": 30.0, "up": 40.0})
    assert flow.stream == pytest.approx([30.0, 0.0, 40.0])
    assert flow.coefficients() == pytest.approx(flow.pressure / 1250.0)
    assert flow.coefficients(10.0) == pytest.approx(flow.pressure / 50.0)


def test_on_the_spot_only_the_disc_draws(egg) -> None:
    flow = egg.flow({"propeller": 5.0})
    assert np.linalg.norm(flow.stream) == 0.0
    assert flow.pressure.max() < 0.0  # no pressure above that of still air anywhere
    points = np.array([[4000.0, 0.0, 0.0], [9000.0, 300.0, 0.0]])
    assert flow.at(points)[:, 0] == pytest.approx([5.0, 10.0], abs=0.15)
    assert head_of(flow.onsets, points + np.eye(3)[0]) == pytest.approx(50.0)
    assert head_of(flow.onsets, points * [-1.0, 1.0, 1.0]) == pytest.approx(0.0)


def test_speeds_at_places_are_the_same_on_both_sides(egg) -> None:
    flow = egg.flow({"aft": 30.0, "up": 3.0, "propeller": 2.0})
    points = np.array([[-1000.0, 700.0, 100.0], [2500.0, 300.0, -300.0]])
    one, other = flow.at(points), flow.at(points * [1.0, -1.0, 1.0])
    assert one == pytest.approx(other * [1.0, -1.0, 1.0])


def test_far_away_flows_what_flows_anyway(egg) -> None:
    flow = egg.flow({"aft": 30.0, "up": 3.0})
    assert flow.at(np.array([[-3e5, 1e5, 0.0]]))[0] == pytest.approx([30.0, 0.0, 3.0], abs=1e-4)
