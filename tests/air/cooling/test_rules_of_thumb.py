"""Rule, estimate and balance beside each other, and what parts them."""

from dataclasses import replace

import pytest
from cooled_machines import climb, machine, mouth

from geomgen.air.cooling.exit_sizing import exit_needed
from geomgen.air.cooling.parts import FinDrop
from geomgen.air.cooling.rules_of_thumb import compare

ASKED = {"ratio": 0.8, "recovery": 0.7, "drop": 150.0}


def test_the_steps_lead_from_the_estimate_to_the_balance():
    parts, state = machine(), climb()
    found = compare(parts, state, **ASKED)
    by = {each.rule: each for each in found.exits}
    assert by["0.8 of the mouths"].area == pytest.approx(0.8 * 24000.0)
    assert found.steps[0].area == by["heat and pressure"].area
    assert found.steps[-1].area == pytest.approx(exit_needed(parts, state).area)
    assert by["the balance"].through.rise == pytest.approx(60.0)
    # The warm air's own speed takes the root of the warming off the estimate.
    warming = (288.15 + 60.0) / 288.15
    assert found.steps[0].area / found.steps[1].area == pytest.approx(warming**0.5, rel=1e-4)


def test_each_step_counts_its_own_thing():
    """A slow layer changes the steps from its own on, the propeller's pull from its own."""
    plain = compare(machine((mouth(slow=0.0),), leakage=0.0), climb(pull=0.0), **ASKED).steps
    slowed = compare(machine((mouth(slow=0.3),), leakage=0.0), climb(pull=0.0), **ASKED).steps
    pulled = compare(machine((mouth(slow=0.0),), leakage=0.0), climb(pull=-90.0), **ASKED).steps
    names = [each.counted for each in plain]

    def same(steps):
        return [a.area == pytest.approx(b.area) for a, b in zip(plain, steps, strict=True)]

    first = names.index("the slow layer")
    assert same(slowed) == [i < first for i in range(len(names))]
    first = names.index("the propeller's pull")
    assert same(pulled) == [i < first for i in range(len(names))]


@pytest.mark.parametrize(
    ("changed", "decides"),
    [
        ({"leakage": 0.45}, "leakage past the fins"),
        ({"fins": FinDrop((0.25,), (330.0,))}, "the fins' drop at this flow"),
    ],
)
def test_what_is_far_off_decides(changed, decides):
    found = compare(replace(machine(), **changed), climb(), **ASKED)
    assert f": {decides}; with" in found.words[-1]


def test_the_estimate_can_pass_what_the_balance_cannot():
    """Fins of 600 Pa where the estimate was told 150: said, with the step at which it breaks."""
    found = compare(replace(machine(), fins=FinDrop((0.25,), (600.0,))), climb(), **ASKED)
    assert found.exits[1].area is not None
    assert found.exits[2].area is None
    assert "by the balance: no exit is large enough" in found.words
    assert (
        found.words[-1]
        == "what decides: the fins' drop at this flow; with it no exit is large enough"
    )


def test_where_neither_has_an_exit_they_agree():
    standing = climb(speed=0.0, pull=-30.0)
    found = compare(machine(), standing, **ASKED)
    assert found.words[-1] == "estimate and balance agree: no exit is large enough"


def test_the_pull_can_make_an_exit_possible():
    """Slow, with a strong propeller and easy fins: the estimate knows no pull."""
    slow = climb(speed=14.0, pull=-400.0, heat=5000.0)
    found = compare(machine(), slow, **ASKED)
    assert found.steps[0].area is None
    assert found.steps[-1].area is not None
    assert found.words[-1].endswith("; without it no exit is large enough")
