"""The steps of the pressure add up to all that there is, and each is its own by hand."""

import pytest
from cooled_machines import climb, machine, mouth

from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.pressure_steps import pressure_steps
from geomgen.errors import ParameterError


@pytest.mark.parametrize("speed", [0.0, 25.0])
def test_they_add_up(speed):
    parts = machine((mouth("left"), mouth("right", 7000.0, slow=0.3, lip=0.0)))
    found = solve(parts, climb(speed=speed, pull=-60.0, mouth_pull=-5.0))
    for name in ("left", "right"):
        steps = pressure_steps(parts, found, name)
        whole = found.state.ram - 5.0 - found.outside
        assert sum(step.taken for step in steps) == pytest.approx(whole, rel=1e-9)
        assert all(step.taken >= 0 for step in steps)
        assert all(step.source for step in steps)


def test_each_by_hand():
    """A mouth of 12,000 mm2, Cp -0.2, 0.9 caught at 5 deg, 0.08 slow; throat 0.92 of it."""
    parts = machine()
    found = solve(parts, climb())
    steps = {step.name: step.taken for step in pressure_steps(parts, found, "left")}
    ram = 382.8125
    caught = 0.9 * 0.9961946981**2
    assert steps["not caught"] == pytest.approx((1.2 - 1.2 * 0.9) * ram)
    assert steps["air off square"] == pytest.approx(1.2 * (0.9 - caught) * ram)
    assert steps["slow layer"] == pytest.approx(1.2 * caught * 0.08 * ram)
    speed = found.mouths[0].flow / (1.225 * 0.012)
    assert steps["throat"] == pytest.approx(0.5 * 0.08 * 1.225 / 2 * (speed / 0.92) ** 2)
    assert steps["lip"] == 0.0


def test_a_mouth_without_air_is_refused():
    parts = machine((mouth("left"), mouth("top", pressure=-0.9, caught=0.1)))
    found = solve(parts, climb())
    for name in ("top", "elsewhere"):
        with pytest.raises(ParameterError, match="no air comes in"):
            pressure_steps(parts, found, name)
