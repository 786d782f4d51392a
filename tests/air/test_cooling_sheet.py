"""What the sheet says of the cooling air."""

import re
from dataclasses import replace

import pytest
from aired_machines import machine, measured

from geomgen.air.cooling_sheet import cooling_blocks
from geomgen.air.gathering import machine_air
from geomgen.documents.screen import lines_of


def text_of(air):
    return "\n".join(line for line, _ in lines_of(cooling_blocks(air), 80))


@pytest.fixture(scope="module")
def air():
    return machine_air(machine(), measured())


def test_each_state_has_flow_rise_and_the_exit_that_would_be_right(air):
    for state in air.states:
        each = state.cooling
        due = "none" if each.exit_needed is None else f"{each.exit_needed / 100:.0f}"
        row = rf"{state.name} +{each.flow:.3f} .* {each.rise:.0f} +\d+ .* 60 +{due}"
        assert re.search(row, text_of(air))
    assert "(it has 147 cm^2)" in text_of(air)


def test_what_decides_is_told_of_each_state(air):
    assert text_of(air).count("What decides the rise") == 4


def test_the_steps_add_up_to_all_of_it(air):
    rows = text_of(air).split("TAKES OF THE PRESSURE")[1].split("\n\n")[0].splitlines()[1:]
    figures = [[int(f) for f in re.findall(r" (\d+)(?= )", f"{row}  ")][:4] for row in rows]
    for column in zip(*figures, strict=True):
        assert sum(column[:-1]) == pytest.approx(column[-1], abs=len(column) / 2)


def test_the_rules_stand_beside_the_balance(air):
    text = text_of(air)
    rows = text.split("EXIT BY")[1].splitlines()[1:4]
    rules = ("0.8 of the mouths", "heat and pressure", "the balance")
    assert [row.startswith(rule) for row, rule in zip(rows, rules, strict=True)] == [True] * 3
    assert "What decides" in text.splitlines()[-2] + text.splitlines()[-1]


def test_no_flow_is_no_number(air):
    climb = air.states[0]
    still = replace(
        climb.cooling, flow=0.0, flow_band=None, rise=None, rise_band=None, exit_needed=None,
        words=("climb: no air goes aft",), decides=(), steps=(),
    )  # fmt: skip
    text = text_of(replace(air, states=(replace(climb, cooling=still),), rules=None))
    assert re.search(r"climb +0\.000 +- +- +no flow +- +- +- +60 +none +-", text)
    assert "climb: no air goes aft." in text


def test_a_band_without_end_says_so(air):
    climb = air.states[0]
    open_ = replace(climb.cooling, rise_band=(40.0, None))
    text = text_of(replace(air, states=(replace(climb, cooling=open_),)))
    assert re.search(r"climb .* 40 +no end", text)


def test_what_is_not_balanced_is_not_told(air):
    bare = replace(air, states=tuple(replace(s, cooling=None) for s in air.states))
    assert text_of(bare) == ""
