"""The small questions say together what measuring the whole model at once says."""

import math
import random
from dataclasses import asdict, replace
from itertools import combinations

import pytest
from one_look import ducts, engine_room, interference, opening_measurer, openings

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.shape_bytes import shape_bytes, solid_from
from geomgen.measurements.cooling_air.opening import TRACED
from geomgen.measurements.firewall.sheet import firewall
from geomgen.measurements.fit.attached import (
    attached,
    held,
    joint,
    looked_at,
    reach,
    seated,
    seats,
)
from geomgen.measurements.propeller.questions import SWEPT
from geomgen.measurements.question import Given, Questionnaire, from_text, text_of
from geomgen.measurements.survey.questions import joined, questions
from geomgen.measurements.survey.whole import bodies_of

# Two ways to the widest slit find it at places so near to each other [mm].
NEAR = 0.01


@pytest.fixture(scope="module")
def bodies(saltmarsh_model, saltmarsh_meshes):
    return bodies_of(saltmarsh_model, saltmarsh_meshes)


@pytest.fixture(scope="module")
def bare(saltmarsh_model):
    return replace(saltmarsh_model, parts={})


@pytest.fixture(scope="module")
def boxes(saltmarsh_model):
    return {name: loose_box(solid) for name, solid in saltmarsh_model.parts.items()}


def anew(solid):
    return solid_from(shape_bytes(solid))


def answers(parts, bodies, every, order=None, shape=anew):
    """Ask all questions, in an order of our own, of solids that nobody has worked on."""
    later = []
    found = Questionnaire(every, lambda *row: later.append(row))
    while later:
        question, needed, done = later.pop(order.randrange(len(later)) if order else 0)
        solids = {n: shape(parts[n]) for n in question.solids}
        given = Given(solids, {n: bodies[n] for n in question.bodies}, needed)
        done(from_text(text_of(question.ask(given))))
    return found.answers


@pytest.fixture(scope="module")
def asked(saltmarsh_model, bodies, bare, boxes):
    return answers(saltmarsh_model.parts, bodies, questions(bare, boxes))


def _joints(model, bodies):
    """Ask about every two parts, however far apart."""
    pairs, within = combinations(held(model), 2), reach(model)
    return [(a, b) for a, b in pairs if joint(bodies[a], bodies[b], within) is not None]


def _seats(model, bodies):
    return {
        (a, b): seated(bodies[a], bodies[b], reach(model), looked_at(model, a, b))
        for a, b in _joints(model, bodies)
    }


# What lies on another of two equal sides, or at another place of an even slit, may be named.
# Neighbours of the engine that are far off are not asked for, and so not named.
SIDES = {"firewall.edge_gap": ("where", "points"), "engine.clearance": ("note",)}
# The slit is told to a thousandth of a millimetre, all else is the same to nine digits.
LOOSE = {"firewall.edge_gap": 1e-3}
# Its bound holds the chords of each way's own outline: 4e-6 mm apart [mm].
CHORDS = {"firewall.edge_gap": 1e-5}
# What both ways tell; all else is measured in one alone.
TWO_WAYS = ("inlet.area", "exit.area", "exit.to_inlet", "duct.", "firewall.", "engine.", "parts.")
# A sheet of even thickness has no thinnest place: it is told in its middle, and the outline whose
# middle that is the two ways follow by chords of their own.
EVEN = "firewall.thickness"


def as_thick_in_both_places(found, other) -> None:
    """Both lines are as long as the figure within its bound, no further apart than the chords."""
    for each in (found, other):
        assert math.dist(*each.points) == pytest.approx(found.value, abs=found.error_bound)
    for one, same in zip(found.points, other.points, strict=True):
        assert math.dist(one, same) <= NEAR


@pytest.mark.long
def test_together_they_say_what_one_look_at_everything_says(
    saltmarsh_model, bodies, bare, boxes, asked
) -> None:
    """The slow way, which cuts whole solids with the kernel, is the reference.

    What is measured in one way only has benches and closed forms that say what is true of it.
    """
    every = joined(bare, list(boxes), asked)
    by_id = {m.id: m for m in every if m.id.startswith(TWO_WAYS) and ".way" not in m.id}
    whole = [
        *openings(saltmarsh_model),
        *ducts(saltmarsh_model, bodies, opening_measurer(saltmarsh_model)),
        *firewall(saltmarsh_model),
        *engine_room(saltmarsh_model, bodies),
        interference(bodies),
        *attached(saltmarsh_model, _joints(saltmarsh_model, bodies)),
        *seats(saltmarsh_model, _seats(saltmarsh_model, bodies)),
    ]
    assert [m.id for m in whole] == list(by_id)
    for m in whole:
        found = by_id[m.id]
        assert found.value == pytest.approx(m.value, rel=1e-9, abs=LOOSE.get(m.id, 1e-9))
        # The nearer way may know its own bound better, never worse but by the chords it goes by.
        most = (m.error_bound or 0.0) * (1 + 1e-9) + CHORDS.get(m.id, 0.0)
        assert (found.error_bound or 0.0) <= most
        free = ["value", "error_bound", "method", *SIDES.get(m.id, ())]
        if m.id == EVEN:
            as_thick_in_both_places(found, m)
            free.append("points")
        same = {name: value for name, value in asdict(m).items() if name not in free}
        assert same == {name: asdict(found)[name] for name in same}


def test_openings_and_firewall_are_told_from_meshes(saltmarsh_set) -> None:
    """The kernel's way is the way out, not the rule: ten times as slow."""
    assert {"inlet.area", "exit.area", "firewall.edge_gap"} <= {m.id for m in saltmarsh_set.checks}
    for m in saltmarsh_set.checks:
        if m.id.startswith(("inlet.area", "exit.area", "duct.throat")):
            assert TRACED in m.method
        if m.id == "firewall.edge_gap":
            assert "every millimetre" in m.method


@pytest.mark.long
def test_solids_that_were_asked_before_give_the_same_answers(
    saltmarsh_model, bodies, bare, boxes, asked
) -> None:
    """The same solids for all questions, in another order: nothing that matters is changed."""
    fresh = {n: solid_from(shape_bytes(s)) for n, s in saltmarsh_model.parts.items()}
    shared = {n: replace(body, solid=fresh[n]) for n, body in bodies.items()}
    again = answers(fresh, shared, questions(bare, boxes), random.Random(5), shape=lambda s: s)
    assert text_of(sorted(again.items())) == text_of(sorted(asked.items()))


@pytest.mark.long
def test_the_order_in_which_they_are_asked_does_not_matter(
    saltmarsh_model, bodies, bare, boxes, asked
) -> None:
    for seed in range(3):
        again = answers(saltmarsh_model.parts, bodies, questions(bare, boxes), random.Random(seed))
        assert text_of(sorted(again.items())) == text_of(sorted(asked.items()))


def test_a_question_looks_at_few_parts(bare, boxes) -> None:
    """A wheel has to do with propeller, engine, pilot, ground and its leg, with no opening."""
    about = {q.name for q in questions(bare, boxes) if "wheel_nose" in (*q.solids, *q.bodies)}
    room = "room from engine to wheel_nose"
    ways = ("radially to", "along the shaft to", "from the blades to", "from the shaken spinner to")
    own = {"wheel_nose and leg_nose", "joint of wheel_nose and leg_nose", "nearest to wheel_nose"}
    own |= {"from the blades to what is drawn up with wheel_nose", "pilot.seat_room to wheel_nose"}
    own |= {"wheels over the ground", "body of wheel_nose", "sight.up"}
    still = [n for n in boxes if not n.startswith(("wheel", "leg", "spinner", "prop_disc"))]
    own |= {f"from {other} to wheel_nose on its way up" for other in still}
    own |= {"gap of tank_main to wheel_nose", "air about the machine"}
    own |= {f"bank over the flat wheel_main_{hand}" for hand in ("right", "left")}
    assert about == {*(f"{way} wheel_nose" for way in ways), room, f"{room}, exact"} | own
    about = {q.name for q in questions(bare, boxes) if "spinner" in (*q.solids, *q.bodies)}
    assert not any(name.startswith(("firewall", "way")) for name in about)


def test_ways_up_and_gaps_that_can_not_be_the_least_are_not_asked(
    saltmarsh_model, bodies, bare, boxes
) -> None:
    ends = ("on its way up", "gap of tank_main")
    few = [q for q in questions(bare, boxes) if q.name.endswith(ends[0]) or ends[1] in q.name]
    found = answers(saltmarsh_model.parts, bodies, few)
    near = {name for name, answer in found.items() if answer is not None}
    assert "from pod to wheel_nose on its way up" in near
    assert len(near) < len(few) / 4
    assert not {"from wing to wheel_nose on its way up", "gap of tank_main to wheel_nose"} & near


def test_parts_that_can_not_be_nearest_are_not_cut(saltmarsh_model, bodies, bare, boxes) -> None:
    along = ("along the shaft", SWEPT)
    few = [q for q in questions(bare, boxes) if q.name.startswith(along)]
    asked = answers(saltmarsh_model.parts, bodies, few)
    near = {n for n, a in asked.items() if n.startswith("along the shaft to") and a}
    assert near
    assert asked["along the shaft to wheel_nose"] is None
    assert asked["along the shaft to firewall"] is None


def test_names_are_told_apart(bare, boxes) -> None:
    names = [q.name for q in questions(bare, boxes)]
    assert len(set(names)) == len(names)


def test_what_an_answer_depends_on_stands_in_its_question(bare, boxes) -> None:
    """A seed, a plane, a ground, the thrust line moved by a hair: other questions."""
    was = {q.name: repr(q.plain) for q in questions(bare, boxes)}
    line = bare.thrust_line
    moved = replace(bare, thrust_line=replace(line, origin=(line.origin[0] + 1e-9, 0.0, 820.0)))
    now = {q.name: repr(q.plain) for q in questions(moved, boxes)}
    changed = {name for name in was if now.get(name) != was[name]}
    assert {"swept volume", "ground", "trailing edge", "radially to pod"} <= changed
    assert not any(name.startswith(("opening", "firewall", "way")) for name in changed)
    (ground,) = (replace(g, name=g.name) for g in bare.grounds[:1])
    fewer = {q.name: repr(q.plain) for q in questions(replace(bare, grounds=[ground]), boxes)}
    about_ground = {name for name in was if name.split(" under ")[0] == "ground"}
    assert {name for name in was if fewer[name] != was[name]} == about_ground >= {"ground"}


def test_a_swept_volume_that_can_not_be_measured_is_said(bare, boxes) -> None:
    less = {name: box for name, box in boxes.items() if name != "prop_disc"}
    every = [q for q in questions(bare, less) if q.name == "swept volume"]
    (question,) = every
    answer = question.ask(Given())
    assert "swept volume" in answer["refused"]
