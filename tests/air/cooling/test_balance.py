"""The balance: what comes in goes out, pressures add up, more of this gives more of that."""

import math
from dataclasses import replace

import pytest
from cooled_machines import climb, machine, mouth, plain_mouth
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.cooling.balance import exit_drop, fins_drop, mouth_flow, solve
from geomgen.air.cooling.losses import PressureLoss
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, FinDrop
from geomgen.errors import ParameterError

mouths = st.builds(
    mouth,
    st.just("any"),
    st.floats(500.0, 60000.0),
    pressure=st.floats(-1.5, 1.0),
    caught=st.floats(0.0, 1.0),
    angle=st.floats(0.0, 120.0),
    slow=st.floats(0.0, 1.0),
    lip=st.floats(0.0, 0.3),
)
machines = st.builds(
    machine,
    st.lists(mouths, min_size=1, max_size=3),
    st.builds(
        lambda drop, n: FinDrop((0.3,), (drop,), n), st.floats(0.0, 3000.0), st.floats(1.0, 2.2)
    ),
    st.builds(AirExit, st.floats(500.0, 60000.0), st.floats(0.4, 1.0), st.floats(-1.0, 0.5)),
    st.floats(0.0, 0.6),
)
states = st.builds(
    climb,
    speed=st.floats(0.0, 60.0),
    heat=st.floats(0.0, 40000.0),
    pull=st.floats(-200.0, 50.0),
    density=st.floats(0.6, 1.4),
)


@settings(max_examples=30)
@given(machines, states)
def test_any_machine_is_finite_and_adds_up(parts, state):
    found = solve(parts, state)
    assert found.words
    assert 0.0 <= found.flow < 100.0
    if found.flow == 0:
        assert "no air goes aft" in found.words[0]
        return
    assert sum(m.flow for m in found.mouths) == pytest.approx(found.flow, rel=1e-6, abs=1e-9)
    down = fins_drop(parts, state, found.flow) + exit_drop(parts, state, found.flow)
    assert found.bay - down == pytest.approx(found.outside, rel=1e-9, abs=1e-6)
    assert found.bay >= found.behind >= found.outside
    heat = found.rise * found.flow * (1.0 - parts.leakage) * 1005.0
    assert heat == pytest.approx(state.heat, rel=1e-9, abs=1e-9)
    assert any(m.flow > 0 for m in found.mouths)


@settings(max_examples=15)
@given(machines, states, st.floats(1.01, 3.0))
def test_more_of_this_is_more_of_that(parts, state, by):
    here = solve(parts, state).flow
    slack = 1e-7 * here + 1e-12
    larger = replace(parts, exit=replace(parts.exit, area=parts.exit.area * by))
    assert solve(larger, state).flow >= here - slack
    assert solve(parts, replace(state, heat=state.heat * by)).flow <= here + slack
    harder = replace(parts, fins=replace(parts.fins, drops=(parts.fins.drops[0] * by,)))
    assert solve(harder, state).flow <= here + slack
    assert solve(parts, replace(state, pull=state.pull - 10.0 * by)).flow >= here - slack


@settings(max_examples=15)
@given(mouths, states, st.floats(-300.0, 2000.0), st.floats(0.0, 200.0))
def test_more_pressure_in_the_bay_lets_less_in(one, state, bay, more):
    assert mouth_flow(one, state, bay + more).flow <= mouth_flow(one, state, bay).flow + 1e-12


def test_backflow_is_said():
    """A mouth in the suction of a shoulder, next to one that faces the air."""
    found = solve(machine((mouth("left"), mouth("top", pressure=-0.9, caught=0.1))), climb())
    assert found.mouths[1].flow < 0 < found.mouths[0].flow
    assert found.words[1].startswith("top: ")
    assert found.words[1].endswith("kg/s flow out of it, backwards")
    assert found.flow < found.mouths[0].flow


def test_backflow_and_a_narrow_place_by_hand():
    """Two losses, one at half the area: 0.5 + 0.2 x 4 on the mouth; outwards one more."""
    way = (PressureLoss("a", 0.5, 10000.0, "test"), PressureLoss("b", 0.2, 5000.0, "test"))
    one = AirMouth("one", 10000.0, way, pressure=-0.5, caught=0.0)
    assert one.resistance == pytest.approx(1.3)
    found = mouth_flow(one, climb(), 100.0)
    speed = -math.sqrt(2 * (100.0 + 0.5 * 382.8125) / 1.225 / 2.3)
    assert found.speed == pytest.approx(speed)
    assert found.flow == pytest.approx(1.225 * speed * 0.01)


def test_standing_with_the_propeller_turning():
    """Only the propeller's pull moves the air; without it none goes."""
    standing = AirState("standing", 0.0, heat=5000.0, allowed=60.0, pull=-60.0)
    found = solve(machine(), standing)
    assert 0 < found.flow < solve(machine(), climb()).flow
    still = solve(machine(), replace(standing, pull=0.0))
    assert still.flow == 0
    assert still.rise is None
    assert still.words == (
        "standing: no air goes aft: 0 Pa outside the exit, and the mouths catch 0 Pa at most",
    )


def test_air_in_at_one_mouth_and_out_at_the_other_alone():
    """The exit's pressure is above what one mouth catches, but the other lets more out."""
    parts = machine(
        (mouth("small", 2000.0), mouth("top", 20000.0, pressure=-0.9, caught=0.0)),
        exit_=AirExit(20000.0, 0.9, 0.2),
    )
    found = solve(parts, climb(pull=0.0))
    assert found.flow == 0
    assert "what comes in at one mouth goes out at another" in found.words[0]


def test_a_breath_of_air_is_none():
    """A pull of 1e-77 Pa was a flow of nought that warmed up without end."""
    found = solve(machine((mouth(pressure=0.0),)), climb(speed=0.0, pull=-2e-77))
    assert found.flow == 0
    assert found.words[0].startswith("climb: no air goes aft")


def test_too_warm_is_said_with_how_much():
    found = solve(machine(exit_=AirExit(8000.0)), climb())
    assert found.margin < 0
    assert found.words[0].endswith(f"of 60 K allowed: {-found.margin:.0f} K too warm")


def test_the_slow_layer_and_the_angle_take_of_what_comes_in():
    """By hand: Cp + (1 - Cp) caught cos^2 (1 - slow), times 382.8 Pa."""
    one = plain_mouth("one", 10000.0, 1.0, pressure=-0.3, caught=0.8, angle=30.0, slow=0.1)
    caught = mouth_flow(one, climb(), 0.0).caught
    assert caught == pytest.approx((-0.3 + 1.3 * 0.8 * 0.75 * 0.9) * 382.8125)
    rounder = replace(one, across=0.4)
    assert rounder.total == pytest.approx(-0.3 + 1.3 * 0.8 * 0.9 * 0.9)
    assert replace(one, across=0.0).total == replace(one, angle=0.0).total
    across = replace(one, angle=100.0)
    assert mouth_flow(across, climb(), 0.0).caught == pytest.approx(-0.3 * 382.8125)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: mouth(area=-1.0), "mouth needs an area"),
        (lambda: mouth(slow=1.2), "mouth left: slow out of range"),
        (lambda: mouth(across=1.2), "mouth left: across out of range"),
        (lambda: mouth(pressure=float("nan")), "pressure out of range"),
        (lambda: plain_mouth("x", 100.0, 0.0), "mouth x loses nothing"),
        (lambda: FinDrop((), ()), "as many flows as drops"),
        (lambda: FinDrop((0.2, 0.3), (100.0, 90.0)), "drop must grow"),
        (lambda: FinDrop((0.3, 0.2), (100.0, 90.0)), "drop must grow"),
        (lambda: FinDrop((0.2,), (100.0,), exponent=0.5), "exponent out of range"),
        (lambda: AirExit(0.0), "exit: area out of range"),
        (lambda: AirExit(10.0, discharge=0.0), "discharge coefficient out of range"),
        (lambda: climb(speed=-1.0), "state climb: speed out of range"),
        (lambda: climb(density=1225.0), "state climb: density out of range"),
        (lambda: machine(leakage=1.0), "leakage out of range"),
    ],
)
def test_nonsense_is_refused(make, words):
    with pytest.raises(ParameterError, match=words):
        make()


def test_no_mouth_is_refused():
    with pytest.raises(ParameterError, match="no mouth"):
        replace(machine(), mouths=())


def test_a_curve_of_the_fins_goes_through_its_points():
    curve = FinDrop((0.1, 0.2, 0.4), (20.0, 75.0, 290.0), exponent=2.0)
    assert [round(curve.at(f), 6) for f in (0.1, 0.2, 0.4)] == [20.0, 75.0, 290.0]
    assert curve.at(0.8) == pytest.approx(4 * 290.0)
    assert curve.at(0.05) == pytest.approx(5.0)
    assert 75.0 < curve.at(0.3) < 290.0
