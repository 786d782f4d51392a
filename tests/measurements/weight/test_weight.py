"""Bodies, joints and wheels of plain solids, surveyed as `check` does it."""

import numpy as np
import pytest
from surveyed_models import meshes_of, model_of

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
