"""Questions about room: few parts each, and their answers come back through text unchanged."""

import math
from dataclasses import replace

import pytest
from surveyed_models import model_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, Plane, Strut
from geomgen.measurements.fit import questions as room_questions
from geomgen.measurements.fit.attached import attached, joint, looked_at, reach, seated, seats
from geomgen.measurements.question import Given, Questionnaire, from_text, text_of
from geomgen.measurements.subject import Answered


@pytest.fixture(scope="module")
def machine(bodies):
    parts = {
        "pod": box((0, 0, 0), (100, 100, 100)),
        "pylon": box((20, 20, 100.3), (40, 40, 300)),
        "wing": box((0, -300, 295), (100, 300, 330)),
        "engine": box((120, 0, 0), (200, 90, 90)),
        "wheel_nose": box((0, 0, -300), (50, 20, -250)),
    }
    return model_of(parts, joint_gap=0.3), bodies(parts)


def answered(questions, bodies):
    return {q.name: from_text(text_of(q.ask(Given(bodies=bodies)))) for q in questions}


def asked_in_turn(questions, bodies):
    """Ask as the survey does, each when its turn has come; None where it was not due."""

    def ask(q, needed, done) -> None:
        done(from_text(text_of(q.ask(Given(bodies=bodies, answers=needed)))))

    return Questionnaire(list(questions), ask).answers


def boxes_of(model):
    return {name: loose_box(solid) for name, solid in model.parts.items()}


def said(model, answers):
    return Answered(model, list(model.parts), answers)


def test_joints_come_back_as_they_were_measured(machine) -> None:
    model, bodies = machine
    answers = answered(room_questions.joints(model, boxes_of(model)), bodies)
    assert set(answers) == {"joint of pod and pylon", "joint of pylon and wing"}
    pairs = [("pod", "pylon"), ("pylon", "wing")]
    assert list(answers.values()) == [joint(bodies[a], bodies[b], reach(model)) for a, b in pairs]
    assert room_questions.JOINTS.say(said(model, answers)) == attached(model, pairs)


def test_seats_come_back_as_they_were_measured(machine) -> None:
    model, bodies = machine
    asked = [
        *room_questions.joints(model, boxes_of(model)),
        *room_questions.joint_seats(model, boxes_of(model)),
    ]
    pairs = {
        (a, b): seated(bodies[a], bodies[b], reach(model), looked_at(model, a, b))
        for a, b in (("pod", "pylon"), ("pylon", "wing"))
    }
    found = room_questions.SEATS.say(said(model, asked_in_turn(asked, bodies)))
    assert found == seats(model, pairs)
    assert found[0].value > 0.0


def test_meetings_come_back_as_they_were_measured(machine) -> None:
    model, bodies = machine
    answers = answered(room_questions.meetings(model, boxes_of(model)), bodies)
    (found,) = room_questions.MEETINGS.say(said(model, answers))
    assert found.part == "pylon, wing"
    assert found.value == pytest.approx(-5.0, abs=0.2)


def test_a_wider_stated_gap_is_another_question(machine) -> None:
    model, _ = machine
    wider = replace(model, joint_gap=3.0)
    was = {q.name: q.plain for q in room_questions.joints(model, boxes_of(model))}
    now = {q.name: q.plain for q in room_questions.joints(wider, boxes_of(model))}
    assert was.keys() == now.keys()
    assert all(was[name] != now[name] for name in was)


def test_a_wide_slit_of_a_skin_joins_its_parts_and_nothing_else(bodies) -> None:
    parts = {
        "pod": box((0, 0, 0), (100, 100, 100)),
        "wing_centre": box((0, -300, 100.2), (100, 300, 130)),
        "wing_outer_right": box((0, 320, 100.2), (100, 600, 130)),
        "pylon": box((20, 20, 150), (40, 40, 300)),
    }
    parted = model_of(parts, joint_gap=0.3, joint_gaps=(("wing", "wing", 20.0),))
    answers = answered(room_questions.joints(parted, boxes_of(parted)), bodies(parts))
    joined = {name for name, gap in answers.items() if gap is not None}
    assert joined == {"joint of pod and wing_centre", "joint of wing_centre and wing_outer_right"}
    (told,) = attached(parted, [("pod", "wing_centre"), ("wing_centre", "wing_outer_right")])
    assert told.part == "pylon"
    assert "within 1.3 mm" in told.method
    assert told.method.endswith("within the gap stated for them and 1 mm more")


def test_the_engine_is_asked_about_every_other_part(machine) -> None:
    model, _ = machine
    names = [q.name for q in room_questions.room_round_engines(model, boxes_of(model))]
    for part in ("pod", "pylon", "wing", "wheel_nose"):
        assert f"room from engine to {part}" in names
        assert f"room from engine to {part}, exact" in names


def test_what_its_box_keeps_far_off_is_not_asked_for_unless_it_may_be_the_nearest() -> None:
    """In closed form: boxes on one line; nothing near, then something near."""

    def gaps(*places: float) -> tuple[float, set[str]]:
        solids = {"engine": box((0, 0, 0), (10, 10, 10))}
        for number, x in enumerate(places):
            solids[f"wheel_{number}"] = box((10 + x, 0, 0), (20 + x, 10, 10))
        families = {name: name.split("_")[0] for name in solids}
        model = Model(parts=solids, families=families)
        bodies = {n: body_of(s, mesh(s, 0.1), 0.1) for n, s in solids.items()}
        answers = asked_in_turn(room_questions.room_round_engines(model, boxes_of(model)), bodies)
        asked = {name for name, answer in answers.items() if answer is not None}
        (found,) = room_questions.ROOMS.say(said(model, answers))
        return found.value, asked

    gap, asked = gaps(900.0, 700.0, 950.0)
    assert gap == pytest.approx(700.0, abs=1e-4)
    assert not any("wheel_2" in name for name in asked)
    gap, asked = gaps(30.0, 150.0, 400.0)
    assert gap == pytest.approx(30.0, abs=1e-4)
    assert "room from engine to wheel_1" in asked
    assert "room from engine to wheel_2" not in asked


@pytest.mark.parametrize("turn", [0.0, 0.15, -0.4])
def test_a_roller_stands_its_radius_lower_than_its_axis_over_a_leaning_ground(turn) -> None:
    """In closed form: n . (c - o) - r; a wheel and what turns are not asked about."""
    normal, middle, radius = (-math.sin(turn), 0.0, math.cos(turn)), (300.0, 40.0, 500.0), 80.0
    plane = Plane((100.0, 0.0, 50.0), normal)
    solids = {
        "pod": cylinder(middle, (0.0, 1.0, 0.0), radius, 60.0),
        "wheel_main": box((0, 0, -100), (10, 10, -90)),
        "spinner": box((0, 0, -300), (10, 10, -290)),
    }
    model = Model(
        parts=solids,
        families={name: name.split("_")[0] for name in solids},
        grounds=[Ground("static", plane, "level"), Ground("spring", plane, "bent")],
    )
    bodies = {n: body_of(s, mesh(s, 0.1), 0.1) for n, s in solids.items()}
    answers = asked_in_turn(room_questions.over_the_ground(model, boxes_of(model)), bodies)
    found = room_questions.GROUND.say(said(model, answers))
    assert [m.id for m in found] == ["ground.clearance.static", "ground.clearance.spring"]
    true = sum(n * (c - o) for n, c, o in zip(normal, middle, plane.origin, strict=True)) - radius
    assert found[0].part == "pod"
    assert found[0].value == pytest.approx(true, abs=found[0].error_bound)
    point, foot = found[0].points
    assert math.dist(point, foot) == pytest.approx(abs(found[0].value), abs=1e-9)


def test_of_flat_tyres_the_lowest_counts_and_without_ground_nothing_is_asked() -> None:
    solids = {"pod": box((0, 0, 100), (10, 10, 110)), "boom": box((0, 0, 90), (10, 10, 110))}
    flat = [
        Ground(f"flat_tyre.{name}", Plane((0.0, 0.0, at), (0.0, 0.0, 1.0)))
        for name, at in (("main", 20.0), ("nose", 35.0))
    ]
    model = Model(parts=solids, families={"pod": "pod", "boom": "boom"}, grounds=flat)
    bodies = {n: body_of(s, mesh(s, 0.1), 0.1) for n, s in solids.items()}
    answers = asked_in_turn(room_questions.over_the_ground(model, boxes_of(model)), bodies)
    (found,) = room_questions.GROUND.say(said(model, answers))
    assert (found.id, found.part) == ("ground.clearance.flat_tyre", "boom")
    assert found.value == pytest.approx(55.0, abs=1e-4)
    bare = replace(model, grounds=[])
    assert list(room_questions.over_the_ground(bare, boxes_of(model))) == []
    assert room_questions.GROUND.say(said(bare, {})) == []


def leg_heights(travel, *grounds):
    """Return the heights of a leg (an upright box, WL 40 to 400) and a hull, by id."""
    solids = {
        "pod": box((0, 0, 350), (900, 200, 500)),
        "leg_nose": box((100, 90, 40), (120, 110, 400)),
        "wheel_nose": box((60, 112, -100), (160, 150, 160)),
    }
    strut = Strut(
        "wheel_nose", (110.0, 100.0, 50.0), (), travel, "leg_nose", (110, 100, 400), "pod"
    )
    model = model_of(solids, grounds=list(grounds), struts=[strut])
    bodies = {n: body_of(s, mesh(s, 0.1), 0.1) for n, s in solids.items()}
    answers = asked_in_turn(room_questions.over_the_ground(model, boxes_of(model)), bodies)
    return {m.id: m for m in room_questions.GROUND.say(said(model, answers))}


def level(name, at, bottomed=""):
    return Ground(name, Plane((0.0, 0.0, at), (0.0, 0.0, 1.0)), name, bottomed)


def test_legs_have_heights_of_their_own_and_the_hull_keeps_its() -> None:
    found = leg_heights(60.0, level("static", -20.0))
    assert found["ground.clearance.static"].part == "pod"
    assert found["ground.clearance.static"].value == pytest.approx(370.0, abs=1e-4)
    assert found["ground.clearance.legs.static"].part == "leg_nose"
    assert found["ground.clearance.legs.static"].value == pytest.approx(60.0, abs=1e-4)


def test_a_leg_goes_up_with_its_own_bottomed_strut_and_with_no_other() -> None:
    own = level("flat_tyre.nose", 70.0, "wheel_nose")
    found = leg_heights(60.0, own)["ground.clearance.legs.flat_tyre"]
    assert found.value == pytest.approx(40.0 + 60.0 - 70.0, abs=1e-4)
    other = level("flat_tyre.main", 70.0, "wheel_main")
    found = leg_heights(60.0, own, other)["ground.clearance.legs.flat_tyre"]
    assert found.value == pytest.approx(40.0 - 70.0, abs=1e-4)
    assert "bottomed" in found.method


@pytest.mark.parametrize(("foot", "off", "parts"), [
    (0.0, 0.0, "all parts"), (8.0, 0.0, "wheel_nose"), (0.0, 12.0, "wheel_nose, leg_nose"),
])  # fmt: skip
def test_a_wheel_off_its_leg_and_a_leg_off_its_root_are_loose(foot, off, parts) -> None:
    """Asked as a survey does: the wheel stands off the leg, or both hang under the pod."""
    solids = {
        "pod": box((0, 0, 300), (500, 200, 500)),
        "boom": box((0, 0, 500), (500, 200, 560)),
        "wheel_nose": box((60, 112 + foot, -100), (160, 150, 160)),
        "leg_nose": box((100, 90, 40), (120, 112, 300 - off)),
    }
    strut = Strut("wheel_nose", (110.0, 100.0, 50.0), (), 0.0, "leg_nose", (110, 100, 400), "pod")
    model = model_of(solids, struts=[strut], joint_gap=0.3)
    bodies = {n: body_of(s, mesh(s, 0.1), 0.1) for n, s in solids.items()}
    asked = room_questions.JOINTS.ask(model, boxes_of(model))
    found = room_questions.JOINTS.say(said(model, asked_in_turn(asked, bodies)))[0]
    assert found.part == parts
    if off:
        assert "leg_nose is loose, 12.0 mm from pod, which the file roots it in" in found.note
    if foot:
        assert "wheel_nose is loose, 8.0 mm from leg_nose" in found.note
