"""Parts put in along straight ways: plain machines with a known answer, and wrong ones."""

from dataclasses import replace
from math import cos, radians, sin

import pytest
from meshed_bodies import body
from surveyed_models import model_of, surveyed

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, turned
from geomgen.kernel.model import Model
from geomgen.kernel.plain import AssemblyPlan, FlatSheet, Inlay, Plane, TankRoom
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.fit.assembly_order import ASSEMBLY_ORDER
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered

CENTRE = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))
# Square to a sheet across x that is turned by 30 deg about y.
NORMAL = (cos(radians(30.0)), 0.0, -sin(radians(30.0)))
LEVEL = Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
# A closed shell of 4 mm with a tank and a frame in it.
SHELL = cut(
    box((0.0, -100.0, -100.0), (400.0, 100.0, 100.0)),
    [box((4.0, -96.0, -96.0), (396.0, 96.0, 96.0))],
    "pod",
    "room",
)
TANK = box((200.0, -60.0, -60.0), (300.0, 60.0, 60.0))
FRAME = cut(
    box((100.0, -95.5, -95.5), (106.0, 95.5, 95.5)),
    [box((90.0, -40.0, -40.0), (120.0, 40.0, 40.0))],
    "frame_a",
    "opening",
)


def order(parts, plan, tolerance=0.1, **more):
    """Return the record of parts by name, whose families are their names' first words."""
    model = Model(
        parts=dict(parts), families={n: n.split("_")[0] for n in parts}, assembly=plan, **more
    )
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    bodies = {name: body(solid, tolerance) for name, solid in parts.items()}
    asked = {
        q.name: from_text(text_of(q.ask(Given(bodies={n: bodies[n] for n in q.bodies}))))
        for q in ASSEMBLY_ORDER.ask(replace(model, parts={}), boxes)
    }
    (found,) = ASSEMBLY_ORDER.say(Answered(model, list(parts), asked))
    return found


def test_nothing_is_asked_where_the_file_says_nothing_of_it():
    model = Model(parts={"pod": SHELL}, families={"pod": "pod"})
    assert list(ASSEMBLY_ORDER.ask(model, {"pod": loose_box(SHELL)})) == []
    assert ASSEMBLY_ORDER.say(Answered(model, ["pod"], {})) == []


def test_on_meshes_coarser_than_contact_nothing_is_sure():
    rod = cylinder((0.0, -300.0, 0.0), (0.0, 1.0, 0.0), 50.0, 600.0)
    parts = {"tank_main": box((-20.0, -20.0, 80.0), (20.0, 20.0, 90.0)), "frame_rod": rod}
    for tolerance, bound in ((0.1, 0.0), (5.0, 1.0)):
        found = order(parts, AssemblyPlan(), tolerance)
        assert (found.value, found.error_bound) == (0.0, bound)
        assert ("output.mesh_tolerance" in found.note) == bool(bound)


@pytest.mark.parametrize(("split", "halves"), [(CENTRE, "right"), (LEVEL, "upper")])
def test_a_tank_and_a_frame_go_into_a_shell_that_is_parted(split, halves):
    found = order({"pod": SHELL, "tank_main": TANK, "frame_a": FRAME}, AssemblyPlan(split))
    assert found.value == 0.0
    assert f"pod, {halves} half" in found.note
    # One half goes on last: with both closed nothing comes out.
    assert found.rows[-1][0].startswith("pod, ")


def test_a_closed_shell_bars_its_tank():
    found = order({"pod": SHELL, "tank_main": TANK}, AssemblyPlan())
    assert found.value == 1.0
    assert "tank_main from above is barred by pod" in found.note
    assert found.part == "tank_main"


@pytest.mark.long
def test_an_opening_lets_the_tank_in_from_there_and_a_smaller_one_does_not():
    for half, value in ((61.0, 0.0), (59.0, 1.0)):
        hole = box((250.0 - half, -half, 90.0), (250.0 + half, half, 110.0))
        found = order({"pod": cut(SHELL, [hole], "pod", "hole"), "tank_main": TANK}, AssemblyPlan())
        assert found.value == value
        assert ("2. tank_main from above" in found.note) is (value == 0.0)


def test_a_stated_order_that_closes_the_shell_first_bars_all_that_is_inside():
    parts = {"pod": SHELL, "tank_main": TANK, "frame_a": FRAME}
    found = order(parts, AssemblyPlan(CENTRE, order=("pod", "frame", "tank")))
    assert found.value == 2.0
    assert "tank_main from the right is barred by pod, right half" in found.note
    assert "frame_a from the right is barred by pod, right half" in found.note


def test_one_part_that_bars_all_that_follows_in_a_stated_order_is_told_as_the_cause():
    """Six rods through a plate that has no holes for them; elsewhere each would go in."""
    plate = box((0.0, -100.0, -100.0), (6.0, 100.0, 100.0))
    rods = {
        f"stringer_{i}": box((-50.0, y, -5.0), (50.0, y + 8.0, 5.0))
        for i, y in enumerate(range(-80, 80, 28))
    }
    parts = {"pod": box((900.0, 0.0, 0.0), (910.0, 10.0, 10.0)), "frame_a": plate, **rods}
    found = order(parts, AssemblyPlan(order=("frame", "stringer")))
    assert found.value == 6.0
    assert found.part == "frame_a"
    assert found.note.startswith("all 6 for frame_a: without it all others go in; ")
    assert found.note.count("is barred by") == 4
    assert "2 more are barred" in found.note
    # Left to itself the order names that one alone.
    assert order(parts, AssemblyPlan()).value == 1.0


def test_two_that_hold_each_other_are_barred_unless_built_in_place():
    """Two links of a chain, square rings through each other: no straight way parts them."""
    one = cut(
        box((-50.0, -50.0, -5.0), (50.0, 50.0, 5.0)),
        [box((-30.0, -30.0, -9.0), (30.0, 30.0, 9.0))],
        "frame_a",
        "inside",
    )
    other = cut(
        box((0.0, -5.0, -50.0), (100.0, 5.0, 50.0)),
        [box((20.0, -9.0, -30.0), (80.0, 9.0, 30.0))],
        "frame_b",
        "inside",
    )
    links = {"frame_a": one, "frame_b": other}
    found = order(links, AssemblyPlan())
    assert found.value == 1.0
    assert "is barred by frame_" in found.note
    for plan in (AssemblyPlan(in_place=("frame_b",)), AssemblyPlan(in_place=("frame",))):
        assert order(links, plan).value == 0.0
    assert order(links, AssemblyPlan(in_place=("frame_c",))).value == 1.0


def test_a_pin_goes_in_along_its_hole_only():
    plate = cut(
        box((-50.0, -50.0, 0.0), (50.0, 50.0, 20.0)),
        [cylinder((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), 5.0, 22.0)],
        "frame_a",
        "hole",
    )
    pin = cylinder((0.0, 0.0, -3.0), (0.0, 0.0, 1.0), 5.0, 30.0)
    assert "frame_a from above, 2. fitting_pin from above" in order(
        {"frame_a": plate, "fitting_pin": pin}, AssemblyPlan()
    ).note  # fmt: skip


def test_a_sheet_that_leans_goes_out_square_to_itself():
    """Between two blocks whose faces lean as it does no axis is free, its own way is."""

    def leaning(solid):
        return turned(solid, (0.0, 1.0, 0.0), 30.0, (0.0, 0.0, 0.0))

    well = leaning(
        cut(
            box((0.0, -60.0, -60.0), (50.0, 60.0, 60.0)),
            [box((20.0, -40.0, -40.0), (60.0, 40.0, 40.0))],
            "pod",
            "well",
        )
    )
    sheet = leaning(box((20.0, -39.5, -39.5), (25.0, 39.5, 39.5)))
    parts = {"pod": well, "frame_a": sheet}
    assert order(parts, AssemblyPlan()).value == 1.0
    flat = FlatSheet(Plane((0.0, 0.0, 0.0), NORMAL), (-NORMAL[2], 0.0, NORMAL[0]), 5.0)
    found = order(parts, AssemblyPlan(), sheets={"frame_a": flat})
    assert found.value == 0.0
    assert "frame_a from its back, square" in found.note


def test_what_is_laid_into_foam_is_not_barred_by_it():
    wing, spar = (
        box((0.0, 0.0, 0.0), (300.0, 900.0, 60.0)),
        box((90.0, 9.0, 9.0), (99.0, 800.0, 50.0)),
    )
    parts = {"wing": wing, "spar_a": spar}
    assert order(parts, AssemblyPlan()).value == 1.0
    assert order(parts, AssemblyPlan(), inlays=(Inlay("spar_a", "wing"),)).value == 0.0


def test_the_swept_volume_is_no_part():
    parts = {"pod": SHELL, "prop_disc": box((-50.0, -200.0, -200.0), (-40.0, 200.0, 200.0))}
    found = order(parts, AssemblyPlan(), swept="prop_disc")
    assert [name for name, _ in found.rows] == ["pod"]


@pytest.mark.long
def test_a_survey_tells_the_order_and_the_room_of_the_tank():
    found = surveyed(
        model_of(
            {"pod": SHELL, "tank_main": TANK, "frame_a": FRAME},
            assembly=AssemblyPlan(CENTRE),
            tank_rooms={"tank_main": TankRoom(5.0, out="above")},
        )
    )
    assert found["assembly.order"].value == 0.0
    assert found["tank.fit.main"].value == pytest.approx(36.0, abs=1e-3)
    assert found["tank.out.main"].note.endswith("barred by pod")
