"""A boom through the joint of two panels: the cores stop at both its sides, and it is said."""

import pytest

from geomgen.drafting.clashes import clashes
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut_pieces
from geomgen.kernel.solids.properties import kernel_box
from geomgen.shapes.lifting import wing
from geomgen.shops.hotwire_cores.package import (
    _asked,
    _filled,
    _gap_findings,
    _missing,
    _pairs,
    cores_package,
)
from geomgen.shops.wing_parts import whole_wing

# Round booms on the very station at which two panels join.
AT, RADIUS = 736.0, 60.0
# Closed form: templates pass the cut at 2 mm.
LOW, HIGH = AT - RADIUS - 2.0, AT + RADIUS + 2.0
HANDS = ("right", "left")


def stood_in(p, *, sides=(1, -1), at=AT, radius=RADIUS) -> Model:
    """Return the wing cut for round booms, and the booms."""
    booms = {
        f"boom_{'right' if side > 0 else 'left'}": cylinder(
            (0.0, side * at, waterline(p)), (1.0, 0.0, 0.0), radius, 6000.0
        )
        for side in sides
    }
    (cut,) = cut_pieces(wing(p).solid, list(booms.values()), "wing", "booms")
    return Model(parts={"wing": cut, **booms}, families=dict.fromkeys(booms, "boom"))


def waterline(p) -> float:
    made = kernel_box(wing(p).solid)
    return 0.5 * (made.low[2] + made.high[2])


@pytest.fixture(scope="module")
def parameters(variant):
    p = variant()
    root, joint, tip = p.wing.sections
    rows = (root, joint.model_copy(update={"buttock_line": AT}), tip)
    return p.model_copy(update={"wing": p.wing.model_copy(update={"sections": rows})})


@pytest.fixture(scope="module")
def model(parameters):
    return stood_in(parameters)


@pytest.fixture(scope="module")
def package(parameters, model):
    return cores_package(parameters, model)


def gaps_of(made):
    return {f.id: f for f in made.findings if f.id.startswith("core.gap")}


def gaps_alone(p, model):
    """Return the findings on gaps without the templates, which are made no other way for them."""
    asked, wing = _asked(p), whole_wing(model)
    missing = _missing(wing, model, _pairs(wing, asked, p), _filled(asked, p))
    return {f.id: f for f in _gap_findings(p, asked, missing)}


def test_without_the_templates_the_findings_are_those_of_the_package(
    package, parameters, model
) -> None:
    assert gaps_alone(parameters, model) == gaps_of(package)


def test_each_gap_is_a_warning_with_its_width_place_and_remedy(package) -> None:
    found = gaps_of(package)
    assert set(found) == {"core.gap.right.1", "core.gap.left.1"}
    for hand in HANDS:
        gap = found[f"core.gap.{hand}.1"]
        assert gap.verdict == "warn"
        assert gap.measured == pytest.approx(HIGH - LOW, abs=1e-3)
        assert gap.where == f"BL {LOW:.1f} to {HIGH:.1f} mm, {hand}"
        other = "left" if hand == "right" else "right"
        assert f"boom_{hand}" in gap.what
        assert f"boom_{other}" not in gap.what
        assert "foam sanded to the neighbouring cores" in gap.note
        assert f"move the wing section at BL {AT} mm" in gap.note


def test_the_plan_says_it_in_the_strip_and_in_the_table(package) -> None:
    for hand, side in zip(HANDS, (1, -1), strict=True):
        (plan,) = [s for s in package.sheets if s.name == f"core_plan_{hand}"]
        upright = [label for label in plan.drawing.labels if label.angle == 90.0]
        told = " ".join(label.text for label in upright)
        assert told == f"no core: BL {LOW:.0f} to {HIGH:.0f}, boom_{hand}; fill by hand"
        assert all(LOW < side * label.at[0] < HIGH for label in upright)
        words = {label.text for label in plan.drawing.labels}
        assert {f"no core: boom_{hand}", f"{LOW:.1f}", f"{HIGH:.1f}"} <= words
        assert clashes(plan.drawing) == ()


def test_only_the_templates_that_face_the_gap_say_so(package) -> None:
    facing = {
        sheet.name
        for sheet in package.sheets
        if any("Beyond this end no core" in note for note in sheet.drawing.notes)
    }
    assert facing == {
        f"core_{end}" for h in HANDS for end in (f"panel1_{h}_tip", f"panel2_{h}_root")
    }


@pytest.mark.long
def test_a_part_on_one_side_alone_leaves_a_gap_there_alone(parameters) -> None:
    found = gaps_alone(parameters, stood_in(parameters, sides=(-1,)))
    assert set(found) == {"core.gap.left.1"}


def test_a_part_at_the_wings_end_and_at_its_root_leaves_gaps_too(variant) -> None:
    """No moulded tip: a round body about the wing's end; a pod in the middle of a wing in one."""
    p = in_one(variant())
    handoff = p.handoff.model_copy(update={"moulds": ()})
    p = p.model_copy(update={"handoff": handoff})
    end = p.wing.sections[-1].buttock_line
    whole = wing(p).solid
    middle = waterline(p)
    pod = cylinder((0.0, 0.0, middle - 60.0), (1.0, 0.0, 0.0), 80.0, 6000.0)
    body = box((1500.0, end - 50.0, 0.0), (1600.0, end + 50.0, 3000.0))
    (cut,) = cut_pieces(whole, [pod, body], "wing", "ends")
    found = gaps_alone(p, Model(parts={"wing": cut, "pod": pod, "tank": body}))
    assert set(found) == {"core.gap.right.1", "core.gap.right.2", "core.gap.left.1"}
    assert "tank" in found["core.gap.right.2"].what
    assert found["core.gap.right.2"].measured == pytest.approx(52.0, abs=1e-3)
    for hand in HANDS:
        root = found[f"core.gap.{hand}.1"]
        assert "pod" in root.what
        assert "move" not in root.note


def in_one(p):
    """Return parameters of a wing of one panel a side."""
    root, _, tip = p.wing.sections
    return p.model_copy(update={"wing": p.wing.model_copy(update={"sections": (root, tip)})})


def test_a_moulded_tip_and_a_boom_within_a_panel_leave_no_gap(variant) -> None:
    p = in_one(variant())
    made = cores_package(p, stood_in(p))
    assert gaps_of(made) == {}
    assert {f.id for f in made.findings if f.verdict == "warn"} == {
        f"core.notch.panel1_{hand}.1" for hand in HANDS
    }


@pytest.mark.long
def test_beside_a_pod_that_takes_the_wings_middle_no_section_is_to_be_moved(variant) -> None:
    """Nothing is left to BL 200 mm, nose and tail to BL 300; a section lies between."""
    p = variant()
    root, joint, tip = p.wing.sections
    rows = (root, joint.model_copy(update={"buttock_line": 250.0}), tip)
    p = p.model_copy(update={"wing": p.wing.model_copy(update={"sections": rows})})
    pod = [
        box((-100.0, -200.0, -100.0), (9000.0, 200.0, 3000.0)),
        box((1200.0, -300.0, -100.0), (1700.0, 300.0, 3000.0)),
    ]
    left, right = sorted(
        cut_pieces(wing(p).solid, pod, "wing", "pod"), key=lambda s: kernel_box(s).low[1]
    )
    halves = {"wing_right": right, "wing_left": left}
    model = Model(parts={**halves, "pod": pod[1]}, families=dict.fromkeys(halves, "wing"))
    found = gaps_alone(p, model)
    assert set(found) == {"core.gap.right.1", "core.gap.left.1"}
    for gap in found.values():
        assert gap.measured == pytest.approx(102.0, abs=1e-3)
        assert "pod" in gap.what
        assert "foam sanded" in gap.note
        assert "move" not in gap.note
