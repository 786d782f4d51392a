"""The exit that is needed: right when put in, or said to be out of reach."""

from dataclasses import replace

import pytest
from cooled_machines import climb, machine
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.exit_sizing import exit_needed
from geomgen.air.cooling.parts import AirExit, FinDrop
from geomgen.errors import ParameterError


@settings(max_examples=15)
@given(
    st.floats(4000.0, 30000.0), st.floats(0.0, 0.5), st.floats(20.0, 120.0), st.floats(15.0, 45.0)
)
def test_put_in_it_gives_the_rise_that_is_allowed(heat, leakage, allowed, speed):
    parts, state = machine(leakage=leakage), climb(heat=heat, allowed=allowed, speed=speed)
    need = exit_needed(parts, state)
    if need.area is None:
        assert need.left <= 0
        largest = replace(parts, exit=replace(parts.exit, area=1e8))
        assert solve(largest, state).rise > allowed
    else:
        right = replace(parts, exit=replace(parts.exit, area=need.area))
        assert solve(right, state).rise == pytest.approx(allowed, rel=1e-6)


def test_out_of_reach_is_said_in_pascals():
    parts = machine(fins=FinDrop((0.25,), (900.0,)))
    need = exit_needed(parts, climb())
    assert need.area is None
    assert "no exit is large enough" in need.words
    assert f"{-need.left:.0f} Pa too much" in need.words


def test_its_own_area_is_not_read():
    first, second = (exit_needed(machine(exit_=AirExit(a)), climb()) for a in (5e3, 5e4))
    assert first == second


def test_no_heat_is_refused():
    with pytest.raises(ParameterError, match="no heat to take away"):
        exit_needed(machine(), climb(heat=0.0))
