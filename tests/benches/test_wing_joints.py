"""Wrong joints of the outer wing that the checks must not pass; truths by hand.

What they do not see: that each pin needs an opening in the skin; rings and safety pins, hands;
strength.
"""

from dataclasses import replace
from functools import cache

import pytest
from joined_spars import jointed, model_of
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.plain import Inlay
from geomgen.kernel.solids.booleans import fuse
from geomgen.measurements.attachments.fittings import FITTINGS
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of
from geomgen.measurements.wing_structure.pin_joints import PIN_JOINTS
from geomgen.sizing.joint_targets import WING_JOINTS
from geomgen.sizing.structure_targets import ATTACHMENTS
from geomgen.verdicts.judge import judge

PIN, PLATE = "joint_pin_main_1_right", "joint_plate_main_outer_2_right"


def skin(low, high):
    """Return what stands for a part of the wing's skin between two buttock lines [mm]."""
    return box((1280.0, low, 1250.0), (2480.0, high, 1450.0))


SKINS = {
    "wing_centre": skin(-2499.0, 2499.0),
    "wing_outer_right": skin(2501.0, 4500.0),
    "wing_outer_left": skin(-4500.0, -2501.0),
}
WINGS = dict.fromkeys(SKINS, "wing")


@cache
def sound():
    p = jointed()
    model = model_of(p)
    model = replace(model, parts={**model.parts, **SKINS}, families={**model.families, **WINGS})
    return p, model, bodies_of(model, meshes_of(model, 0.1))


def said(changed=None, families=None, subjects=(PIN_JOINTS,), inlays=(), off=None, without=()):
    """Return the figures with some solids changed or added, or all meshes `off` by more [mm]."""
    _, model, bodies = sound()
    model = replace(model, parts={n: s for n, s in model.parts.items() if n not in without})
    if off is not None:
        bodies = {name: replace(body, deviation=off) for name, body in bodies.items()}
    new = changed or {}
    model = replace(model, parts={**model.parts, **new}, families={
        **model.families, **(families or {})}, inlays=(*model.inlays, *inlays))  # fmt: skip
    if new:
        meshes = meshes_of(replace(model, parts=new), 0.1)
        bodies = {**bodies, **bodies_of(replace(model, parts=new), meshes)}
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    found = {}
    for subject in subjects:
        answers = {
            q.name: q.ask(Given(bodies={name: bodies[name] for name in q.bodies}))
            for q in subject.ask(model, boxes)
        }
        found |= {m.id: m for m in subject.say(Answered(model, list(model.parts), answers))}
    return found


def value(found, figure, hand="right"):
    return found[f"joint.{figure}.main_{hand}"].value


def test_a_sound_joint_passes_all():
    p, _, _ = sound()
    found = said(subjects=(PIN_JOINTS, FITTINGS))
    for hand in ("right", "left"):
        assert value(found, "holes", hand) == pytest.approx(0.0, abs=1e-4)
        assert value(found, "pin_room", hand) == pytest.approx(0.05, abs=1e-3)
        assert value(found, "slides_off", hand) == value(found, "pins_out", hand) == 0.0
        assert value(found, "skin_gap", hand) == pytest.approx(2.0, abs=1e-6)
        assert f"wing_outer_{hand}" in found[f"joint.slides_off.main_{hand}"].note
    # 90 less 55 mm to the end, 30 less 15 mm to the side, of holes of 10.1 mm.
    edge = found["structure.edge_distance.joint_plate_main.inner_1_right"].value
    assert edge == pytest.approx(15.0 / 10.1, abs=0.01)
    on = found["structure.on_structure.joint_plate_main.outer_2_left"]
    assert on.value == pytest.approx(0.3, abs=1e-4)
    backed = found["structure.backed.joint_plate_main.inner_1_right"].value
    assert backed == pytest.approx(1 - 2.0 / 290.0, abs=0.01)
    targets = [t for one in (*ATTACHMENTS, *WING_JOINTS) for t in one.targets(p)
               if "_skin." not in t.id]  # fmt: skip
    verdicts = {c.id: c.verdict for c in judge(found.values(), targets)}
    assert {i: v for i, v in verdicts.items() if v != "pass"} == {
        f"structure.edge_distance.joint_plate_main.{plate}_{hand}": "warn"
        for plate in ("inner_1", "outer_2") for hand in ("right", "left")
    } | {
        # A box with plates on its fore web, in a skin without openings.
        f"joint.{figure}.main_{hand}": "warn"
        for figure in ("nut_room", "pin_access") for hand in ("right", "left")
    }  # fmt: skip
    assert value(found, "nut_room") == value(found, "pin_access") == 4.0


def test_a_pin_beside_its_holes_is_told_with_how_far():
    _, model, _ = sound()
    found = said({PIN: moved(model.parts[PIN], (0.0, 0.0, 0.04))})
    assert value(found, "holes") == pytest.approx(0.04, abs=1e-3)
    assert value(found, "pin_room") == pytest.approx(0.01, abs=1e-3)
    assert found["joint.holes.main_right"].part.startswith(PIN)
    assert value(found, "holes", "left") == pytest.approx(0.0, abs=1e-4)


@pytest.mark.long
def test_a_plate_without_its_holes():
    _, model, _ = sound()
    low, high = (getattr(loose_box(model.parts[PLATE]), end) for end in ("low", "high"))
    found = said({PLATE: box(low, high)})
    assert value(found, "pin_room") == pytest.approx(-10.0, abs=0.01)


@pytest.mark.long
def test_a_pin_that_goes_through_one_plate_alone():
    _, model, _ = sound()
    found = said({PIN: moved(model.parts[PIN], (-40.0, 0.0, 0.0))})
    assert "does not go through two" in found["joint.holes.main_right"].note
    assert value(found, "holes") is value(found, "pin_room") is None


def test_a_second_spar_across_the_joint_holds_the_wing():
    through = box((1900.0, 300.0, 1380.0), (1910.0, 3000.0, 1390.0))
    rear = (Inlay("spar_rear", "wing"),)
    found = said({"spar_rear_web": through}, {"spar_rear_web": "spar"}, inlays=rear)
    assert value(found, "slides_off") >= 1.0
    assert "spar_rear_web, which runs across" in found["joint.slides_off.main_right"].note
    assert value(found, "slides_off", "left") == 0.0


def test_a_spar_across_the_joint_is_one_cause_with_all_that_meets_it():
    """Two caps and a web across the joint, and a rib farther out that stands astride of them."""
    low, high = (1900.0, 300.0, 1380.0), (1910.0, 3000.0, 1390.0)
    rear = {
        f"spar_rear_{piece}": box((low[0], low[1], low[2] + up), (high[0], high[1], high[2] + up))
        for piece, up in (("cap_upper", 20.0), ("cap_lower", -20.0), ("web", 0.0))
    }
    rib = box((1895.0, 2600.0, 1350.0), (1915.0, 2604.0, 1420.0))
    found = said(
        {**rear, "rib_a_1_right": rib},
        {**dict.fromkeys(rear, "spar"), "rib_a_1_right": "rib"},
        inlays=[Inlay(name, "wing") for name in (*rear, "rib_a_1_right")],
    )
    assert value(found, "slides_off") == 1.0
    note = found["joint.slides_off.main_right"].note
    assert "spar_rear_cap_upper, spar_rear_cap_lower, spar_rear_web, which run across" in note


@pytest.mark.long
def test_what_stands_outward_in_the_way_holds_it_and_what_goes_along_does_not():
    _, model, _ = sound()
    low, high = (getattr(loose_box(model.parts[PLATE]), end) for end in ("low", "high"))
    x, z = (low[0] + high[0]) / 2, (low[2] + high[2]) / 2
    hook = box((x - 9.0, 2300.0, z - 9.0), (x + 9.0, 5000.0, z + 9.0))
    found = said({"hook": hook}, {"hook": "leg"})
    assert "is barred by hook" in found["joint.slides_off.main_right"].note
    pod = box((x - 9.0, 4600.0, z - 9.0), (x + 9.0, 5000.0, z + 9.0))
    assert value(said({"pod": pod}, {"pod": "leg"}), "slides_off") == 0.0


def test_a_skin_in_one_piece_holds_the_wing():
    found = said({"wing": skin(-4500.0, 4500.0)}, {"wing": "wing"}, without=SKINS)
    for hand in ("right", "left"):
        assert value(found, "skin_gap", hand) == 0.0
        assert "not parted there: wing" in found[f"joint.skin_gap.main_{hand}"].note
        assert "wing, which runs across" in found[f"joint.slides_off.main_{hand}"].note
        assert value(found, "slides_off", hand) >= 1.0


def test_a_skin_parted_too_narrowly_on_one_side():
    """By hand: the plane is at BL 2500, the inner part ends at 2499, the outer one at 2499.2."""
    found = said({"wing_outer_right": skin(2499.2, 4500.0)})
    assert value(found, "skin_gap") == pytest.approx(0.2, abs=1e-4)
    assert value(found, "skin_gap", "left") == pytest.approx(2.0, abs=1e-4)
    limits = {t.id: t for one in WING_JOINTS for t in one.targets(sound()[0])}
    asked = [limits[f"joint.skin_gap.main_{hand}"] for hand in ("right", "left")]
    verdicts = [c.verdict for c in judge(found.values(), asked) if "skin_gap" in c.id]
    assert verdicts == ["fail", "pass"]


def test_the_outer_skin_must_pass_what_stands_outward_of_it():
    """What reaches over the outer skin from inboard lets it off, unless it comes down behind it."""
    over = box((1500.0, 2400.0, 1451.0), (1520.0, 4700.0, 1460.0))
    down = box((1500.0, 4600.0, 1440.0), (1520.0, 4700.0, 1460.0))
    hook = fuse([over, down], "boom_right", "hook")
    for solid, bars in ((over, 0.0), (hook, 1.0)):
        found = said({"boom_right": solid}, {"boom_right": "boom"})
        assert value(found, "slides_off") == bars
    note = found["joint.slides_off.main_right"].note
    assert "wing_outer_right is barred by boom_right" in note


def test_a_pin_needs_one_free_way():
    """Behind the fore web of a box stands the aft one: the pins come out forward alone."""
    _, model, _ = sound()
    at = loose_box(model.parts[PIN])
    y, z = (at.low[1] + at.high[1]) / 2, (at.low[2] + at.high[2]) / 2
    behind, ahead = (
        said({"tank_a": box((x, y - 4.0, z - 4.0), (x + 30.0, y + 4.0, z + 4.0))},
             {"tank_a": "tank"})
        for x in (2300.0, 1300.0)
    )  # fmt: skip
    assert value(behind, "pins_out") == 0.0
    note = behind["joint.pins_out.main_right"].note
    assert f"{PIN} forward" in note
    assert f"{PIN} aft" not in note
    assert value(ahead, "pins_out") == 1.0
    assert "is barred by" in ahead["joint.pins_out.main_right"].where


def test_on_meshes_coarser_than_contact_no_way_is_sure():
    found = said(off=0.2)
    limits = {t.id: t for one in WING_JOINTS for t in one.targets(sound()[0])}
    for figure in ("slides_off", "pins_out"):
        one = found[f"joint.{figure}.main_right"]
        assert (one.value, one.error_bound) == (0.0, 1.0)
        assert "output.mesh_tolerance" in one.note
        (check,) = judge([one], [limits[one.id]])
        assert check.verdict == "warn"


@pytest.mark.long
def test_each_fin_comes_off_along_its_own_spar():
    p = jointed(
        {"at": "400 mm", "plate_depth": "24 mm", "plate_length": "90 mm", "overlap": "40 mm",
         "pin_diameter": "3 mm", "pin_pitch": "10 mm", "pin_pitch_along": "50 mm",
         "plate_thickness": "1.5 mm"},
        rows=[{"of": "fin"}], of="fin", name="x_outer", start="100 mm", end="700 mm",
        width="25 mm", cap_height="3 mm", web="2 mm", skin="1 mm",
    )  # fmt: skip
    model = model_of(p)
    bodies = bodies_of(model, meshes_of(model, 0.1))
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    for q in PIN_JOINTS.ask(model, boxes):
        rows = q.ask(Given(bodies={name: bodies[name] for name in q.bodies}))
        found = {row["id"]: row for row in rows}
        for figure, row in found.items():
            if "slides_off" in figure:
                assert row["value"] == 0.0
                hand = figure.rpartition("_")[2]
                other = {"left": "right", "right": "left"}[hand]
                assert f"joint_plate_x_outer_outer_2_{hand}" in row["note"]
                assert f"_{other}" not in row["note"]
                assert f"joint_plate_x_outer_inner_1_{hand}" not in row["note"]
            elif "holes" in figure:
                assert row["value"] == pytest.approx(0.0, abs=1e-4)
