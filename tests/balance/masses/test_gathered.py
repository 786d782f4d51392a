"""Many small pieces are told as one; their sums are those of the pieces (elementary statics)."""

from dataclasses import replace

import pytest

from geomgen.balance.masses.entries import MassEntry
from geomgen.balance.masses.gathered import gathered
from geomgen.balance.masses.inertia import RigidBody, together

NAMES = (
    "spar_main_web",
    "rib_w_1_nose_right",
    "rib_w_1_tail_right",
    "rib_w_12_nose_left",
    "rib_w_2_middle_1_left",
    "joint_plate_main_inner_1_right",
    "joint_plate_main_outer_2_left",
    "joint_plate_main_packing_3_left",
    "joint_pin_main_1_right",
    "joint_pin_main_2_right",
    "frame_rib_1",
)


def line(name, number, **more):
    body = RigidBody(0.1 * number, (100.0 * number, 7.0 * number, -number))
    return replace(MassEntry(name, "structure", body, 0.01 * number, "full", "mass.1"), **more)


def test_rows_are_summed_and_all_else_stays():
    lines = [line(name, i) for i, name in enumerate(NAMES, 1)]
    found = gathered(lines)
    assert [one.name for one in found] == [
        "spar_main_web",
        "rib_w, 4 pieces",
        "joint_plate_main, 3 pieces",
        "joint_pin_main, 2 pieces",
        "frame_rib_1",
    ]
    before, after = (together(one.body for one in some) for some in (lines, found))
    assert after.mass == pytest.approx(before.mass)
    assert after.centre == pytest.approx(before.centre)
    assert after.radii == pytest.approx(before.radii)
    assert found[1].band == pytest.approx(0.02 + 0.03 + 0.04 + 0.05)


@pytest.mark.parametrize(
    "other",
    [{"how": "full, 90 kg/m^3"}, {"source": "mass.9"}, {"empty": False}, {"worked_out": 0.3}],
)
def test_what_is_said_otherwise_stays_a_line_of_its_own(other):
    lines = [line("rib_w_1_right", 1), line("rib_w_2_right", 2, **other), line("rib_w_3_right", 3)]
    assert [one.name for one in gathered(lines)] == ["rib_w, 2 pieces", "rib_w_2_right"]
