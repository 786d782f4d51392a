"""Wrong fittings, controls and ways of a hand that the checks must not pass; truths by hand.

What they do not see: nuts and tools, parts that bend, cables that sag, whether a plate or what it
stands on is strong enough, openings for what a run is told to pass through.
"""

from dataclasses import replace
from functools import cache

import pytest
import trimesh
from framed_pods import MIDDLE, frame, framed, pod_of
from surveyed_models import meshes_of, surveyed

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Inlay, vec
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.attachments.controls import CONTROLS
from geomgen.measurements.attachments.fittings import FITTINGS
from geomgen.measurements.fit.questions import MEETINGS
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of
from geomgen.parameters.records.structure.attachments import (
    BoltedFitting,
    ControlRoom,
    HandAccess,
)
from geomgen.shapes.framing.fittings import bolted_plates, fittings, inside_others
from geomgen.shapes.framing.published import sheets
from geomgen.shapes.framing.room import hand_ways, kept_free

OPENING = {"use": "controls", "waterline": "800 mm", "diameter": "120 mm"}
PLATE = {
    "name": "belt", "use": "belt", "on": "frame_one", "side": "aft", "buttock_line": "150 mm",
    "waterline": "800 mm", "width": "80 mm", "height": "60 mm", "thickness": "4 mm",
    "gap": "0.3 mm", "bolts": {"diameter": "6 mm", "pitch": "50 mm", "row_pitch": "30 mm"},
}  # fmt: skip


def pod(*rows, controls=None, access=(), **leaning):
    p = pod_of(frame(OPENING, **leaning))
    return p.model_copy(
        update={
            "fittings": tuple(BoltedFitting.model_validate({**PLATE, **row}) for row in rows),
            "controls": None if controls is None else ControlRoom.model_validate(controls),
            "access": tuple(HandAccess.model_validate(row) for row in access),
        }
    )


@cache
def sheet(tilt="0 deg"):
    return framed(pod(tilt=tilt))["frame_one"].solid


def model_of(p, tilt="0 deg", **others):
    made = {piece.name: piece.solid for piece in fittings(p)}
    parts = {"frame_one": sheet(tilt), **made, **others}
    return Model(
        parts=parts, families={name: name.split("_")[0] for name in parts},
        sheets=sheets(p), bolted=bolted_plates(p), kept_free=kept_free(p), hand_ways=hand_ways(p),
    )  # fmt: skip


def said(model):
    bodies = bodies_of(model, meshes_of(model, 0.5))
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    found = {}
    for subject in (FITTINGS, CONTROLS):
        answers = {
            q.name: q.ask(Given(bodies={name: bodies[name] for name in q.bodies}))
            for q in subject.ask(model, boxes)
        }
        found |= {m.id: m for m in subject.say(Answered(model, list(model.parts), answers))}
    return found


def figures(model, short="belt"):
    found = said(model)
    return [found[f"structure.{name}.{short}"] for name in ("on_structure", "backed",
                                                            "edge_distance")]  # fmt: skip


@pytest.mark.parametrize("tilt", ["0 deg", "-12 deg"])
def test_a_fitting_on_its_frame(tilt):
    on, backed, edge = figures(model_of(pod({}, tilt=tilt), tilt))
    assert on.value == pytest.approx(0.3, abs=1e-4)
    assert on.part == "fitting_belt, frame_one"
    assert backed.value == 1.0
    # Half of 80 less half of 50, half of 60 less half of 30: 15 mm both, of bolts of 6 mm.
    assert edge.value == pytest.approx(15 / 6, abs=0.01)


def test_a_fitting_5_mm_beside_its_frame_is_on_nothing():
    model = model_of(pod({}))
    aside = moved(model.parts["fitting_belt"], (5.0, 0.0, 0.0))
    plate = model.bolted["fitting_belt"]
    off = replace(plate, plane=replace(plate.plane, origin=vec(
        [plate.plane.origin[0] + 5.0, *plate.plane.origin[1:]])))  # fmt: skip
    wrong = replace(
        model, parts={**model.parts, "fitting_belt": aside}, bolted={"fitting_belt": off}
    )
    on, backed, edge = figures(wrong)
    assert on.value == pytest.approx(5.3, abs=1e-4)
    assert backed.value == 0.0
    assert edge.value == 0.0


def test_a_fitting_that_is_not_where_the_file_has_it_is_not_measured():
    model = model_of(pod({}))
    aside = moved(model.parts["fitting_belt"], (5.0, 0.0, 0.0))
    on = said(replace(model, parts={**model.parts, "fitting_belt": aside}))
    assert {m.value for m in on.values()} == {None}


def test_a_fitting_sunk_into_its_frame():
    model = model_of(pod({"on": None, "station": "1004 mm", "gap": "0 mm"}))
    on, backed, _ = figures(model)
    assert on.value == pytest.approx(-2.0, abs=0.1)
    assert backed.value == 0.0


def test_a_fitting_half_over_the_opening():
    """The opening's edge is at BL 60; a plate 80 wide about BL 60 has its inner half over it."""
    on, backed, edge = figures(model_of(pod({"buttock_line": "60 mm", "height": "10 mm", "bolts": {
        "diameter": "3 mm", "rows": 1, "pitch": "50 mm"}})))  # fmt: skip
    assert on.value == pytest.approx(0.3, abs=1e-4)
    assert backed.value == pytest.approx(0.5, abs=0.03)
    assert backed.value - backed.error_bound < 0.52
    assert edge.value == 0.0


def test_bolts_near_the_opening():
    """The inner bolt, at BL 75, is 15 mm from the opening's edge, 7.5 mm from the plate's."""
    row = {"buttock_line": "90 mm", "width": "60 mm", "height": "60 mm",
           "bolts": {"diameter": "10 mm", "rows": 1, "pitch": "30 mm"}}  # fmt: skip
    _, backed, edge = figures(model_of(pod(row)))
    assert backed.value == 1.0
    assert edge.value == pytest.approx(1.5, abs=0.05)
    assert "of what is under it 1.4" in edge.note or "of what is under it 1.5" in edge.note


def test_a_fitting_that_leans_off_its_frame_is_not_backed():
    """At 5 deg only the edge is near: backed is what lies within 0.5 mm, less than 6 mm of 60."""
    row = {"on": None, "station": f"{1006 + 30 * 0.0874} mm", "tilt": "5 deg"}
    on, backed, _ = figures(model_of(pod(row)))
    assert on.value < 0.5
    assert backed.value < 0.15


def test_mirrored_hands_stand_on_their_own_sides():
    model = model_of(pod({"mirrored": True}))
    for hand in ("right", "left"):
        on, backed, _ = figures(model, f"belt_{hand}")
        assert (on.value, backed.value) == (pytest.approx(0.3, abs=1e-4), 1.0)


def rod(z, diameter="10 mm", **more):
    points = [{"station": x, "waterline": z} for x in ("700 mm", "1300 mm")]
    return {"runs": [{"name": "elevator", "diameter": diameter, "points": points, **more}]}


def test_a_rod_through_the_opening_and_one_through_the_frame():
    clear = said(model_of(pod(controls=rod("820 mm"))))["controls.room.elevator"]
    # The opening's radius 60, the rod 20 mm above its middle, 5 mm thick.
    assert clear.value == pytest.approx(35.0, abs=0.6)
    assert said(model_of(pod(controls=rod("900 mm"))))["controls.room.elevator"].value < -4.0


def test_a_rod_through_a_spar_is_found_though_it_runs_inside_the_wing():
    wing = box((600.0, -500.0, 700.0), (1400.0, 500.0, 900.0))
    spar = box((1100.0, -500.0, 705.0), (1110.0, 500.0, 895.0))
    model = model_of(pod(controls=rod("800 mm", through=["wing"])), wing=wing, spar_main_web=spar)
    found = said(model)["controls.room.elevator"]
    assert found.value < -4.0
    assert found.part == "spar_main_web"
    assert "wing" in found.note
    bored = cut(spar, [box((1090.0, -15.0, 785.0), (1120.0, 15.0, 815.0))], "spar", "hole")
    model = replace(model, parts={**model.parts, "spar_main_web": bored})
    assert said(model)["controls.room.elevator"].value == pytest.approx(10.0, abs=0.1)


def test_a_box_of_the_stick_beside_and_in_the_frame():
    stick = {"name": "stick", "length": "100 mm", "width": "100 mm", "height": "300 mm",
             "waterline": "800 mm"}  # fmt: skip
    beside = said(model_of(pod(controls={"boxes": [{**stick, "station": "888 mm"}]})))
    assert beside["controls.room.stick"].value == pytest.approx(12.0, abs=1e-3)
    within = said(model_of(pod(controls={"boxes": [{**stick, "station": "902 mm"}]})))
    assert within["controls.room.stick"].value == pytest.approx(-2.0, abs=0.6)


def reach(z=MIDDLE, **more):
    return {"name": "cock", "through": "frame_one", "start": {"station": "700 mm",
            "waterline": f"{z} mm"}, "end": {"station": "1300 mm", "waterline": f"{z} mm"},
            **more}  # fmt: skip


def test_a_hand_wider_than_the_opening():
    found = said(model_of(pod(access=[reach()])))["access.hand.cock"]
    assert found.value == pytest.approx(120.0, abs=1.1)
    aside = said(model_of(pod(access=[reach(820.0)])))["access.hand.cock"]
    assert aside.value == pytest.approx(80.0, abs=1.1)
    assert said(model_of(pod(access=[reach(900.0)])))["access.hand.cock"].value < 0.1


def test_a_way_that_leads_round_the_frame_is_no_way_through_it():
    over = said(model_of(pod(access=[reach(1300.0)])))["access.hand.cock"]
    assert over.broken
    assert "beside frame_one" in over.note
    short = reach(end={"station": "800 mm", "waterline": "800 mm"})
    assert said(model_of(pod(access=[short])))["access.hand.cock"].broken


def test_what_stands_in_the_way_of_a_hand():
    """A block 30 mm beside the line, as trimesh has it too."""
    block = box((1150.0, 30.0, 700.0), (1200.0, 90.0, 900.0))
    model = model_of(pod(access=[reach()]), tank_main=block)
    found = said(model)["access.hand.cock"]
    solid = trimesh.creation.box(bounds=[(1150.0, 30.0, 700.0), (1200.0, 90.0, 900.0)])
    line = [[x, 0.0, MIDDLE] for x in range(700, 1301, 5)]
    truth = 2 * float(trimesh.proximity.closest_point(solid, line)[1].min())
    assert found.value == pytest.approx(truth, abs=0.2)
    assert found.part == "tank_main"


def test_a_fitting_in_a_wing_is_no_meeting_with_the_wing_but_with_its_spar():
    wing = box((600.0, 100.0, 700.0), (1400.0, 500.0, 900.0))
    spar = box((900.0, 100.0, 705.0), (1000.0, 500.0, 895.0))
    row = {"on": None, "station": "1000 mm", "inside": "wing", "buttock_line": "250 mm"}
    parts = {"wing": wing, "spar_main_web": spar}

    def depth(**changed):
        p = pod({**row, **changed})
        model = model_of(p, **parts)
        model.inlays = tuple(Inlay(part, host) for part, host in inside_others(p).items())
        model.inlays += (Inlay("spar_main", "wing"),)
        del model.parts["frame_one"], model.families["frame_one"]
        assert said(model)["structure.on_structure.belt"].part == "fitting_belt, spar_main_web"
        return surveyed(model, 0.1, MEETINGS)["parts.interference"].value

    assert depth() == 0.0
    assert depth(station="997 mm") == pytest.approx(-2.7, abs=0.1)
    assert depth(inside="pod") < -4.0


def test_no_question_where_there_is_nothing():
    assert said(model_of(pod())) == {}
