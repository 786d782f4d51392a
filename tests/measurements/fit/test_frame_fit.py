"""Frames in the pod: the gap as it is measured, and frames that are built wrongly."""

from dataclasses import replace

import numpy as np
import pytest
from framed_pods import frame, framed, model_of, pod_of, stringer
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.interference.meeting import FirstBody
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Plane, vec
from geomgen.kernel.plane_frame import at_station
from geomgen.measurements.fit.frame_fit import FRAME_FIT, _edge, _on_contour
from geomgen.measurements.fit.stringer_fit import _fit
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
    "question", [_edge("one", None, ("pod",), (), {"pod": 0.8}), _fit("one", ("pod",), 0.5)]
)
def test_what_lies_in_a_pod_known_by_its_mesh_waits_before_anything_is_cut(question):
    """Of the frame and of the stringer nothing is there that could be cut."""
    mesh = meshed(box((0, 0, 0), (40, 30, 20)), COARSE).mesh
    pod = FirstBody(MeshPart(mesh.vertices, mesh.triangles, COARSE))
    with pytest.raises(ExactDueError):
        question.ask(Given(bodies={"one": None, "pod": pod}))


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


SIDE = {"width": "50 mm", "top": "950 mm", "bottom": "650 mm"}
LEVEL = at_station(0.0)


@pytest.mark.parametrize(
    "fields",
    [pytest.param({"top": "700 mm", "width": "50 mm"}, marks=pytest.mark.long), SIDE],
)
def test_a_half_frame_is_measured_along_the_pod_and_not_at_its_ends(fields):
    found = said(model_of(pod_of(frame(**fields), taper=0.4)), "frame.fit")
    assert found
    for edge in found.values():
        assert edge.value < 0.05
        assert "have no skin" not in edge.note


@pytest.mark.long
def test_a_side_piece_cut_to_another_gap_or_put_in_aside_is_off_by_so_much():
    p = pod_of(frame(**SIDE), taper=0.4)
    other = framed(pod_of(frame(**SIDE, gap="2 mm"), taper=0.4))["frame_one_right"].solid
    model = model_of(p, frame_one_right=other)
    aside = moved(model.parts["frame_one_left"], (0.0, 1.0, 0.0))
    found = said(replace(model, parts={**model.parts, "frame_one_left": aside}), "frame.fit")
    assert found["frame.fit.frame_one_right"].value == pytest.approx(1.5, abs=0.1)
    assert found["frame.fit.frame_one_left"].value == pytest.approx(1.0, abs=0.1)


def test_the_runs_of_an_outline_along_the_pod_are_told_from_its_inside():
    """A U cut off above, a deck cut off below, a band, a right-hand piece, of straight lines."""
    up, down = (Plane((0.0, 0.0, z), (0.0, 0.0, way)) for z, way in ((2.0, 1.0), (0.0, -1.0)))
    u = [(-3, 2), (-3, -3), (3, -3), (3, 2), (2, 2), (2, -2), (-2, -2), (-2, 2)]
    deck = [(3, 0), (3, 4), (-3, 4), (-3, 0), (-2, 0), (-2, 3), (2, 3), (2, 0)]
    band = [(3, 0), (4, 1), (3, 2), (-3, 2), (-4, 1), (-3, 0)]
    right = [(3, 0), (4, 1), (3, 2), (2, 2), (3, 1), (2, 0)]
    for ring, ends, kept in (
        (u, (up,), {(-3, -3), (3, -3)}),
        (deck, (down,), {(3, 4), (-3, 4)}),
        (band, (up, down), {(4, 1), (-4, 1)}),
        (right, (up, down), {(4, 1)}),
    ):
        points = np.array(ring, dtype=float)
        found = points[_on_contour(points, LEVEL, ends)]
        assert {tuple(map(int, point)) for point in found} == kept
