"""A frame whose solid is not the sheet of its table: thicker, leaning the other way, moved."""

from dataclasses import replace

import pytest
from framed_pods import frame, framed, model_of, pod_of
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import moved
from geomgen.measurements.fit.sheet_place import SHEET, SHEET_PLACE
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

LEANING = {"width": "60 mm", "tilt": "15 deg"}


@pytest.fixture(scope="module")
def model():
    whole = model_of(pod_of(frame(**LEANING)))
    return replace(whole, parts={"frame_one": whole.parts["frame_one"]})


def off(model, solid):
    model = replace(model, parts={"frame_one": solid})
    bodies = bodies_of(model, meshes_of(model, 1.0))
    (asked,) = SHEET_PLACE.ask(model, {"frame_one": loose_box(solid)})
    answers = {asked.name: asked.ask(Given(bodies=bodies))}
    (found,) = SHEET_PLACE.say(Answered(model, ["frame_one"], answers))
    return found.value


def test_a_sheet_lies_between_its_planes(model):
    assert off(model, model.parts["frame_one"]) < 0.001


@pytest.mark.parametrize(
    ("wrong", "by"),
    [({"thickness": "9 mm"}, 3.0), ({"thickness": "2 mm"}, 4.0)],
)
def test_a_sheet_of_another_thickness_is_off_by_the_difference(model, wrong, by):
    other = framed(pod_of(frame(**{**LEANING, **wrong})))["frame_one"].solid
    assert off(model, other) == pytest.approx(by, abs=0.001)


def test_a_sheet_that_leans_the_other_way_is_far_off(model):
    other = framed(pod_of(frame(**{**LEANING, "tilt": "-15 deg"})))["frame_one"].solid
    assert off(model, other) > 100.0


def test_a_sheet_moved_fore_or_aft_is_off_square_to_it(model):
    for by in (-2.0, 2.0):
        aside = moved(model.parts["frame_one"], (by, 0.0, 0.0))
        assert off(model, aside) == pytest.approx(2.0 * 0.96593, abs=0.001)


def test_a_front_face_that_is_off_by_rounding_is_told_without_a_sign(model):
    answer = {"off": 1e-9, "faces": [-1e-9, 6.0], "at": [0.0, 0.0, 0.0]}
    (found,) = SHEET_PLACE.say(Answered(model, ["frame_one"], {f"{SHEET}.frame_one": answer}))
    assert found.note.startswith("it reaches from 0.00 to 6.00 mm")


@pytest.mark.parametrize("by", [-2.0, 2.0])
def test_a_half_frame_cut_off_elsewhere_is_off_by_so_much(by):
    """Also with its faces where they belong: a saw set to the wrong mark."""
    whole = model_of(pod_of(frame(top="700 mm")))
    model = replace(whole, parts={"frame_one": whole.parts["frame_one"]})
    other = framed(pod_of(frame(top=f"{700 + by} mm")))["frame_one"].solid
    assert off(model, model.parts["frame_one"]) < 0.001
    assert off(model, other) == pytest.approx(2.0, abs=0.001)
