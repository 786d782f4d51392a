"""Is every part joined to something that leads to the pod, and by more than a crumb? (DERIVED)

Ways to be wrong while `parts.attached` and `parts.seat` pass, and what holds each:
- a part touches nothing, or stands a little beside: a fin beside its boom, on either side;
- two parts hold each other and nothing else;
- a part is said to be fixed to an engine that is not there;
- a tailplane overhangs its boom, touches at a point or along a line: parts.seat;
- a boom that grazes the wing, a fin held but by the tailplane that it carries: parts.seat;
- the joint is wider than any that the file states;
- a leg that does not reach what it is rooted in, or a wheel its leg (`tests/measurements/fit`).
A loose part's message says how far it is from what; held to closed forms.
Not seen: whether a joint is strong or bonded; the engine and wheels without a leg, whose mounts and
legs are not drawn; a seat that runs round a part counts as whole; of several ways to the pod only
a part's best counts.
"""

import pytest
from few_cases import few
from surveyed_models import model_of, surveyed

from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.measurements.fit.questions import JOINTS, SEATS

X = (1.0, 0.0, 0.0)
POD = box((0, -100, -100), (1000, 100, 100))
WING = box((300, -900, 100.3), (600, 900, 140))
BOOM = box((400, 700, 140.3), (2000, 760, 200))
TAIL = box((1700, -699.7, 150), (1900, 699.7, 190))
FIN = box((1700, 720, 200.3), (1900, 740, 500))


def machine(**more):
    parts = {"pod": POD, "wing": WING, "boom_right": BOOM, "boom_left": mirrored(BOOM)}
    return {**parts, "tailplane": TAIL, "fin_right": FIN, "fin_left": mirrored(FIN), **more}


def measured(parts, joint_gap=0.3, **more):
    return surveyed(model_of(parts, joint_gap=joint_gap, **more), 0.1, JOINTS, SEATS)


def test_a_machine_that_hangs_together() -> None:
    found = measured(machine())
    assert found["parts.attached"].value == 0.0
    assert "fin_right to boom_right" in found["parts.attached"].note
    assert found["parts.seat"].value == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize("gap", few([2.0, 40.0]))
@pytest.mark.parametrize("side", few(["right", "left"]))
def test_a_fin_that_stands_beside_its_boom_is_joined_to_nothing(gap, side) -> None:
    beside = box((1700, 760 + gap, 150), (1900, 775 + gap, 500))
    fin = beside if side == "right" else mirrored(beside)
    found = measured(machine(**{f"fin_{side}": fin}))["parts.attached"]
    assert found.value == 1.0
    assert found.part == f"fin_{side}"
    assert f"fin_{side} to nothing" in found.note


@pytest.mark.parametrize("gap", few([2.0, 40.0, 900.0]))
def test_a_loose_part_is_told_how_far_it_is_from_what_and_what_would_do(gap) -> None:
    pylon = box((400, -20, 140 + gap), (500, 20, 300 + gap))
    note = measured(machine(pylon=pylon))["parts.attached"].note
    assert f"pylon is loose, {gap:.1f} mm from wing, the nearest part" in note
    assert "join the two in the file, or move it nearer" in note
    assert "engine.fixed_parts" in note


def test_the_nearest_of_two_that_hold_each_other_is_not_the_other() -> None:
    """A tailplane 160 mm over the booms' tops, a pylon on it; the booms are what holds."""
    raised = {"tailplane": box((1700, -740, 360), (1900, 740, 400))}
    raised["pylon"] = box((1750, -20, 400.3), (1800, 20, 600))
    parts = machine(**raised)
    del parts["fin_right"], parts["fin_left"]
    note = measured(parts)["parts.attached"].note
    assert "tailplane is loose, 160.0 mm from boom_" in note
    # Over the boom's inner edge: 700 - 20 across, 200.3 up, nothing along.
    assert f"pylon is loose, {(680**2 + 200.3**2) ** 0.5:.1f} mm from boom_" in note


def test_nothing_is_said_of_loose_parts_where_all_are_joined() -> None:
    assert "loose" not in measured(machine())["parts.attached"].note


def test_parts_that_hold_each_other_only_are_loose_both() -> None:
    raised = {"tailplane": box((1700, -90, 450), (1900, 90, 490))}
    raised["pylon"] = box((1750, -20, 490.3), (1800, 20, 600))
    found = measured(machine(**raised))["parts.attached"]
    assert found.value == 2.0
    assert set(found.part.split(", ")) == {"tailplane", "pylon"}


def test_a_stated_gap_is_a_joint_and_a_wider_one_is_not() -> None:
    apart = box((1700, 720, 206), (1900, 740, 500))
    parts = machine(fin_right=apart, fin_left=mirrored(apart))
    assert measured(parts, joint_gap=6.0)["parts.attached"].value == 0.0
    assert measured(parts, joint_gap=0.3)["parts.attached"].value == 2.0


def test_a_fairing_is_held_by_the_engine_where_the_file_says_so_and_there_is_one() -> None:
    fairing = cylinder((1100, 0, 0), X, 40.0, 100.0)
    engine = box((700, -50, -50), (900, 50, 50))
    parts = machine(tail_fairing=fairing)
    assert measured(parts)["parts.attached"].part == "tail_fairing"
    assert measured(parts, on_engine=("tail_fairing",))["parts.attached"].value == 1.0
    both = {**parts, "engine": engine}
    assert measured(both, on_engine=("tail_fairing",))["parts.attached"].value == 0.0
    assert measured(both)["parts.attached"].value == 1.0


@pytest.mark.parametrize("share", few([0.1, 0.4, 0.75]))
def test_a_tailplane_that_overhangs_its_booms_bears_on_a_share_of_its_section(share) -> None:
    """Its ends are 200 long and as much of that as is said lies against the booms, 2 mm over."""
    start = 2000.0 - 200.0 * share
    tail = box((start, -699.7, 150), (start + 200.0, 699.7, 190))
    found = measured(machine(tailplane=tail))["parts.seat"]
    assert found.value == pytest.approx(share, abs=0.03)
    assert "tailplane" in found.part


def test_a_tailplane_that_touches_along_a_line_bears_on_a_crumb() -> None:
    tail = box((2000.5, -699.7, 150), (2200, 699.7, 190))
    found = measured(machine(tailplane=tail))
    assert found["parts.attached"].value == 0.0
    assert found["parts.seat"].value < 0.05


def test_what_turns_rolls_or_drives_is_not_asked() -> None:
    far = {
        "spinner": cylinder((3000, 0, 0), X, 40.0, 90.0),
        "prop_disc": cylinder((3100, 0, 0), X, 400.0, 50.0),
        "wheel_nose": cylinder((0, 0, -500), (0, 1, 0), 90.0, 40.0),
        "engine": box((4000, 0, 0), (4100, 50, 50)),
    }
    assert measured(machine(**far))["parts.attached"].value == 0.0


def test_without_a_pod_nothing_is_said() -> None:
    assert "parts.attached" not in measured({"wing": WING})
