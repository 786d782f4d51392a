"""What is asked about wing, tailplane and pod: by family, whatever a joint made of them."""

import pytest
from meshed_bodies import body
from reference.test_wing_area import flat_wing, trapezoid
from surveyed_models import model_of

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.measurements.planform_questions import PLANFORMS
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered


def asked(parts, **more):
    """Return which bodies each question names, and what is said."""
    model = model_of(parts, **more)
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    bodies = {name: body(solid) for name, solid in parts.items()}
    every = list(PLANFORMS.ask(model, boxes))
    answers = {q.name: from_text(text_of(q.ask(Given(bodies=bodies)))) for q in every}
    found = PLANFORMS.say(Answered(model, list(parts), answers))
    return {q.name: q.bodies for q in every}, {m.id: m for m in found}


def test_each_surface_names_itself_and_what_it_may_be_trimmed_to() -> None:
    parts = {
        "pod": box((-800.0, -300.0, -900.0), (2000.0, 300.0, -200.0)),
        "wing": trapezoid(),
        "boom_right": box((1200.0, 700.0, -40.0), (5000.0, 780.0, 40.0)),
        "tailplane": flat_wing([(-690.0, 4400.0, 500.0), (690.0, 4400.0, 500.0)]),
        "wheel_nose": box((0.0, -50.0, -1200.0), (300.0, 50.0, -900.0)),
    }
    bodies, said = asked(parts, joint_gap=12.0)
    assert bodies == {
        "planform of the wing": ("wing", "boom_right"),
        "planform of the tailplane": ("tailplane", "boom_right"),
        "breadths of the pod": ("pod",),
    }
    assert list(said) == ["wing.mean_aerodynamic_chord", "tailplane.planform", "pod.breadths"]
    assert said["pod.breadths"].value == pytest.approx(600.0)
    assert said["tailplane.planform"].value == pytest.approx(1380.0 * 500.0, rel=0.01)


def test_without_a_tailplane_nothing_is_said_of_one() -> None:
    bodies, said = asked({"wing": trapezoid()})
    assert list(bodies) == ["planform of the wing"]
    assert list(said) == ["wing.mean_aerodynamic_chord"]


def test_a_wider_joint_is_another_question() -> None:
    parts = {"wing": trapezoid()}
    boxes = {"wing": loose_box(parts["wing"])}
    plain = [
        next(iter(PLANFORMS.ask(model_of(parts, joint_gap=gap), boxes))).plain for gap in (0.3, 2.0)
    ]
    assert plain[0] != plain[1]
