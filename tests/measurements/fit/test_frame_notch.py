"""Stringers in the notches of a frame: the room beyond the clearance, and strips too broad."""

import pytest
from framed_pods import frame, framed, model_of, pod_of, stringer
from surveyed_models import meshes_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import regions
from geomgen.measurements.fit import frame_notch
from geomgen.measurements.fit.frame_fit import FRAME_FIT
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

NAME = "stringer_strip"


def room(told, built):
    """Return what is said of the notch made for one strip when another one passes it."""
    ring = frame(width="60 mm", tilt="-12 deg")
    model = model_of(
        pod_of(ring, stringer(mirrored=False, **told)),
        **{NAME: framed(pod_of(ring, stringer(mirrored=False, **built)))[NAME].solid},
    )
    bodies = bodies_of(model, meshes_of(model, 1.0))
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    (asked,) = [q for q in FRAME_FIT.ask(model, boxes) if q.name.startswith("frame.notch")]
    answers = {asked.name: asked.ask(Given(bodies=bodies))}
    (found,) = FRAME_FIT.say(Answered(model, list(model.parts), answers))
    return found


@pytest.mark.parametrize(
    ("told", "wide", "least"),
    [
        pytest.param({}, "20.4 mm", -0.2, marks=pytest.mark.long),
        # Five millimetres into both walls, where no room was asked for.
        ({"notch_clearance": "0 mm"}, "30 mm", -5.0),
    ],
)
def test_a_stringer_too_broad_for_its_notch_is_found(told, wide, least):
    found = room(told, {"width": wide})
    assert found.value == pytest.approx(least, abs=0.1)
    assert found.part == f"frame_one, {NAME}"


def test_sections_told_by_the_mesh_are_those_of_the_kernels_cut(monkeypatch):
    """At a coarse mesh, whose chords sag too much, the kernel's cut is asked for."""
    model = model_of(pod_of(frame(width="60 mm"), stringer(mirrored=False)))
    middle, asked = at_station(1003.0), []
    monkeypatch.setattr(frame_notch, "regions", lambda *a: asked.append(a[2]) or regions(*a))
    for tolerance, cut in ((0.1, []), (2.0, ["frame_one"])):
        bodies = bodies_of(model, meshes_of(model, tolerance))
        for name in ("frame_one", NAME):
            found = frame_notch._section(middle, bodies[name], name)
            (exact,) = regions(middle, model.parts[name], name, 0.002)
            assert found.hausdorff_distance(exact.polygon()) < frame_notch.CHORD
        assert asked == cut
