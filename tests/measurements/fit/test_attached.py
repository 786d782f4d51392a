"""Chains of joints, without a survey: who leads to the pod, and what is asked at all."""

import pytest

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Model
from geomgen.measurements.fit.attached import MeasuredJoint, attached, held, joint, looked_at, reach

AT = (0.0, 0.0, 0.0)


def model(*names: str, **more) -> Model:
    return Model(families={name: name.split("_")[0] for name in names}, **more)


def linked(*pairs: tuple[str, str]) -> dict[tuple[str, str], MeasuredJoint]:
    return {pair: MeasuredJoint(0.3, 100.0, AT, (None, None)) for pair in pairs}


def test_a_chain_leads_to_the_pod_over_several_parts() -> None:
    m = model("pod", "pylon", "wing", "boom_left")
    links = linked(("pylon", "wing"), ("pod", "pylon"), ("wing", "boom_left"))
    assert attached(m, links)[0].value == 0.0
    del links["pod", "pylon"]
    found = attached(m, links)[0]
    assert found.value == 3.0
    assert found.part == "pylon, wing, boom_left"


def test_wheels_engine_and_what_turns_are_not_asked() -> None:
    m = Model(families={n: n for n in ("pod", "wheel", "engine", "prop_disc", "spinner", "exit")})
    assert held(m) == ["pod", "exit"]


def test_reach_is_the_widest_stated_gap_and_a_millimetre() -> None:
    assert reach(model("pod", joint_gap=4.0)) == 5.0


def test_the_least_of_each_parts_best_seat_is_told() -> None:
    m = model("pod", "fin_left", "boom_left", "tailplane")
    links = linked(("pod", "boom_left"))
    links["fin_left", "boom_left"] = MeasuredJoint(0.3, 9.0, AT, (0.2, None))
    links["fin_left", "tailplane"] = MeasuredJoint(0.3, 9.0, AT, (0.7, 0.9))
    _, found = attached(m, links)
    assert (found.value, found.part) == (0.7, "fin_left, tailplane")


def test_a_joint_of_two_boxes(bodies) -> None:
    two = bodies({"a": box((0, 0, 0), (50, 50, 50)), "b": box((10, 10, 50.3), (30, 30, 120))})
    m = Model(families={"a": "pod", "b": "pylon"})
    found = joint(two["a"], two["b"], 1.3, looked_at(m, "a", "b"))
    assert found.gap == pytest.approx(0.3, abs=1e-4)
    assert found.shares == (None, pytest.approx(1.0, abs=1e-3))
    assert joint(two["a"], two["b"], 0.2, (True, True)) is None
