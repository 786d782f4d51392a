"""Half frames whose ends come too near a wing or leave the skin: boxes whose distance is known."""

from dataclasses import replace

import pytest
from framed_pods import MIDDLE, frame, model_of, pod_of
from surveyed_models import meshes_of, surveyed

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.plain import Inlay
from geomgen.measurements.attachments.frame_ends import FRAME_ENDS
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

TOP = 700.0
COARSE = 1.0
ID, SKIN = "frame.ends.frame_one", "frame.skin_beyond.frame_one"


@pytest.fixture(scope="module")
def floor():
    return model_of(pod_of(frame(top=f"{TOP} mm", width="50 mm")))


def with_part(model, name, family, solid, **more):
    return replace(
        model,
        parts={**model.parts, name: solid},
        families={**model.families, name: family},
        **more,
    )


def with_wing(model, low, fore=900.0, aft=1200.0):
    """Return the model with a plain slab for a wing whose lower face is at a waterline [mm]."""
    slab = box((fore, -500.0, low), (aft, 500.0, low + 80.0))
    return with_part(model, "wing", "wing", slab)


@pytest.mark.parametrize("off", [3.0, 0.02, 0.0, -5.0])
def test_a_wing_over_the_ends_is_as_far_off_as_it_is(floor, off):
    found = surveyed(with_wing(floor, TOP + off), COARSE, FRAME_ENDS)[ID]
    assert found.value == pytest.approx(off, abs=0.01)
    assert found.value <= 0.0 or off > 0.0
    assert "wing is the nearest" in found.note


def test_a_wing_ahead_of_the_sheet_counts_aslant(floor):
    found = surveyed(with_wing(floor, TOP + 3.0, fore=600.0, aft=996.0), COARSE, FRAME_ENDS)[ID]
    assert found.value == pytest.approx(5.0, abs=1e-4)


def test_a_spar_under_the_wing_is_told_before_the_wing(floor):
    web = box((1001.0, -500.0, TOP + 2.0), (1004.0, 500.0, TOP + 20.0))
    model = with_part(
        with_wing(floor, TOP + 30.0), "spar_main_web", "spar", web,
        inlays=(Inlay("spar_main", "wing"),),
    )  # fmt: skip
    found = surveyed(model, COARSE, FRAME_ENDS)[ID]
    assert found.value == pytest.approx(2.0, abs=1e-4)
    assert "spar_main_web" in found.note


@pytest.mark.parametrize("sill", [TOP + 12.0, TOP - 8.0])
def test_a_skin_that_is_cut_near_the_ends_is_as_far_past_them_as_it_is(floor, sill):
    """A block with a flat top stands for the skin; less than nothing where the frame stands up."""
    block = box((900.0, -310.0, 300.0), (1100.0, 310.0, sill))
    model = replace(floor, parts={**floor.parts, "pod": block})
    found = surveyed(model, COARSE, FRAME_ENDS)[SKIN]
    assert found.value == pytest.approx(sill - TOP, abs=1e-3)


def test_a_whole_skin_goes_on_to_the_crown_and_a_whole_frame_is_not_asked(floor):
    found = surveyed(floor, COARSE, FRAME_ENDS)
    assert ID not in found
    assert found[SKIN].value == pytest.approx(MIDDLE + 400.0 - TOP, abs=2 * COARSE)
    whole = replace(floor, sheets={"frame_one": replace(floor.sheets["frame_one"], ends=())})
    assert not {ID, SKIN} & set(surveyed(whole, COARSE, FRAME_ENDS))


def test_a_frame_that_was_put_in_too_high_is_nearer_by_so_much(floor):
    model = with_wing(floor, TOP + 3.0)
    lifted = moved(model.parts["frame_one"], (0.0, 0.0, 2.0))
    model = replace(model, parts={**model.parts, "frame_one": lifted})
    assert surveyed(model, COARSE, FRAME_ENDS)[ID].value == pytest.approx(1.0, abs=1e-4)


def first_answer(model):
    bodies = bodies_of(model, meshes_of(model, COARSE))
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    (asked,) = [q for q in FRAME_ENDS.ask(model, boxes) if q.name == ID]
    rough = {name: replace(bodies[name], rough=True) for name in asked.bodies}
    answers = {ID: asked.ask(Given(bodies=rough))}
    (found,) = FRAME_ENDS.say(Answered(model, list(model.parts), answers))
    return found


def test_a_first_answer_is_bounded_and_waits_where_the_meshes_come_too_near(floor):
    far = first_answer(with_wing(floor, TOP + 15.0))
    assert far.value == pytest.approx(15.0, abs=far.error_bound)
    assert 0.0 < far.error_bound < 3 * COARSE
    with pytest.raises(ExactDueError, match="how far a half frame"):
        first_answer(with_wing(floor, TOP))
