"""Room round a tank and its way out: gaps by hand, tanks that touch, openings too small."""

from dataclasses import replace
from math import cos, hypot, radians, sin

import pytest
from meshed_bodies import body

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, turned
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Plane, TankRoom
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.fit.tank_fit import TANK_FIT, TANK_OUT, TANK_WALL
from geomgen.measurements.question import Given, Questionnaire, from_text, text_of
from geomgen.measurements.subject import Answered
from geomgen.sizing.target import Target
from geomgen.verdicts.judge import judged

SUBJECTS = (TANK_FIT, TANK_WALL, TANK_OUT)
SHELL = cut(
    box((0.0, -100.0, -100.0), (400.0, 100.0, 100.0)),
    [box((4.0, -96.0, -96.0), (396.0, 96.0, 96.0))],
    "pod",
    "room",
)


def tank(low=(100.0, -60.0, -60.0), high=(300.0, 60.0, 60.0)):
    return box(low, high)


def fit(parts, tolerance=0.1, wall=None, **room):
    """Return what is said of the tank `tank_main` among parts, by the first word behind tank."""
    model = Model(
        parts=dict(parts),
        families={n: n.split("_")[0] for n in parts},
        tank_rooms={"tank_main": TankRoom(**{"gap": 5.0, **room})},
        firewall_plane=wall,
    )
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    bodies = {name: body(solid, tolerance) for name, solid in parts.items()}

    def ask(question, _, done):
        given = Given(bodies={name: bodies[name] for name in question.bodies})
        done(from_text(text_of(question.ask(given))))

    questions = [q for one in SUBJECTS for q in one.ask(replace(model, parts={}), boxes)]
    said = Answered(model, list(parts), Questionnaire(questions, ask).answers)
    return {m.id: m for subject in SUBJECTS for m in subject.say(said)}


def test_the_least_gap_is_that_to_the_nearest_part():
    frame = box((310.0, -90.0, -90.0), (316.0, 90.0, 90.0))
    found = fit({"pod": SHELL, "tank_main": tank(), "frame_a": frame})["tank.fit.main"]
    assert found.value == pytest.approx(10.0, abs=1e-4)
    assert found.where.startswith("frame_a at STA 310.0")
    assert "frame_a 10.0 mm, pod 36.0 mm" in found.note


def test_the_least_gap_is_told_however_far_off_and_however_near_a_box_is():
    """The pod's skin is 800 mm off though its box holds the tank; a frame is 150 mm off."""
    pod = cut(box((-900.0,) * 3, (1100.0,) * 3), [box((-890.0,) * 3, (1090.0,) * 3)], "pod", "room")
    frame = box((450.0, -90.0, -90.0), (456.0, 90.0, 90.0))
    found = fit({"pod": pod, "tank_main": tank(), "frame_a": frame})["tank.fit.main"]
    assert found.value == pytest.approx(150.0, abs=1e-4)
    alone = fit({"tank_main": tank(), "frame_a": frame})["tank.fit.main"]
    assert alone.value == pytest.approx(150.0, abs=1e-4)


def test_through_the_opening_of_a_frame_its_corner_decides():
    """A box in a round hole of 95 mm radius: its corners, 60 and 60 mm out."""
    frame = cut(
        box((200.0, -96.0, -96.0), (206.0, 96.0, 96.0)),
        [cylinder((190.0, 0.0, 0.0), (1.0, 0.0, 0.0), 95.0, 30.0)],
        "frame_a",
        "opening",
    )
    found = fit({"tank_main": tank(), "frame_a": frame})["tank.fit.main"]
    assert abs(found.value - (95.0 - hypot(60.0, 60.0))) <= found.error_bound + 1e-3


@pytest.mark.parametrize("high", [96.0, 98.0])
def test_a_tank_that_touches_the_skin_or_is_in_it_has_no_room(high):
    found = fit({"pod": SHELL, "tank_main": tank(high=(300.0, 60.0, high))})
    assert found["tank.fit.main"].value == pytest.approx(0.0, abs=1e-4)


def test_what_carries_the_tank_may_touch_it_and_nothing_else_may():
    cradle = box((120.0, -60.0, -70.0), (280.0, 60.0, -60.0))
    parts = {"pod": SHELL, "tank_main": tank(), "frame_cradle": cradle}
    assert fit(parts)["tank.fit.main"].value == pytest.approx(0.0, abs=1e-4)
    rests = fit(parts, rests_on=("frame_cradle",))["tank.fit.main"]
    assert rests.value == pytest.approx(36.0, abs=1e-4)
    assert fit(parts, rests_on=("frame",))["tank.fit.main"].value == rests.value
    assert fit(parts, rests_on=("frame_other",))["tank.fit.main"].value < 1.0


def test_what_stands_in_the_room_for_the_fuel_has_no_room():
    """It touches nothing, and shares no space with the walls: a small tank in a large one."""
    room = box((102.0, -58.0, -58.0), (298.0, 58.0, 58.0))
    hollow = cut(tank(), [room], "tank_main", "room inside")
    small = box((180.0, -20.0, -20.0), (220.0, 20.0, 20.0))
    found = fit({"tank_main": hollow, "tank_other": small})["tank.fit.main"]
    assert (found.value, found.where) == (0.0, "tank_other")


def test_nobody_asks_for_the_way_out_unless_it_is_stated():
    assert list(fit({"pod": SHELL, "tank_main": tank()})) == ["tank.fit.main"]


@pytest.mark.parametrize(("half", "bars"), [(62.0, 0.0), (59.0, 1.0)])
def test_it_comes_out_of_an_opening_that_is_large_enough(half, bars):
    hole = box((200.0 - 105.0, -half, 90.0), (200.0 + 105.0, half, 110.0))
    parts = {"pod": cut(SHELL, [hole], "pod", "hole"), "tank_main": tank()}
    assert fit(parts, out="above")["tank.out.main"].value == bars
    below = fit(parts, out="below")["tank.out.main"]
    assert below.value == 1.0
    assert "barred by pod" in below.note


def test_what_is_above_it_bars_until_it_is_taken_off():
    lid = box((0.0, -100.0, 120.0), (400.0, 100.0, 124.0))
    parts = {"tank_main": tank(), "canopy": lid, "wing": box((0, -900, 200), (400, 900, 240))}
    for off, bars in (((), 2.0), (("canopy",), 1.0), (("canopy", "wing"), 0.0), (("can",), 2.0)):
        assert fit(parts, out="above", off=off)["tank.out.main"].value == bars


@pytest.mark.parametrize(("tolerance", "bars", "bound"), [(0.1, 1.0, 0.0), (5.0, 0.0, 1.0)])
def test_on_meshes_coarser_than_contact_nothing_is_sure(tolerance, bars, bound):
    """A rod of 50 mm radius over the tank's edge by 2 mm; its coarse mesh is 3.8 mm short there."""
    bar = cylinder((0.0, -300.0, 0.0), (0.0, 1.0, 0.0), 50.0, 600.0)
    rod = turned(bar, (0.0, 1.0, 0.0), 22.5, (52.0, 0.0, 200.0))
    parts = {"tank_main": tank(), "frame_rod": rod}
    found = fit(parts, tolerance, out="above")["tank.out.main"]
    assert (found.value, found.error_bound) == (bars, bound)
    assert ("output.mesh_tolerance" in found.note) == bool(bound)
    limits = Target("tank.out.main", "", "at most", "1", high=0.0)
    assert judged(found, limits).verdict == ("fail" if bars else "warn")


def test_the_swept_volume_is_no_part():
    parts = {"tank_main": tank(), "prop_disc": box((301.0, -90.0, -90.0), (400.0, 90.0, 90.0))}
    found = fit(parts, out="aft")
    assert list(found) == ["tank.out.main"]
    assert found["tank.out.main"].value == 0.0


LEAN = radians(10.0)
SHEET, AT = box((0.0, -95.0, -95.0), (1.0, 95.0, 95.0)), (320.0, 0.0, 0.0)
Y = (0.0, 1.0, 0.0)
SHEETS = {
    "upright": (turned(SHEET, Y, 0.0, AT), Plane(AT, (1.0, 0.0, 0.0))),
    "leaning": (turned(SHEET, Y, 10.0, AT), Plane(AT, (-cos(LEAN), 0.0, sin(LEAN)))),
}


def to_wall(low, high, sheet="upright"):
    solid, plane = SHEETS[sheet]
    parts = {"tank_main": box(low, high), "firewall": solid}
    return fit(parts, wall=plane)["tank.firewall.main"]


def test_a_tank_ahead_of_the_firewall_is_told_by_its_gap():
    assert to_wall((100.0, -60.0, -60.0), (300.0, 60.0, 60.0)).value == pytest.approx(20.0)
    # Turned by 10 deg about its middle, the sheet's foot comes towards the tank's lower edge.
    lower = 20.0 * cos(LEAN) - 60.0 * sin(LEAN)
    found = to_wall((100.0, -60.0, -60.0), (300.0, 60.0, 60.0), "leaning")
    assert found.value == pytest.approx(lower, abs=0.01)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_tank_in_the_engine_bay_is_behind_by_its_own_length_and_more(sheet):
    found = to_wall((350.0, -60.0, -60.0), (450.0, 60.0, 60.0), sheet)
    lean = LEAN if sheet == "leaning" else 0.0
    assert found.value == pytest.approx(-(130.0 * cos(lean) + 60.0 * sin(lean)), abs=0.01)
    assert "engine side" in found.note
    limit = Target("tank.firewall.main", "", "at least", "mm", low=12.7)
    assert judged(found, limit).verdict == "fail"


def test_a_tank_that_stands_through_the_sheet_is_behind_it_too():
    assert to_wall((300.0, -60.0, -60.0), (340.0, 60.0, 60.0)).value == pytest.approx(-20.0)


def test_a_tank_in_a_wing_above_the_pod_is_not_in_the_engine_bay():
    found = to_wall((350.0, -60.0, 195.0), (450.0, 60.0, 240.0))
    assert found.value == pytest.approx(hypot(29.0, 100.0), abs=0.01)
