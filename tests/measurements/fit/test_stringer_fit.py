"""Stringers along the skin: the gap as it is measured, and strips that lie elsewhere."""

from dataclasses import replace

import pytest
from framed_pods import MIDDLE, model_of, pod_of, stringer
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import moved, turned
from geomgen.kernel.plain import vec
from geomgen.measurements.fit.stringer_fit import STRINGER_FIT
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

NAME = "stringer_strip"


@pytest.fixture(scope="module")
def model():
    return model_of(pod_of(stringer(mirrored=False, gap="0.8 mm"), taper=0.4))


def fit(model, solid):
    model = replace(model, parts={**model.parts, NAME: solid})
    boxes = {name: loose_box(part) for name, part in model.parts.items()}
    (asked,) = STRINGER_FIT.ask(model, boxes)
    answer = asked.ask(Given(bodies=bodies_of(model, meshes_of(model, 1.0))))
    (found,) = STRINGER_FIT.say(Answered(model, list(model.parts), {asked.name: answer}))
    return found


def test_a_strip_lies_along_the_skin_with_its_gap(model):
    found = fit(model, model.parts[NAME])
    assert found.value < 0.05
    assert "stated 0.8 mm" in found.note


@pytest.mark.parametrize(
    ("by", "least"),
    [
        ((0.0, -1.0, 0.0), 0.9),
        ((0.0, 0.6, 0.0), 0.5),
        # Right outside of a skin of 4 mm, with the same gap to its outer side.
        ((0.0, 4.0 + 12.0 + 1.6, 0.0), 12.0),
        ((0.0, 0.0, 900.0), 400.0),
    ],
)
def test_a_strip_off_its_place_is_off_by_so_much(model, by, least):
    assert fit(model, moved(model.parts[NAME], by)).value > least


def test_a_strip_that_is_twisted_on_one_edge_is_found(model):
    low = fit(model, model.parts[NAME]).points[0]
    edge = (low[0], low[1], MIDDLE - 10.0)
    back = moved(model.parts[NAME], vec([-c for c in edge]))
    twisted = turned(back, (1.0, 0.0, 0.0), 8.0, edge)
    assert fit(model, twisted).value > 1.0
