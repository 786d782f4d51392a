"""Frames in the pod: the gap as it is measured, and frames that are built wrongly."""

from dataclasses import replace

import pytest
from framed_pods import frame, framed, model_of, pod_of, stringer
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import moved
from geomgen.kernel.plain import Plane, vec
from geomgen.measurements.fit.frame_fit import FRAME_FIT
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

# The edge is measured on the solids: meshes need not be fine [mm].
COARSE = 1.0
LEANING = {"width": "60 mm", "gap": "0.8 mm", "tilt": "-12 deg"}


def said(model, only=""):
    """Return what is said of a model's frames, asked only what begins with `only`."""
    bodies = bodies_of(model, meshes_of(model, COARSE))
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    asked = [q for q in FRAME_FIT.ask(model, boxes) if q.name.startswith(only)]
    answers = {
        q.name: q.ask(Given(bodies={name: bodies[name] for name in q.bodies})) for q in asked
    }
    return {m.id: m for m in FRAME_FIT.say(Answered(model, list(model.parts), answers))}


def test_frames_that_fit_have_their_gap_and_their_notches_the_clearance():
    model = model_of(pod_of(frame(**LEANING), stringer(), taper=0.4))
    found = said(model)
    edge, notch = found["frame.fit.frame_one"], found["frame.notch.frame_one"]
    assert edge.value < 0.1
    assert "stated 0.8 mm" in edge.note
    assert notch.value == pytest.approx(0.0, abs=0.03)


@pytest.mark.parametrize(
    ("wrong", "off"),
    [
        pytest.param({"gap": "0 mm"}, 0.8, marks=pytest.mark.long),
        pytest.param({"gap": "3.8 mm"}, 3.0, marks=pytest.mark.long),
    ],
)
def test_a_sheet_cut_to_another_gap_is_off_by_so_much(wrong, off):
    p = pod_of(frame(**LEANING), taper=0.4)
    other = framed(pod_of(frame(**{**LEANING, **wrong}), taper=0.4))["frame_one"].solid
    edge = said(model_of(p, frame_one=other))["frame.fit.frame_one"]
    assert edge.value == pytest.approx(off, abs=0.1)


@pytest.mark.long
def test_a_skin_that_was_forgotten_is_found():
    p = pod_of(frame(**LEANING), taper=0.4)
    thick = p.model_copy(update={"pod": p.pod.model_copy(update={"wall": 6.0})})
    model = model_of(p)
    forgotten = replace(model, parts={**model.parts, "pod": model_of(thick).parts["pod"]})
    assert said(forgotten)["frame.fit.frame_one"].value == pytest.approx(2.0, abs=0.1)


def test_a_sheet_put_in_to_one_side_is_found():
    model = model_of(pod_of(frame(**LEANING), taper=0.4))
    aside = moved(model.parts["frame_one"], (0.0, 1.5, 0.0))
    shifted = said(replace(model, parts={**model.parts, "frame_one": aside}))
    assert shifted["frame.fit.frame_one"].value == pytest.approx(1.5, abs=0.1)


@pytest.mark.long
def test_a_sheet_that_leans_the_other_way_is_not_where_the_file_has_it():
    model = model_of(pod_of(frame(**LEANING), taper=0.4))
    sheet = model.sheets["frame_one"]
    a, _, c = sheet.plane.normal
    turned = replace(
        sheet,
        plane=Plane(sheet.plane.origin, (a, 0.0, -c)),
        up=vec((-sheet.up[0], 0.0, sheet.up[2])),
    )
    edge = said(replace(model, sheets={"frame_one": turned}))["frame.fit.frame_one"]
    assert edge.value is None or edge.value > 10.0


def test_a_sheet_that_is_mostly_out_of_the_pod_is_not_measured():
    model = model_of(pod_of(frame(width="60 mm")))
    out = moved(model.parts["frame_one"], (0.0, 400.0, 0.0))
    found = said(replace(model, parts={**model.parts, "frame_one": out}))["frame.fit.frame_one"]
    assert found.value is None
    assert "no inner skin stands round" in found.note
