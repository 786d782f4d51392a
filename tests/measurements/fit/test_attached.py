"""Chains of joints, without a survey: who leads to the pod, and what is asked at all."""

import pytest

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Strut
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
    assert looked_at(m, "boom", "leg_main") == ("", "end")
    assert looked_at(m, "leg_main", "wheel_main") == ("", "")


def test_reach_is_the_widest_stated_gap_and_a_millimetre() -> None:
    assert reach(model("pod", joint_gap=4.0)) == 5.0


def seen(pairs: dict[tuple[str, str], tuple[float | None, float | None]]):
    names = {name: None for pair in pairs for name in pair}
    links = {pair: MeasuredSeat(9.0, AT, shares) for pair, shares in pairs.items()}
    return seats(model(*names), links)


def test_the_least_seat_on_the_way_to_the_pod_is_told() -> None:
    (found,) = seen(
        {
            ("pod", "wing"): (None, None),
            ("wing", "boom_left"): (None, 0.9),
            ("fin_left", "boom_left"): (0.8, 0.3),
            ("fin_left", "tailplane"): (0.7, 0.6),
        }
    )
    assert (found.value, found.part) == (0.6, "tailplane, fin_left")


def test_a_fin_is_not_held_by_the_tailplane_that_it_carries() -> None:
    (found,) = seen(
        {
            ("pod", "boom_left"): (None, None),
            ("fin_left", "boom_left"): (0.2, None),
            ("fin_left", "tailplane"): (0.7, 0.9),
        }
    )
    assert (found.value, found.part) == (0.2, "fin_left, boom_left")


def test_a_tailplane_may_carry_a_fin_that_barely_meets_its_boom() -> None:
    (found,) = seen(
        {
            ("pod", "boom_left"): (None, None),
            ("pod", "boom_right"): (None, None),
            ("tailplane", "boom_left"): (0.8, None),
            ("fin_left", "boom_left"): (0.2, None),
            ("fin_left", "tailplane"): (0.7, 0.9),
        }
    )
    assert (found.value, found.part) == (0.7, "fin_left, tailplane")


def test_a_wing_that_its_pylon_barely_meets_is_told() -> None:
    """The pylon stood well on the pod, and by that the wing was taken to be held."""
    (found,) = seen({("pod", "pylon"): (None, 1.0), ("pylon", "wing"): (0.1, None)})
    assert (found.value, found.part) == (0.1, "wing, pylon")
    (found,) = seen({("pod", "pylon"): (None, 0.9), ("pylon", "wing"): (1.0, None)})
    assert (found.value, found.part) == (0.9, "pylon, pod")


def test_a_wing_through_the_pod_does_not_hang_on_its_pylon() -> None:
    both = {("pod", "pylon"): (None, 1.0), ("pylon", "wing"): (0.1, None)}
    (found,) = seen(both | {("pod", "wing"): (None, None)})
    assert found.value == 1.0


def test_a_boom_that_grazes_the_wing_is_told() -> None:
    """It bore on a third of its section; the whole tail hung on it, and nothing said so."""
    (found,) = seen({("pod", "wing"): (None, None), ("wing", "boom_left"): (None, 0.31)})
    assert (found.value, found.part) == (0.31, "boom_left, wing")
    assert looked_at(model("wing", "boom_left"), "wing", "boom_left") == ("", "any side")


def test_a_joint_of_two_boxes(bodies) -> None:
    two = bodies({"a": box((0, 0, 0), (50, 50, 50)), "b": box((10, 10, 50.3), (30, 30, 120))})
    m = Model(families={"a": "pod", "b": "pylon"})
    assert joint(two["a"], two["b"], 1.3) == pytest.approx(0.3, abs=1e-4)
    found = seated(two["a"], two["b"], 1.3, looked_at(m, "a", "b"))
    assert found.shares == (None, pytest.approx(1.0, abs=1e-3))
    assert joint(two["a"], two["b"], 0.2) is None


def test_a_squat_pylon_bears_on_as_much_of_its_end_as_meets_the_wing(bodies) -> None:
    """It was taken to lie there with its side: a quarter of its end counted as all of it."""
    two = bodies(
        {"a": box((0, 0, 0), (900, 130, 190)), "b": box((675, -500, 190.3), (2000, 500, 300))}
    )
    m = Model(families={"a": "pylon", "b": "wing"})
    found = seated(two["a"], two["b"], 1.3, looked_at(m, "a", "b"))
    assert found.shares == (pytest.approx(0.25, abs=0.01), None)


def test_glazing_hangs_on_the_pod_and_holds_nothing():
    m = Model(families={name: name for name in ("pod", "canopy", "pylon")})
    assert may_hold(m, "pod", "canopy")
    assert may_hold(m, "canopy", "pod")
    assert not may_hold(m, "canopy", "pylon")
    pylon_on_glass = [("pod", "canopy"), ("canopy", "pylon")]
    assert loose(m, pylon_on_glass) == ["pylon"]
    assert loose(m, [*pylon_on_glass, ("pod", "pylon")]) == []
