"""Bodies, joints and wheels of plain solids, surveyed as `check` does it."""

import numpy as np
import pytest
from surveyed_models import meshes_of, model_of

from geomgen.balance.masses.solid_figures import solids_measured
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Ground, Plane
from geomgen.measurements.survey.whole import survey

# Three round wheels of 400 across on a level ground 30 mm up their tyres.
FLAT = Ground("static", Plane((0.0, 0.0, -170.0), (0.0, 0.0, 1.0)))
WHEELS = {"wheel_main_right": "main", "wheel_main_left": "main", "wheel_nose": "nose"}


def wheel_at(x, y):
    return cylinder((x, y - 40.0, 0.0), (0.0, 1.0, 0.0), 200.0, 80.0)


def surveyed(parts, **more):
    model = model_of(parts, **more)
    return {m.id: m for m in survey(model, meshes_of(model))}


@pytest.fixture(scope="module")
def found():
    parts = {
        "pod": box((0.0, -300.0, 0.0), (2000.0, 300.0, 800.0)),
        "boom_right": box((2000.3, -50.0, 350.0), (5000.0, 50.0, 450.0)),
        "wheel_main_right": wheel_at(1600.0, 800.0),
        "wheel_main_left": wheel_at(1600.0, -800.0),
        "wheel_nose": wheel_at(0.0, 0.0),
    }
    return surveyed(
        parts,
        grounds=[FLAT],
        weighed=("pod", "boom"),
        wheels=WHEELS,
        joint_gap=0.3,
        joint_gaps=(("pod", "boom", 0.3),),
    )


def test_a_box_is_measured_as_a_box(found):
    body, further = found["body.pod"], dict(found["body.pod"].further)
    assert body.value == pytest.approx(2000.0 * 600.0 * 800.0)
    assert body.points[0] == pytest.approx((1000.0, 0.0, 400.0))
    assert further["body xx"] == pytest.approx(body.value * 2000.0**2 / 12)
    assert further["skin"] == pytest.approx(2e6 * (0.6 * 2 + 0.8 * 2 + 0.6 * 0.8) - 2e6 * 0)


def test_a_joint_takes_the_end_of_the_boom(found):
    """The boom's end of 100 by 100 stands 0.3 mm off the pod; the pod loses as much."""
    for name in ("body.boom_right", "body.pod"):
        further = dict(found[name].further)
        assert further["joint"] == pytest.approx(1e4, abs=further["joint error"] + 400.0)


@pytest.fixture(scope="module")
def wide_and_narrow():
    """A boom 0.3 mm behind the pod, a pylon 6 mm over it, a fin 3 mm over it without a joint."""
    parts = {
        "pod": box((0.0, -300.0, 0.0), (2000.0, 300.0, 800.0)),
        "boom_right": box((2000.3, -50.0, 350.0), (5000.0, 50.0, 450.0)),
        "pylon": box((900.0, -50.0, 806.0), (1100.0, 50.0, 1200.0)),
        "fin_right": box((200.0, -50.0, 803.0), (400.0, 50.0, 900.0)),
    }
    gaps = (("boom", "pod", 0.3), ("pylon", "pod", 6.0))
    weighed = ("pod", "boom", "pylon", "fin")
    return surveyed(parts, weighed=weighed, joint_gap=6.0, joint_gaps=gaps)


def test_one_wide_joint_does_not_widen_the_others(wide_and_narrow):
    """The boom's end of 100 by 100 alone: with 6 mm its sides would lose 400 by 6.2 more."""
    further = dict(wide_and_narrow["body.boom_right"].further)
    assert further["joint"] == pytest.approx(1e4, abs=700.0)


def test_each_pair_is_looked_at_with_its_own_gap(wide_and_narrow):
    """The pod loses both seats, 1e4 and 2e4; what stands 3 mm off without a joint takes nothing."""
    pylon, pod = (dict(wide_and_narrow[f"body.{name}"].further) for name in ("pylon", "pod"))
    assert pylon["joint"] == pytest.approx(2e4, abs=pylon["joint error"] + 600.0)
    assert pod["joint"] == pytest.approx(3e4, abs=pod["joint error"] + 3000.0)
    assert "joint" not in dict(wide_and_narrow["body.fin_right"].further)


def test_parts_that_nobody_weighs_are_not_measured(found):
    assert "body.wheel_nose" not in found


def test_wheels_stand_where_the_ground_is(found):
    contact = found["gear.contact.wheel_main_left"]
    assert contact.value == pytest.approx(170.0, abs=0.2)
    assert contact.points[0] == pytest.approx((1600.0, -800.0, -170.0), abs=0.2)


def test_the_pitch_at_which_the_boom_touches(found):
    """The boom's lower end at (5000, 350): atan of its place and the sunk tyre, by hand."""
    aft, up = 5000.0 - 1600.0, 350.0
    wanted = np.degrees(np.arctan2(up, aft) + np.arcsin(170.0 / np.hypot(aft, up)))
    assert found["gear.tail_touch"].value == pytest.approx(wanted, abs=0.05)
    assert found["gear.tail_touch"].part == "boom_right"


def test_a_machine_that_nobody_weighs_is_not_asked():
    parts = {"pod": box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0)), "wheel_nose": wheel_at(900.0, 0.0)}
    ids = surveyed(parts, wheels={"wheel_nose": "nose"}, grounds=[FLAT])
    assert not [i for i in ids if i.startswith(("body.", "gear."))]


def test_a_slit_of_a_parted_skin_has_no_wall() -> None:
    """Hollow, an outer wing is open where it comes off: four sides and the tip, no fifth face."""
    parts = {
        "pod": box((0.0, -300.0, 0.0), (900.0, 300.0, 400.0)),
        "wing_centre": box((100.0, -1000.0, 400.3), (700.0, 1000.0, 500.3)),
        "wing_outer_right": box((100.0, 1002.0, 400.3), (700.0, 2002.0, 500.3)),
    }
    gaps = (("wing", "wing", 2.0), ("wing", "pod", 0.3))
    found = surveyed(parts, weighed=("wing",), joint_gap=0.3, joint_gaps=gaps)
    solids = solids_measured(found.values())
    round_, end = 2 * (0.6 + 0.1), 0.6 * 0.1
    outer, centre = solids["wing_outer_right"], solids["wing_centre"]
    assert outer.whole_skin.mass == pytest.approx(round_ * 1.0 + end, abs=1e-3)
    assert outer.whole_skin.mass == outer.skin.mass
    # Where the pod was cut off its wall goes on; the left end is no slit.
    assert centre.whole_skin.mass == pytest.approx(round_ * 2.0 + end, abs=1e-3)
    assert centre.skin.mass < centre.whole_skin.mass - 0.3
