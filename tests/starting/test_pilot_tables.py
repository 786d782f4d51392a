"""The pilot of a new file sits on the floor of the pod, his head below its crown."""

from math import cos, radians

import pytest

from geomgen.parameters.rules.seated import lengths_of, trunk_of


def between(stations, at: float, key: str) -> float:
    for one, other in zip(stations, stations[1:], strict=False):
        if one.station <= at <= other.station:
            share = (at - one.station) / (other.station - one.station)
            return getattr(one, key) + share * (getattr(other, key) - getattr(one, key))
    raise AssertionError(at)


@pytest.mark.parametrize("wing", ["low", "pylon"])
def test_he_sits_inside_under_the_glass(fresh, wing) -> None:
    p = fresh(wing=wing)
    trunk = trunk_of(p.pilot, lengths_of(p.pilot))
    stations = p.pod.stations
    assert 20 < p.pilot.seat_waterline - between(stations, p.pilot.seat_station, "keel") < 120
    head = trunk.crown[2] + 100 + p.pilot.helmet
    # Straight lines between the stations lie some millimetres inside of the full crown.
    assert head + 10 < between(stations, trunk.crown[0], "crown")
    assert p.canopy.fore_station < trunk.eye[0] < p.canopy.aft_station
    assert trunk.eye[2] > p.canopy.aft_sill


def test_the_shoulders_stay_ahead_of_a_wing_through_the_pod(fresh) -> None:
    p = fresh(wing="shoulder")
    trunk = trunk_of(p.pilot, lengths_of(p.pilot))
    lean = radians(p.pilot.seat_back_angle)
    behind = trunk.crown_back[0] + (100 + p.pilot.helmet) * cos(lean)
    assert behind < p.wing.leading_edge - 25
