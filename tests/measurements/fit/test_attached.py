"""Chains of joints, without a survey: who leads to the pod, and what is asked at all."""

import pytest

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Model, Strut
from geomgen.measurements.fit.attached import (
    MeasuredSeat,
    NearestPart,
    attached,
    held,
    joint,
    looked_at,
    loose,
    may_hold,
    reach,
    seated,
    seats,
)

AT = (0.0, 0.0, 0.0)


def model(*names: str, **more) -> Model:
    return Model(families={name: name.split("_")[0] for name in names}, **more)


def linked(*pairs: tuple[str, str]) -> dict[tuple[str, str], MeasuredSeat]:
    return {pair: MeasuredSeat(100.0, AT, (None, None)) for pair in pairs}


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


LEGGED = [
    Strut("wheel_main", AT, leg="leg_main", root=AT, rooted_in="boom"),
    Strut("wheel_nose", AT),
]


def test_a_leg_hangs_on_what_it_is_rooted_in_and_its_wheel_on_the_leg() -> None:
    m = model("pod", "boom", "leg_main", "wheel_main", "wheel_nose", struts=LEGGED)
    assert held(m) == ["pod", "boom", "leg_main", "wheel_main"]
    whole = linked(("pod", "boom"), ("boom", "leg_main"), ("leg_main", "wheel_main"))
    assert attached(m, whole)[0].value == 0.0
    # Near the pod, or by way of the wheel, is not rooted in the boom.
    for wrong in (("pod", "leg_main"), ("pod", "wheel_main")):
        links = linked(("pod", "boom"), ("leg_main", "wheel_main"), wrong)
        assert attached(m, links)[0].part == "leg_main, wheel_main"
    off = linked(("pod", "boom"), ("boom", "leg_main"), ("boom", "wheel_main"))
    assert attached(m, off)[0].part == "wheel_main"


def test_a_leg_holds_no_other_part() -> None:
    m = model("pod", "boom", "leg_main", "wheel_main", "wheel_nose", "fin", struts=LEGGED)
    links = linked(("pod", "boom"), ("boom", "leg_main"), ("leg_main", "wheel_main"))
    assert attached(m, links | linked(("leg_main", "fin"), ("wheel_main", "fin")))[0].part == "fin"
    assert not may_hold(m, "leg_main", "wheel_nose")
    assert may_hold(m, "pod", "fin")


def test_a_loose_leg_is_told_what_the_file_roots_it_in() -> None:
    m = model("pod", "boom", "leg_main", "wheel_main", struts=LEGGED[:1])
    found = attached(m, linked(("pod", "boom")), {"leg_main": NearestPart("boom", 35.0)})[0]
    assert found.note.startswith(
        "leg_main is loose, 35.0 mm from boom, which the file roots it in: move the root"
    )


def test_a_leg_is_seated_on_its_root_and_not_on_its_wheel() -> None:
    m = model("boom", "leg_main", "wheel_main", struts=LEGGED[:1])
    assert looked_at(m, "boom", "leg_main") == (False, True)
    assert looked_at(m, "leg_main", "wheel_main") == (False, False)


def test_reach_is_the_widest_stated_gap_and_a_millimetre() -> None:
    assert reach(model("pod", joint_gap=4.0)) == 5.0


def test_the_least_of_each_parts_best_seat_is_told() -> None:
    m = model("pod", "fin_left", "boom_left", "tailplane")
    links = linked(("pod", "boom_left"))
    links["fin_left", "boom_left"] = MeasuredSeat(9.0, AT, (0.2, None))
    links["fin_left", "tailplane"] = MeasuredSeat(9.0, AT, (0.7, 0.9))
    (found,) = seats(m, links)
    assert (found.value, found.part) == (0.7, "fin_left, tailplane")


def test_a_joint_of_two_boxes(bodies) -> None:
    two = bodies({"a": box((0, 0, 0), (50, 50, 50)), "b": box((10, 10, 50.3), (30, 30, 120))})
    m = Model(families={"a": "pod", "b": "pylon"})
    assert joint(two["a"], two["b"], 1.3) == pytest.approx(0.3, abs=1e-4)
    found = seated(two["a"], two["b"], 1.3, looked_at(m, "a", "b"))
    assert found.shares == (None, pytest.approx(1.0, abs=1e-3))
    assert joint(two["a"], two["b"], 0.2) is None


def test_glazing_hangs_on_the_pod_and_holds_nothing():
    m = Model(families={name: name for name in ("pod", "canopy", "pylon")})
    assert may_hold(m, "pod", "canopy")
    assert may_hold(m, "canopy", "pod")
    assert not may_hold(m, "canopy", "pylon")
    pylon_on_glass = [("pod", "canopy"), ("canopy", "pylon")]
    assert loose(m, pylon_on_glass) == ["pylon"]
    assert loose(m, [*pylon_on_glass, ("pod", "pylon")]) == []
