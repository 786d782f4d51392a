"""What is gathered of the air: figures by closed forms, and what could not be told."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from aired_machines import CLIMB, LINES, MOUTH, machine, measured

from geomgen.air.gathering import machine_air
from geomgen.air.through import cooled_states
from geomgen.kernel.plain import FlightState
from geomgen.measurements.outside_air.said import NAME, said
from geomgen.measurements.subject import Answered


@pytest.fixture(scope="module")
def air():
    return machine_air(machine(), measured())


def test_states_have_speed_attack_and_thrust(air):
    climb, level, glide, standing = air.states
    assert climb.speed == pytest.approx((2 * CLIMB) ** 0.5)
    assert (level.thrust, glide.thrust, standing.speed) == (475.0, 0.0, 0.0)
    assert (climb.attack, climb.attack_off) == (4.0, 0.3)


def test_a_mouth_catches_what_slow_layer_and_angle_leave(air):
    """Total pressure ahead is 1; of the dynamic pressure there, 0.9, both take their shares.

    What the sheet says that it catches is what the balance lets it catch.
    """
    cooled = next(cooled_states(machine(), measured()))
    assert cooled.through.state.name == "climb"
    (share,) = {each.total for each in cooled.parts.mouths}
    assert air.states[0].mouths[0].caught[1] == pytest.approx(share, abs=1e-6)
    (mouth,) = air.states[0].mouths
    assert mouth.name == MOUTH
    assert mouth.caught == pytest.approx((0.809306, 0.897970, 0.955), abs=1e-6)
    assert mouth.layer == (6.0, 12.0, 30.0)
    assert (mouth.station, mouth.stands) == (1650.0, 1800.0)
    assert (mouth.speed, mouth.askew, mouth.turn) == (0.9**0.5, 7.0, 110.0)


def test_the_pressure_outside_the_exit_is_told_in_ram_pressures(air):
    climb, standing = air.states[0], air.states[-1]
    assert climb.exit == pytest.approx((-80.0 / (1.225 * CLIMB), 5.0 / (1.225 * CLIMB)))
    assert standing.exit is None
    assert standing.exit_pascals == (-110.0, 5.0)


def test_lines_run_along_the_pod_as_measured(air):
    assert [(line.leaves, line.stays) for line in air.states[0].lines] == [
        (1900.0, None), (None, 2000.0), (None, None)
    ]  # fmt: skip
    assert air.rim == 2999.0
    assert [
        (line.name, (line.stations, line.waterlines, line.pressures))
        for line in air.states[0].lines
    ] == list(LINES.items())


def test_all_steps_take_the_ram_pressure_less_what_stands_outside(air):
    """Bernoulli: from the free air to outside the exit nothing else is there to lose."""
    for state, outside in zip(air.states, (-80.0, -40.0, 60.0, -110.0), strict=True):
        ((mouth, steps),) = state.cooling.steps
        ram = 1.225 * state.speed**2 / 2
        assert mouth == MOUTH
        assert sum(step.taken for step in steps) == pytest.approx(ram - outside, rel=1e-6)


def test_flow_and_rise_lie_within_their_bands(air):
    for state in air.states:
        cooling = state.cooling
        assert cooling.flow_band[0] < cooling.flow < cooling.flow_band[1]
        assert cooling.rise_band[0] < cooling.rise < cooling.rise_band[1]


def test_the_balance_carries_the_heat_away(air):
    """Energy: heat = flow through the fins times 1005 J/kg K times rise."""
    p, cooling = machine(), air.states[0].cooling
    heat = p.cooling.heat_fraction * p.powerplant.power
    assert cooling.flow * 0.9 * 1005.0 * cooling.rise == pytest.approx(heat, rel=2e-3)


def test_the_rules_end_at_the_balance(air):
    cooling = air.states[0].cooling
    assert [one.rule for one in air.rules.exits][-1] == "the balance"
    assert air.rules.steps[-1][1] == pytest.approx(cooling.exit_needed)


def test_a_layer_that_is_not_told_is_said(air):
    found = machine_air(machine(), measured(layer=False))
    assert found.states[0].mouths[0].caught is None
    assert found.states[0].mouths[0].layer is None
    (note,) = found.notes
    assert note.startswith(f"slow layer before {MOUTH} not told, taken to eat 30% of the pressure")
    assert "the air has left the skin" in note
    assert air.notes == ()


def test_without_a_pressure_outside_the_exit_nothing_is_balanced():
    found = machine_air(machine(), measured(without=("rim", "rim off")))
    assert all(state.cooling is None for state in found.states)
    assert found.rules is None
    assert any("not balanced" in note for note in found.notes)


def test_where_the_air_leaves_has_its_station(air):
    assert air.separation == "STA 1900 mm on the crown"


def test_no_air_measured_is_no_air():
    assert machine_air(machine(), []) is None


def test_the_whole_flow_is_banded_with_what_leaks():
    """Twice the leakage past the fins makes the whole flow larger, not smaller."""
    for each in cooled_states(machine(), measured()):
        assert each.flows.best == each.through.flow


def test_what_the_survey_says_is_what_is_gathered():
    """From an answer about one mouth in the climb to its record."""
    mouth = {
        "at": [1650.0, 290.0, 830.0], "pressure": 0.1, "speed": 0.9**0.5, "height": 60.0,
        "gap": 1.0, "thick": 12.0, "thick_band": [6.0, 30.0], "slow": [0.05, 0.1, 0.2],
        "words": [], "why": "", "angle": 7.0,
    }  # fmt: skip
    row = {"attack": 4.0, "lift": 0.6, "rim": -80.0, "ram": CLIMB, "mouths": {MOUTH: mouth}}
    row["leaves"] = {"crown": [True, 1900.0, ""], "side": [True, None, ""], "keel": [False, 0, ""]}
    row["lines"] = {name: [list(each) for each in line] for name, line in LINES.items()}
    answer = {
        "mouths": {MOUTH: 1800.0},
        "rim_station": 2999.0,
        "panels": [5, 9],
        "left_out": [],
        "density": {"climb": 1.225},
        "states": {"climb": [row, row]},
    }
    flights = (FlightState("climb", 23.15, 2600.0, 570.0, 1.225),)
    model = SimpleNamespace(flights=flights, passages=(SimpleNamespace(name=MOUTH),))
    (climb,) = machine_air(machine(), said(Answered(model, (), {NAME: answer}))).states
    expected = machine_air(machine(), measured()).states[0]
    assert climb.thrust == 570.0
    (found,), (due,) = climb.mouths, expected.mouths
    assert found.caught == pytest.approx(due.caught, abs=1e-6)
    assert replace(found, caught=None) == replace(due, caught=None, turn=None)
    assert climb.lines == expected.lines
