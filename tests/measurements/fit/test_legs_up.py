"""Legs and wheels that run into the machine on their way up: closed forms on plain solids."""

from math import asin, cos, sin

import pytest
from surveyed_models import meshes_of, model_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Strut
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.fit.legs_up import LEGS_UP
from geomgen.measurements.question import Given, Questionnaire
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

RISES = (("standing", 40.0), ("1.5 times the load", 60.0), ("strut bottomed", 110.0))
AXLE = (2000.0, 700.0, 0.0)
ROOT = (2000.0, 200.0, 300.0)


def found(parts, strut):
    """Return the figure of a machine with one strut, asked as `check` does it."""
    model = model_of(parts)
    model.struts = [strut]
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    given = Given(bodies=bodies_of(model, meshes_of(model)))
    asked = Questionnaire(list(LEGS_UP.ask(model, boxes)), lambda q, _, done: done(q.ask(given)))
    (record,) = LEGS_UP.say(Answered(model, list(parts), asked.answers))
    return record


def wheel():
    """Return a wheel of 300 across, 80 wide, on its axle."""
    return cylinder((2000.0, 660.0, 0.0), (0.0, 1.0, 0.0), 150.0, 80.0)


@pytest.mark.parametrize("low", [300.0, 255.0])
def test_a_wheel_that_slides_straight_up_under_a_wing(low) -> None:
    """The wing's underside less the radius and the whole rise of 110 mm."""
    parts = {"wing": box((1500.0, -4000.0, low), (2500.0, 4000.0, low + 100.0)), "wheel_a": wheel()}
    m = found(parts, Strut("wheel_a", AXLE, RISES, 70.0))
    due = low - 150.0 - 110.0
    assert m.value == pytest.approx(due, abs=(m.error_bound or 0.0) + 0.3)
    assert (m.value > 0.0) == (due > 0.0)
    assert m.part == "wheel_a"
    assert "wing" in m.note
    assert ("struck" in m.note) == (due < 0.0)


def test_a_leg_that_turns_up_into_a_boom_is_struck_and_its_own_pod_is_not_asked() -> None:
    """A thin rod from the pod; the boom's underside lies under where the rod's middle goes to."""
    length = ((AXLE[1] - ROOT[1]) ** 2 + ROOT[2] ** 2) ** 0.5
    lean = asin(300.0 / length)
    way = (0.0, cos(lean), -sin(lean))
    after = asin((300.0 - 110.0) / length)
    middle = 300.0 - length / 2 * sin(after) + 10.0 / cos(after)
    y = 200.0 + length / 2 * cos(after)
    parts = {
        "pod": box((1000.0, -210.0, 250.0), (3000.0, 210.0, 900.0)),
        "leg_a": cylinder(ROOT, way, 10.0, length),
        "wheel_a": cylinder((2000.0, 700.0, 0.0), (0.0, 1.0, 0.0), 150.0, 60.0),
    }
    strut = Strut("wheel_a", AXLE, RISES, 70.0, "leg_a", ROOT, "pod")
    for off in (20.0, -6.0):
        at = middle + off
        boom = box((1500.0, y - 0.5, at), (4000.0, y + 0.5, at + 60.0))
        m = found({**parts, "boom_right": boom}, strut)
        assert m.part == "leg_a"
        assert (m.value > 0.0) == (off > 0.0)
        if off > 0.0:
            assert m.value == pytest.approx(off * cos(after), abs=(m.error_bound or 0.0) + 0.3)
        else:
            assert "boom_right" in m.note


def test_where_nothing_is_near_the_nearest_is_measured() -> None:
    parts = {
        "wing": box((1500.0, -4000.0, 1800.0), (2500.0, 4000.0, 1900.0)),
        "tailplane": box((5500.0, -900.0, 1800.0), (6500.0, 900.0, 1900.0)),
        "wheel_a": wheel(),
    }
    m = found(parts, Strut("wheel_a", AXLE, RISES, 70.0))
    assert m.value == pytest.approx(1800.0 - 150.0 - 110.0, abs=m.error_bound)
    assert "wing" in m.note


def test_a_part_far_from_all_is_measured_where_it_may_be_nearer_than_what_boxes_keep_near() -> None:
    """A frame whose box holds the wheel is 500 mm off, a bar 60 mm, as its box is."""
    frame = cut(
        box((1000.0, 160.0, -650.0), (3000.0, 1240.0, 650.0)),
        [box((1350.0, 100.0, -600.0), (2650.0, 1300.0, 600.0))],
        "wing",
        "frame",
    )
    rises = (("standing", 0.0),)
    bar = box((1990.0, 800.0, -5.0), (2010.0, 900.0, 5.0))
    m = found({"wing": frame, "tank": bar, "wheel_a": wheel()}, Strut("wheel_a", AXLE, rises, 0.0))
    assert "tank" in m.note
    assert m.value == pytest.approx(60.0, abs=m.error_bound)
