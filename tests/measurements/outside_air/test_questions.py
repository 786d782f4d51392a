"""The question about the air, asked as `check` asks it, of plain solids."""

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from plain_machines import about, box, climb, ellipsoid, lofted, mesh_of, mirrored

from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Passage
from geomgen.measurements.outside_air import mouth_spots, questions
from geomgen.measurements.outside_air.mouths import mouth_pressure
from geomgen.measurements.outside_air.questions import AIR_OUTSIDE
from geomgen.measurements.outside_air.said import NAME
from geomgen.measurements.outside_air.skin import rim_pressure
from geomgen.measurements.outside_air.states import solved_machine
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered

STATES = (
    climb(lift=1500.0),
    climb(name="level", speed=33.0, lift=1500.0, thrust=300.0),
    climb(name="glide", lift=1500.0, thrust=0.0, through=0.04),
    climb(name="standing", speed=0.0, lift=0.0, thrust=600.0),
)


def model(machine, flights=STATES, **more):
    exits = [machine.mouths[0]] if machine.open_behind and machine.mouths else []
    return Model(
        families=dict(machine.families) | {"prop_disc": "prop_disc"},
        swept="prop_disc",
        thrust_line=machine.disc,
        joint_gap=machine.joint,
        passages=[Passage(m.name, m, (), (0.0, 0.0, 0.0), None) for m in machine.mouths],
        exits=exits,
        flights=flights,
        **more,
    )


def mouth_of(machine):
    first = machine.mouths[0]
    return first, machine.stands[first.name]


def disc(machine):
    """Return a ring of points of the propeller's radius about its middle, as a mesh."""
    turn = [2 * math.pi * k / 24 for k in range(24)]
    x, r = machine.disc.origin[0], machine.radius
    return lofted(
        [[(x + dx, r * math.sin(t), r * math.cos(t)) for t in turn] for dx in (-20.0, 20.0)]
    )


def asked(machine, flights=STATES, **more):
    made = model(machine, flights, **more)
    meshes = {**machine.meshes, "prop_disc": disc(machine)}
    boxes = dict.fromkeys(meshes, ((0.0,) * 3, (0.0,) * 3))
    found = list(AIR_OUTSIDE.ask(made, boxes))
    if not found:
        return made, None, None
    (question,) = found
    bodies = {n: Body(None, meshes[n], 0.1, None) for n in question.bodies}
    return made, question, from_text(text_of(question.ask(Given({}, bodies, {}))))


@pytest.fixture(scope="module", autouse=True)
def few_spots():
    """Look at two places of each line: where they lie is for `test_mouth_spots.py`."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(mouth_spots, "EACH", 2)
        yield


@pytest.fixture(scope="module")
def whole(few_spots):
    """Ask coarsely: what is said is the same kind of thing."""
    kept = questions.FINE, questions.COARSE
    questions.FINE, questions.COARSE = 0.45, 0.35
    yield asked(about())
    questions.FINE, questions.COARSE = kept


def test_question_names_all_that_it_depends_on(whole):
    made, question, _ = whole
    assert question.name == NAME
    assert set(question.bodies) == {
        "pod", "wing", "scoop_a_right", "scoop_a_left", "prop_disc",
    }  # fmt: skip
    again = next(iter(AIR_OUTSIDE.ask(made, dict.fromkeys(question.bodies))))
    assert repr(again.plain) == repr(question.plain)
    for other in (model(about(), STATES[:2]), model(about(), trip=100.0)):
        moved = next(iter(AIR_OUTSIDE.ask(other, dict.fromkeys(question.bodies))))
        assert repr(moved.plain) != repr(question.plain)


def test_all_states_are_answered_and_said(whole):
    made, _, answer = whole
    assert set(answer["states"]) == {"climb", "level", "glide", "standing"}
    found = {m.id: m for m in AIR_OUTSIDE.say(Answered(made, (), {NAME: answer}))}
    due = {f"air.{state}" for state in answer["states"]}
    mouths = ("pressure", "slow_layer", "separated")
    due |= {f"inlet.{w}.scoop_a_{s}" for w in mouths for s in ("right", "left")}
    due |= {"exit.pressure", "pod.separation", "wing.neutral_point"}
    due |= {"air.panels"}
    assert {name for name in found if not name.startswith("air.spot.")} == due
    for each in found.values():
        for figure in (each.value, *(v for _, v in each.further)):
            assert figure is None or math.isfinite(figure)
    assert 0.0 < found["inlet.pressure.scoop_a_right"].value <= 1.0
    assert -1.0 < found["exit.pressure"].value < 0.3


def test_booms_are_told_by_what_they_do_to_the_wing_and_none_does_nothing(whole):
    assert whole[2]["booms"] == [0.0, 0.0]
    machine = about(scoops=False)
    for name, y in (("boom_left", -900.0), ("boom_right", 900.0)):
        machine.meshes[name] = ellipsoid((2000.0, 60.0, 60.0), (1500.0, y, 500.0))
        machine.families[name] = "boom"
    solved = solved_machine(machine, 0.5)
    quarter, chord = solved.wing.about[0], solved.wing.chord
    share, moved = questions._booms(solved, machine, quarter, 5.0)
    # Of 8 m of span 0.12 m each at most, where a boom begins less: (1 + d/b)^2 each.
    assert 0.04 < share < (1 + 0.12 / 8) ** 4 - 1
    volume = 2 * 4 / 3 * math.pi * 2000.0 * 60.0**2
    munk = 2 * volume / (5.0 * solved.wing.area)
    assert moved == pytest.approx(munk + 0.25 * chord * share, rel=0.02)


def test_propeller_pulls_most_where_it_has_the_most_thrust_for_the_speed(whole):
    _, _, answer = whole
    rims = {s: rows[0]["rim"] / (rows[0]["ram"] or 1.0) for s, rows in answer["states"].items()}
    assert rims["climb"] < rims["level"] < rims["glide"]
    assert rims["standing"] < 0.0
    assert answer["states"]["standing"][0]["pull"]["scoop_a_right"] < 0.0


def test_pressures_are_told_in_pascals(whole):
    machine, standing = solved_machine(about(), 0.45), STATES[-1]
    flow, row = machine.flow(standing, 0.0), whole[2]["states"]["standing"][0]
    rim = rim_pressure(machine.outside, flow)
    at_mouth = mouth_pressure(machine.outside, flow, *mouth_of(about()))
    assert row["rim"] == pytest.approx(rim * standing.density)
    assert row["pull"]["scoop_a_right"] == pytest.approx(at_mouth * standing.density)
    straight = rim_pressure(machine.outside, machine.flow(standing, 0.0, straight=True))
    assert row["rim_edge"] == pytest.approx(abs(rim - straight) * standing.density)
    edges = {state: rows[0]["rim_edge"] for state, rows in whole[2]["states"].items()}
    assert edges["glide"] == 0.0 < edges["level"] < edges["climb"] < edges["standing"]


def test_faster_flight_needs_less_attack(whole):
    states = whole[2]["states"]
    assert states["level"][0]["attack"] < states["climb"][0]["attack"]
    assert states["standing"][0]["attack"] == 0.0


def test_nothing_is_asked_without_states_or_a_pod():
    assert asked(about(), flights=())[1] is None
    winged = about(meshes={"wing": about().meshes["wing"]}, families={"wing": "wing"}, mouths=[])
    assert asked(winged)[1] is None


def test_pod_that_cannot_be_drawn_is_an_answer_in_words():
    machine = about(
        meshes={"pod": box((0.0, 50.0, 0.0), (900.0, 300.0, 200.0))},
        **{"families": {"pod": "pod"}, "mouths": []},
    )
    _, _, answer = asked(machine)
    assert answer["part"] == "pod"
    assert "does not reach the plane of symmetry" in answer["refused"]


def one_scoop(side):
    machine = about()
    meshes = {"pod": machine.meshes["pod"], "scoop_b": machine.meshes[f"scoop_a_{side}"]}
    families = {name: name.split("_")[0] for name in meshes}
    own = [replace(m, name="scoop_b") for m in machine.mouths if m.name.endswith(side)]
    return asked(replace(machine, meshes=meshes, families=families, mouths=own), STATES[:1])


def test_scoop_on_one_side_is_no_pair_and_its_mirror_image_has_the_same_figures(monkeypatch):
    """Left or right alone: the same air, all of it through the one mouth, and what is off told."""
    monkeypatch.setattr(questions, "FINE", 0.35)
    monkeypatch.setattr(questions, "COARSE", 0.3)
    (made, _, right), (_, _, left) = (one_scoop(side) for side in ("right", "left"))
    rows = [each["states"]["climb"][0] for each in (right, left)]
    mouths = [row["mouths"]["scoop_b"] for row in rows]
    other = [1.0, -1.0, 1.0]
    assert mouths[1]["at"] == pytest.approx(
        [a * b for a, b in zip(mouths[0]["at"], other, strict=True)]
    )
    for what in ("pressure", "speed", "thick", "slow"):
        assert mouths[1][what] == pytest.approx(mouths[0][what], rel=1e-6)
    assert rows[1]["rim"] == pytest.approx(rows[0]["rim"], rel=1e-6)
    assert rows[0]["rim_unfelt"] > 0.0
    assert 0.0 < rows[0]["unfelt"]["scoop_b"] < 0.2
    found = {m.id: m for m in AIR_OUTSIDE.say(Answered(made, (), {NAME: left}))}
    assert "mirror image of scoop" in found["inlet.pressure.scoop_b"].note


@pytest.mark.long
def test_a_pairs_two_mouths_take_half_each(monkeypatch):
    monkeypatch.setattr(questions, "FINE", 0.35)
    monkeypatch.setattr(questions, "COARSE", 0.3)
    pair = asked(about(winged=False), STATES[:1])[2]["states"]["climb"][0]
    alone = one_scoop("right")[2]["states"]["climb"][0]
    taken = pair["mouths"]["scoop_a_right"]["pressure"]
    assert taken > alone["mouths"]["scoop_b"]["pressure"]


@pytest.mark.long
def test_a_mouth_that_is_not_closed_all_round_is_not_told_and_says_why(monkeypatch):
    """Broken on purpose: the front of a scoop with a slit in its side; all else is told."""
    monkeypatch.setattr(questions, "FINE", 0.35)
    monkeypatch.setattr(questions, "COARSE", 0.3)
    machine = about(winged=False)
    slit = trimesh.creation.box(bounds=[(99.0, 400.0, -81.0), (160.0, 420.0, -60.0)])
    body = machine.meshes["scoop_a_right"]
    cut = trimesh.Trimesh(body.vertices, body.triangles).difference(slit, engine="manifold")
    wrong = mesh_of(cut.vertices, cut.faces)
    meshes = {**machine.meshes, "scoop_a_right": wrong, "scoop_a_left": mirrored(wrong)}
    made, _, answer = asked(replace(machine, meshes=meshes), STATES[:1])
    found = {m.id: m for m in AIR_OUTSIDE.say(Answered(made, (), {NAME: answer}))}
    assert "inlet.pressure.scoop_a_right" not in found
    for side in ("right", "left"):
        row = found[f"inlet.separated.scoop_a_{side}"]
        assert row.value is None
        assert "not closed all round" in row.note
    assert found["exit.pressure"].value is not None


@pytest.mark.parametrize(
    "height",
    [
        pytest.param(-30.0, marks=pytest.mark.long),
        0.0,
        pytest.param(30.0, marks=pytest.mark.long),
    ],
)
def test_mouth_behind_another_scoop_may_have_all_slow_air(monkeypatch, height):
    """On panels the air closes behind a blunt one, and brings fresh air to what stands there."""
    monkeypatch.setattr(questions, "FINE", 0.4)
    monkeypatch.setattr(questions, "COARSE", 0.3)
    blunt = box((-900.0, 200.0, height - 90.0), (-300.0, 450.0, height + 90.0))
    machine = about(winged=False)
    meshes = {**machine.meshes, "scoop_f_right": blunt}
    families = {**machine.families, "scoop_f_right": "scoop"}
    (row, _) = asked(replace(machine, meshes=meshes, families=families), STATES[:1])[2]["states"][
        "climb"
    ]
    found = row["mouths"]["scoop_a_right"]
    assert found["thick_band"][1] is None
    assert found["slow"][2] == 1.0
    assert any("in the wake of scoop_f_right" in word for word in found["words"])


@pytest.mark.long
def test_last_digits_of_the_meshes_move_no_figure(monkeypatch):
    """Another processor lays vertices a billionth off: what is said differs by no more than that.

    A figure may grow that a thousandfold, but not jump.
    """
    monkeypatch.setattr(questions, "FINE", 0.7)
    monkeypatch.setattr(questions, "COARSE", 0.5)
    machine, dice = about(), np.random.default_rng(1)

    def moved(mesh):
        off = 1e-9 * dice.uniform(-1, 1, mesh.vertices.shape)
        return replace(mesh, vertices=mesh.vertices * (1.0 + off))

    other = replace(machine, meshes={name: moved(m) for name, m in machine.meshes.items()})
    (one, _, first), (_, _, second) = asked(machine, STATES[:1]), asked(other, STATES[:1])
    said = [AIR_OUTSIDE.say(Answered(one, (), {NAME: each})) for each in (first, second)]
    for here, there in zip(*said, strict=True):
        assert here.id == there.id
        if here.id == "air.panels":
            continue
        for a, b in ((here.value, there.value), *zip_figures(here, there)):
            assert b == pytest.approx(a, rel=1e-6, abs=1e-5), here.id


def zip_figures(here, there):
    assert [name for name, _ in here.further] == [name for name, _ in there.further]
    return [(a, b) for (_, a), (_, b) in zip(here.further, there.further, strict=True)]
