"""Where a mouth would find pressure: tops of the lesser of climb and level flight."""

from dataclasses import replace

from aired_machines import machine, measured

from geomgen.air.gathering import machine_air
from geomgen.air.mouth_places import mouth_places

FLOWN = ("climb", "level")


def test_the_nose_and_what_stands_ahead_of_the_wing():
    air = machine_air(machine(), measured())
    found = mouth_places(air, FLOWN)
    assert [(place.line, place.station) for place in found] == [
        ("crown", 0.0), ("crown", 1000.0), ("side", 0.0), ("keel", 0.0)
    ]  # fmt: skip
    assert found[1].pressures == (("climb", 0.3), ("level", 0.3))


def test_the_lesser_state_counts():
    air = machine_air(machine(), measured())
    climb, level, *rest = air.states
    crown = replace(level.lines[0], pressures=(0.9, 0.2, -0.5, -0.4, -0.5))
    level = replace(level, lines=(crown, *level.lines[1:]))
    found = mouth_places(replace(air, states=(climb, level, *rest)), FLOWN)
    assert [place.station for place in found if place.line == "crown"] == [0.0, 1500.0]


def test_a_line_tells_three_at_most():
    air = machine_air(machine(), measured())
    climb = air.states[0]
    many = tuple(float(n % 2) * n for n in range(20))
    crown = replace(climb.lines[0], stations=tuple(map(float, range(20))),
                    waterlines=(0.0,) * 20, pressures=many)  # fmt: skip
    climb = replace(climb, lines=(crown,))
    found = mouth_places(replace(air, states=(climb,)), FLOWN)
    assert [place.station for place in found] == [13.0, 15.0, 17.0]


def test_no_state_that_flies_has_no_places():
    air = machine_air(machine(), measured())
    assert mouth_places(replace(air, states=air.states[-1:]), FLOWN) == ()
