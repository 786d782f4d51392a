"""What the air does not see of a machine: it passes nothing plainly, and says why."""

from dataclasses import replace
from math import inf, isfinite

import pytest
from aired_machines import machine
from measurements.outside_air.test_said import answer, model, mouth_row, state_row
from measurements.outside_air.test_said_separated import ON

from geomgen.kernel.plain import GlazedSkin
from geomgen.measurements.outside_air.questions import AIR_OUTSIDE
from geomgen.measurements.outside_air.said import NAME
from geomgen.measurements.outside_air.unseen import MOST_LIFT, OPEN
from geomgen.measurements.question import from_text, text_of
from geomgen.measurements.subject import Answered
from geomgen.sizing.targets import figures
from geomgen.verdicts.judge import judge

ROW = state_row(mouths={"scoop_a_right": mouth_row(left=ON)})
BANDED = ("inlet.pressure.scoop_a_right", "inlet.separated.scoop_a_right", "exit.pressure")


def told(lost, families, climb=ROW):
    given = replace(model(), glazed_skin=lost, families=families)
    stands = {**ROW, "ram": 0.0, "lift": 0.0}
    kept = from_text(text_of(answer(climb=[climb, climb], standing=[stands, stands])))
    return {m.id: m for m in AIR_OUTSIDE.say(Answered(given, (), {NAME: kept}))}


@pytest.fixture(scope="module")
def opened():
    return told(GlazedSkin((), ()), {"pod": "pod"})


def test_an_open_cockpit_is_said_and_passes_nothing_plainly(opened):
    for id_ in BANDED:
        assert opened[id_].error_bound == inf
        (check,) = [c for c in judge([opened[id_]], figures(machine())) if c.id == id_]
        assert check.verdict == "warn"
        assert OPEN in check.note
    for id_ in ("air.climb", "wing.neutral_point", "pod.separation"):
        assert OPEN in opened[id_].note
    assert isfinite(opened["wing.neutral_point"].error_bound)
    assert OPEN not in opened["air.standing"].note


@pytest.mark.parametrize(("lift", "stalled"), [(MOST_LIFT, False), (2.3, True)])
def test_a_speed_at_which_no_wing_flies_passes_nothing_plainly(lift, stalled):
    """45 ft/s that were meant as knots: the flow would stay on the wing at any attack."""
    found = told(None, {"pod": "pod"}, {**ROW, "lift": lift})
    for id_ in BANDED:
        assert (found[id_].error_bound == inf) == stalled
    for id_ in (*BANDED, "air.climb", "wing.neutral_point"):
        assert ("lift coefficient of 2.3" in found[id_].note) == stalled


@pytest.mark.parametrize(
    ("lost", "families"),
    [(None, {"pod": "pod"}), (GlazedSkin((), ()), {"pod": "pod", "canopy": "canopy"})],
)
def test_a_closed_one_is_not(lost, families):
    assert not any(OPEN in m.note for m in told(lost, families).values())
