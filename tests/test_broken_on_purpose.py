"""Each thing broken on purpose is caught by the check that should catch it."""

from dataclasses import replace

import pytest
from asking import propeller_figures
from one_look import ducts, exits, inlets, interference

from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.measurements.firewall.sheet import firewall
from geomgen.measurements.fit.bank_angle import BANK
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of
from geomgen.sizing.targets import conversions, figures
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge

TOLERANCE = 0.1


def with_parts(model, **parts):
    return replace(model, parts={**model.parts, **parts})


def verdicts(parameters, measurements):
    found = converted(measurements, conversions(parameters))
    return {check.id: check for check in judge(found, figures(parameters))}


@pytest.fixture(scope="module")
def bodies(saltmarsh_model, saltmarsh_meshes):
    return bodies_of(saltmarsh_model, saltmarsh_meshes)


def body(solid):
    made = meshed(solid, TOLERANCE)
    return body_of(solid, made.mesh, made.deviation.largest)


def test_passage_that_does_not_reach_the_bay(saltmarsh, saltmarsh_model, bodies) -> None:
    """The hull is left closed where the passage should go through its wall."""
    from geomgen.shapes.hull import hull, pod_lines

    closed = hull(saltmarsh, pod_lines(saltmarsh)).solid
    broken = with_parts(saltmarsh_model, pod=closed)
    passage = broken.passages[0]
    found = ducts(replace(broken, passages=[passage]), {**bodies, "pod": body(closed)})
    throat = next(m for m in found if m.id.startswith("duct.throat_area"))
    assert throat.broken
    assert throat.value is None
    assert "does not reach the bay" in throat.note or "shut" in throat.note
    checks = verdicts(saltmarsh, found)
    assert checks[f"duct.throat_area.{passage.name}"].verdict == "fail"


def test_mouth_closed_by_the_firewall(saltmarsh, saltmarsh_model) -> None:
    """The sheet reaches out of the hull and stands across the mouths."""
    at = saltmarsh_model.passages[0].mouth.plane.origin[0]
    sheet = box((at - 5.0, -600.0, 300.0), (at + 5.0, 600.0, 1300.0))
    found = inlets(with_parts(saltmarsh_model, firewall=sheet))
    total = found[0]
    assert total.id == "inlet.area"
    assert total.broken
    assert total.value is None
    assert "blocked by firewall" in total.note
    assert verdicts(saltmarsh, found)["inlet.area"].verdict == "fail"


def test_firewall_five_millimetres_too_small(saltmarsh, saltmarsh_model) -> None:
    from geomgen.shapes.firewall import firewall as make
    from geomgen.shapes.hull import pod_lines

    small = saltmarsh.model_copy(
        update={"firewall": saltmarsh.firewall.model_copy(update={"gap": 5.0})}
    )
    sheet = make(small, pod_lines(small)).solid
    found = firewall(with_parts(saltmarsh_model, firewall=sheet))
    slit = next(m for m in found if m.id == "firewall.edge_gap")
    # Along the sheet's plane the slit is a little wider than square to the hull's slanting wall.
    assert slit.value is not None
    assert 5.0 <= slit.value < 5.25
    assert verdicts(saltmarsh, found)["firewall.edge_gap"].verdict == "fail"


def test_boom_through_the_disc(saltmarsh, saltmarsh_model, bodies) -> None:
    """A boom moved inward by 250 mm meets the blades; depth and place are told."""
    boom = moved(saltmarsh_model.parts["boom_right"], (0.0, -250.0, 0.0))
    broken = with_parts(saltmarsh_model, boom_right=boom)
    found = propeller_figures(broken, {**bodies, "boom_right": body(boom)})
    before = propeller_figures(saltmarsh_model, bodies)
    clearances = ("prop.radial_clearance", "prop.axial_clearance", "prop.clearance")
    for name in clearances:
        assert before[name].value > 0
        assert found[name].value < 0
    near = {name: bodies[name] for name in ("prop_disc", "pod", "exit", "spinner")}
    meeting = interference({**near, "boom_right": body(boom)})
    assert meeting.value is not None
    # The boom grazes the rim: as deep as the blades' room to it is negative.
    assert meeting.value == pytest.approx(
        found["prop.radial_clearance"].value, abs=meeting.error_bound
    )
    assert "prop_disc" in meeting.note
    assert "boom_right" in meeting.note
    checks = verdicts(saltmarsh, [*found.values(), meeting])
    for name in (*clearances, "parts.interference"):
        assert checks[name].verdict == "fail"


def test_undeclared_joint_is_reported_with_its_depth(saltmarsh) -> None:
    """Without its joint the wing runs into the booms."""
    from geomgen.shapes.booms import booms
    from geomgen.shapes.lifting import wing

    untrimmed = {piece.name: piece.solid for piece in (wing(saltmarsh), booms(saltmarsh)[0])}
    meeting = interference({name: body(solid) for name, solid in untrimmed.items()})
    assert meeting.value is not None
    assert meeting.value < -5.0


def test_exit_shut_by_the_fairing(saltmarsh, saltmarsh_model) -> None:
    plug = box((2700.0, -300.0, 400.0), (3020.0, 300.0, 1200.0))
    found = exits(with_parts(saltmarsh_model, tail_fairing=plug))
    assert found[0].broken
    assert "blocked by tail_fairing" in found[0].note


def test_whole_scoop_in_the_wrong_place_is_found(saltmarsh, saltmarsh_model) -> None:
    """The scoop solid 120 mm too far up: the mouth is not where the air is led from."""
    name = saltmarsh_model.passages[0].name
    off = moved(saltmarsh_model.parts[name], (0.0, 0.0, 120.0))
    found = inlets(with_parts(saltmarsh_model, **{name: off}))
    each = next(m for m in found if m.id == f"inlet.area.{name}")
    assert each.broken or verdicts(saltmarsh, found)[each.id].verdict == "fail"


def banks(model, bodies):
    questions = BANK.ask(model, dict.fromkeys(bodies))
    answers = {q.name: q.ask(Given(bodies=bodies)) for q in questions}
    return BANK.say(Answered(model, list(bodies), answers))


@pytest.mark.parametrize(("down", "due"), [(0.0, "pass"), (1150.0, "fail"), (1450.0, "fail")])
def test_a_wing_that_hangs_too_low_over_a_flat_tyre(
    saltmarsh, saltmarsh_model, bodies, down, due
) -> None:
    """Sunk by 1.45 m it is in the ground before it banks."""
    wing = body(moved(saltmarsh_model.parts["wing"], (0.0, 0.0, -down))) if down else bodies["wing"]
    found = banks(saltmarsh_model, {**bodies, "wing": wing})
    checks = verdicts(saltmarsh, found)
    for side in ("right", "left"):
        check = checks[f"ground.bank_angle.{side}"]
        assert (check.verdict, check.part) == (due, "wing")
        assert (check.measured <= 0.0) == (down > 1300.0)


def test_a_machine_that_leans_on_one_short_leg_banks_less_to_that_side(
    saltmarsh_model, bodies
) -> None:
    short = replace(saltmarsh_model, struts=[
        replace(s, flat=s.flat + 60.0) if s.wheel == "wheel_main_left" else s
        for s in saltmarsh_model.struts
    ])  # fmt: skip
    before, found = ({m.id: m.value for m in banks(m, bodies)} for m in (saltmarsh_model, short))
    assert found["ground.bank_angle.right"] == before["ground.bank_angle.right"]
    assert found["ground.bank_angle.left"] < before["ground.bank_angle.left"] - 1.0
