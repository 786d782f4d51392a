"""Tanks with a solid: their fuel's place and how much they hold, by hand."""

from pathlib import Path

import pytest
from weighed_machines import room, solid

from geomgen.balance.judged import checks_of
from geomgen.balance.masses.tanks import tank_volumes, tanks_placed
from geomgen.balance.state import balance_state
from geomgen.parameters import load

FILE = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"
TANK = solid("tank_main", 1e6, (1610.0, 0.0, 625.0))


def checks(volume, *overrides):
    measured = [TANK, room("tank_main", volume, (1610.0, 5.0, 625.0))]
    return {check.id: check for check in checks_of(load(FILE, list(overrides)), measured)}


@pytest.mark.parametrize(
    ("litres", "verdict"), [(18.98, "pass"), (18.97, "fail"), (25.0, "pass"), (1.0, "fail")]
)
def test_it_holds_its_fuel_and_two_percent_of_room(litres, verdict):
    """18.6 l of fuel and 2 % to expand: 18.6 / 0.98 = 18.9796 l of room."""
    check = checks(litres * 1e6)["tank.volume.main"]
    assert check.measured == pytest.approx(0.98 * litres * 1e6)
    assert check.verdict == verdict


def test_the_share_that_stays_empty_is_the_files():
    assert checks(18.98e6, "tanks.main.expansion=0")["tank.volume.main"].measured == 18.98e6


def test_the_fuel_stands_in_the_middle_of_the_room():
    measured = [TANK, room("tank_main", 19e6, (1610.0, 5.0, 625.0))]
    (tank,) = tanks_placed(load(FILE), measured).tanks
    assert (tank.station, tank.buttock_line, tank.waterline) == (1610.0, 5.0, 625.0)
    state = balance_state(load(FILE), measured)
    full = next(one for one in state.every if one.name == "heaviest, full fuel, no baggage")
    (fuel,) = [body for name, body in full.bodies if name == "fuel, main"]
    assert fuel.mass == pytest.approx(18 * 0.72)
    assert fuel.centre == (1610.0, 5.0, 625.0)
    # The last fuel is lower, as the file says.
    unusable = next(line for line in state.lines if line.name == "unusable fuel, main")
    assert unusable.body.centre == (1610.0, 5.0, 520.0)


def test_the_item_that_stands_for_the_tank_is_in_its_middle():
    state = balance_state(load(FILE), [TANK, room("tank_main", 19e6, (1610.0, 0.0, 625.0))])
    item = next(line for line in state.lines if line.name == "tank, lines and pump")
    assert item.body.centre == (1610.0, 0.0, 625.0)
    assert "tank_main" not in dict(state.lost)


def test_a_room_that_could_not_be_measured_leaves_no_sum_whole():
    assert dict(balance_state(load(FILE), [TANK]).lost)["fuel, main"].startswith("the room")
    found = {c.id: c for c in checks_of(load(FILE), [TANK])}
    assert found["mass.empty"].verdict == "not_measured"
    assert found["tank.volume.main"].verdict == "not_measured"


def test_a_tank_without_a_solid_is_as_it_was_written():
    p = load(FILE).model_copy(update={"tanks": ()})
    assert list(tank_volumes(p, [])) == []
    assert tanks_placed(p, []).tanks == ()
