"""What decides the flow, by slopes worked out by hand, and the band of it."""

from dataclasses import replace

import pytest
from cooled_machines import NO_FINS, climb, machine, mouth, plain_mouth

from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.deciding import (
    BANDS,
    INPUTS,
    cooling_band,
    influences,
    rise_at_fins,
)
from geomgen.air.cooling.parts import AirExit, FinDrop
from geomgen.errors import ParameterError


def deciding(parts, state, step=0.1):
    """Return what each input does to the flow, in %, when it is a `step` more and less."""
    return influences(parts, state, dict.fromkeys(INPUTS, (1.0 - step, 1.0 + step)))


def by_name(parts, state, step=0.001):
    return {each.name: each.more / (100 * step) for each in deciding(parts, state, step)}


def test_slopes_of_series_by_hand():
    """Cold, G1 in series with G2: d ln m / d ln G2 = G1^2 / (G1^2 + G2^2)."""
    parts = machine(
        [plain_mouth("in", 8000.0, 0.64, lip=1.0)], NO_FINS, AirExit(10000.0, 0.8, 0.0), 0.0
    )
    state = climb(heat=0.0, speed=25.0, pull=0.0)
    inlet, leaving = 8000.0 / 0.8, 8000.0
    share = inlet**2 / (inlet**2 + leaving**2)
    found = by_name(parts, state)
    assert found["area of the exit"] == pytest.approx(share, rel=2e-3)
    assert found["discharge coefficient of the exit"] == pytest.approx(share, rel=2e-3)
    assert found["area of the mouths"] == pytest.approx(1 - share, rel=2e-3)
    assert found["losses of the passages"] == pytest.approx(-(1 - share) / 2, rel=2e-3)
    assert found["speed"] == pytest.approx(1.0, rel=1e-6)
    assert found["density of the air"] == pytest.approx(1.0, rel=1e-6)
    assert found["heat"] == found["drop at the fins"] == 0.0


def test_the_largest_comes_first_and_all_are_there():
    found = deciding(machine(), climb())
    sizes = [each.size for each in found]
    assert sizes == sorted(sizes, reverse=True)
    assert {each.name for each in found} == set(INPUTS)
    assert set(BANDS) <= set(INPUTS)


def test_fins_that_choke_decide():
    parts = machine(fins=FinDrop((0.25,), (3000.0,)))
    names = [each.name for each in deciding(parts, climb())]
    flows = ("speed", "density of the air", "share of the dynamic pressure that the mouths catch")
    assert next(name for name in names if name not in flows) == "drop at the fins"


def test_band_holds_each_figure_by_itself():
    parts, state = machine(), climb()
    band = cooling_band(parts, state)
    assert band.low < band.best < band.high
    assert band.best == pytest.approx(0.9 * solve(parts, state).flow)
    for each in band.by:
        for percent in (each.more, each.less):
            assert (
                band.low <= band.best * (1 + percent / 100) * (1 + 1e-12) <= band.high * (1 + 2e-12)
            )
    # One figure alone makes a band as wide as itself.
    alone = cooling_band(parts, state, {"drop at the fins": (0.5, 2.0)})
    easy = replace(parts, fins=replace(parts.fins, drops=(75.0,)))
    assert alone.high == pytest.approx(0.9 * solve(easy, state).flow)


def test_band_of_the_rise_by_hand():
    """A quarter more heat, the flow as good as the same: a quarter more rise."""
    parts, state = machine(), climb()
    band = cooling_band(parts, state, {"heat": (0.8, 1.25)}, rise_at_fins)
    hot = solve(parts, replace(state, heat=1.25 * state.heat)).rise
    assert band.best == solve(parts, state).rise
    assert band.high == pytest.approx(hot)
    assert 1.25 < band.high / band.best < 1.3


@pytest.mark.parametrize("at", ["mouths", "exit"])
def test_a_pressure_near_nought_is_not_known_better_than_another(at):
    """A factor alone leaves nought where it is: half the ram pressure at mouths, a tenth aft."""
    name = f"pressure outside the {at}"
    for pressure in (0.0, 0.01, -0.01):
        parts = machine(
            [mouth(pressure=pressure)] if at == "mouths" else None,
            exit_=AirExit(20000.0, 0.9, pressure if at == "exit" else -0.1),
        )
        band = cooling_band(parts, climb(), {name: BANDS[name]})
        assert band.low < 0.995 * band.best
        assert band.high > 1.005 * band.best


def test_a_rise_without_end_has_no_high_end():
    """Drawn by the propeller alone, against an exit that may stand in the wind."""
    parts = machine(exit_=AirExit(20000.0, 0.9, 0.5))
    state = climb(speed=15.0, pull=-10.0)
    band = cooling_band(parts, state, {"pressure outside the exit": (0.5, 2.0)}, rise_at_fins)
    assert band.high is None
    assert cooling_band(parts, state, {"pressure outside the exit": (0.5, 2.0)}).low == 0.0


def test_nothing_decides_where_nothing_flows():
    with pytest.raises(ParameterError, match="nothing decides how much"):
        influences(machine(), climb(speed=0.0, pull=0.0), BANDS)
