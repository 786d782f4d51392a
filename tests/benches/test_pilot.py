"""Pilots that do not fit, in plain pods whose sizes are round figures (DERIVED).

How a pilot can be wrong while the checks pass, and what sees it:

- a head through the roof, in the roof, above the pod, in a spar or in the pylon: a distance alone
  is positive outside; rays across the pod and through the parts tell sides (`test_a_head_...`);
- knees through the skin, feet through the nose, hips through the floor, broad shoulders;
- a pilot behind the firewall or beside the engine, or whose arms reach the blades;
- a seat that leans the wrong way: the file is refused, and what leans so is not free;
- one side of him alone: limbs are mirrored, so is the room.
What is not seen: seat, stick, pedals and panel, a limb that hangs out through a hole wider than it
is, how he gets in, a back that is rounder than a rod, that he moves.
"""

from dataclasses import replace
from functools import cache
from math import cos, radians

import pytest
from asking import bodies_of
from few_cases import few
from hypothesis import given, settings
from hypothesis import strategies as st
from seated_pilots import boxed, checks_of, figures_of, firewall_at
from surveyed_models import model_of

from geomgen.errors import ParameterError
from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.plain import Axis
from geomgen.measurements.survey.whole import bodies_of as bodies_of_survey
from geomgen.shapes.assembly.pilot_places import limbs

X = (1.0, 0.0, 0.0)
LOW, HIGH = (150.0, -300.0, 372.0), (1840.0, 300.0, 1260.0)
CHECKS = {
    *("pilot.head_room", "pilot.shoulder_room", "pilot.seat_room", "pilot.knee_room"),
    *("pilot.foot_room", "pilot.behind", "pilot.to_propeller"),
}


def machine(low=LOW, high=HIGH, firewall=1800.0, **parts):
    """Return a model: pod, firewall, engine, swept volume, and what else is given."""
    sheet, plane = firewall_at(firewall)
    own = {
        "pod": boxed(low, high),
        "firewall": sheet,
        "engine": box((2200.0, -100.0, 700.0), (2500.0, 100.0, 900.0)),
        "prop_disc": cylinder((3000.0, 0.0, 820.0), X, 650.0, 100.0),
    }
    line = Axis((3050.0, 0.0, 820.0), X)
    return model_of(own | parts, firewall_plane=plane, thrust_line=line)


@pytest.fixture(scope="module")
def sound():
    model = machine()
    return model, bodies_of(model)


def test_the_sound_one_passes_all_by_its_true_figures(variant, sound) -> None:
    """Head to roof, shoulders to side, hips to floor: told from the file's own lengths."""
    p = variant()
    checks = checks_of(p, *sound)
    assert {id_: c.verdict for id_, c in checks.items() if id_ in CHECKS} == dict.fromkeys(
        CHECKS, "pass"
    )
    # Hips: a rod that touches the seat, less pilot.room.
    seat = p.pilot.seat_waterline - p.pilot.room - LOW[2]
    assert checks["pilot.seat_room"].measured == pytest.approx(seat, abs=0.2)
    # Crown, by hand: hips over the seat, the leaning back to the shoulder, the upright head.
    lean = radians(p.pilot.seat_back_angle)
    crown = p.pilot.seat_waterline + 80.0 + (595.0 - 80.0) * cos(lean) + (910.0 - 595.0)
    head = HIGH[2] - crown - p.pilot.helmet
    assert checks["pilot.head_room"].measured == pytest.approx(head, abs=0.2)
    shoulder = HIGH[1] - 465.0 / 2 - p.pilot.room
    assert checks["pilot.shoulder_room"].measured == pytest.approx(shoulder, abs=0.2)


@pytest.mark.parametrize("roof", few([1195.0, 1100.0, 900.0, 700.0], 0, 3))
def test_a_head_through_the_roof_or_above_it_fails(variant, roof) -> None:
    """The crown with its helmet is at 1183.8; half of it out, or all of it and the shoulders."""
    checks = checks_of(variant(), machine(high=(HIGH[0], HIGH[1], roof)))
    check = checks["pilot.head_room"]
    assert check.verdict == "fail"
    assert (check.measured < 0.0) == (roof < 1180.0)
    assert roof > 900.0 or check.measured < -250.0


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("wing", (1250.0, -299.0, 1000.0), (1400.0, 299.0, 1100.0)),
        ("pylon", (1300.0, -40.0, 1000.0), (1900.0, 40.0, 1255.0)),
        ("wing", (1450.0, -299.0, 900.0), (1700.0, 299.0, 1200.0)),
        ("exit", (1325.0, -8.0, 1030.0), (1335.0, 8.0, 1040.0)),
    ],
    ids=["spar at the face", "pylon", "where the head leans back", "a small thing within"],
)
def test_a_head_in_a_part_fails(variant, name, low, high) -> None:
    check = checks_of(variant(), machine(**{name: box(low, high)}))["pilot.head_room"]
    assert (check.verdict, check.part) == ("fail", name)
    assert check.measured < 0.0


def test_broad_shoulders_fail_at_the_side(variant) -> None:
    p = variant("pilot.shoulder_breadth=0.62 m")
    check = checks_of(p, machine())["pilot.shoulder_room"]
    assert check.verdict == "fail"
    assert check.measured == pytest.approx(300.0 - 310.0 - p.pilot.room, abs=0.2)


@pytest.mark.parametrize("roof", few([850.0, 700.0]))
def test_knees_through_the_skin_fail(variant, roof) -> None:
    """A cowl over the legs that ends ahead of the chest."""
    cowl = box((200.0, -299.0, roof), (900.0, 299.0, roof + 4.0))
    check = checks_of(variant(), machine(wing=cowl))["pilot.knee_room"]
    assert (check.verdict, check.part) == ("fail", "wing")
    assert check.measured < 0.0


@pytest.mark.parametrize("nose", few([330.0, 420.0, 700.0], 0, 2))
def test_feet_through_the_nose_fail(variant, nose) -> None:
    checks = checks_of(variant(), machine(low=(nose, -300.0, 372.0)))
    assert checks["pilot.foot_room"].verdict == "fail"
    assert nose < 420.0 or checks["pilot.foot_room"].measured < 0.0


def test_hips_through_the_floor_fail(variant) -> None:
    p = variant("pilot.seat_waterline=370 mm", "pilot.hand_waterline=620 mm")
    check = checks_of(p, machine())["pilot.seat_room"]
    assert check.verdict == "fail"
    assert check.measured == pytest.approx(370.0 - 10.0 - 372.0, abs=0.2)


@pytest.mark.parametrize("station", few([1630.0, 1400.0, 1100.0, 700.0], 0, 3))
def test_a_pilot_at_the_firewall_or_behind_it_fails(variant, station) -> None:
    check = checks_of(variant(), machine(firewall=station))["pilot.behind"]
    assert (check.verdict, check.part) == ("fail", "firewall")
    assert (check.measured < 0.0) == (station < 1600.0)


def test_an_engine_in_his_back_fails(variant) -> None:
    engine = box((1000.0, -100.0, 500.0), (1300.0, 100.0, 700.0))
    check = checks_of(variant(), machine(engine=engine))["pilot.behind"]
    assert (check.verdict, check.part) == ("fail", "engine")


@pytest.mark.parametrize("station", few([2050.0, 1700.0, 900.0, 100.0], 0, 2, 3))
def test_arms_that_reach_the_blades_fail(variant, station) -> None:
    """The arm sweeps 705 about the shoulder, back to STA 1989; also a disc ahead of him fails."""
    model = machine(prop_disc=cylinder((station, 0.0, 820.0), X, 650.0, 100.0))
    model = replace(model, thrust_line=Axis((station + 50.0, 0.0, 820.0), X))
    check = checks_of(variant(), model)["pilot.to_propeller"]
    assert check.verdict == "fail"
    assert (check.measured < 0.0) == (station < 1900.0)


def test_a_seat_that_leans_forward_is_refused_and_not_free(variant, sound) -> None:
    with pytest.raises(ParameterError, match="seat_back_angle"):
        variant("pilot.seat_back_angle=-46 deg")
    p = variant()
    wrong = p.model_copy(update={"pilot": p.pilot.model_copy(update={"seat_back_angle": -46.0})})
    leant = {limb.name: limb for limb in limbs(wrong)}
    # The head is ahead of the knees then.
    assert leant["head"].start[0] < leant["knee right"].start[0]
    crowded = machine(wing=box((500.0, -299.0, 1000.0), (700.0, 299.0, 1255.0)))
    assert checks_of(p, crowded)["pilot.head_room"].verdict == "pass"
    assert checks_of(wrong, crowded)["pilot.head_room"].verdict == "fail"


def test_without_a_pilot_there_are_no_checks(variant, sound) -> None:
    assert checks_of(variant().model_copy(update={"pilot": None}), *sound) == {}


def test_a_mirrored_machine_gives_the_same(variant) -> None:
    """A lump on one side, on the other: the same figures, the limb of the other side."""
    lump = box((700.0, 150.0, 700.0), (900.0, 299.0, 900.0))
    p = variant()
    right, left = (checks_of(p, machine(wing=part)) for part in (lump, mirrored(lump)))
    for id_ in CHECKS:
        assert right[id_].measured == pytest.approx(left[id_].measured, abs=0.11)
    assert "knee right" in right["pilot.knee_room"].where
    assert "knee left" in left["pilot.knee_room"].where


@pytest.fixture(scope="module")
def head_room(variant, sound):
    """Return the room over the head in the sound one, everything the pilot touches raised."""
    p, (model, bodies) = variant(), sound

    @cache
    def found(up: float) -> float:
        places = ("seat_waterline", "hand_waterline", "pedal_waterline")
        more = {key: getattr(p.pilot, key) + up for key in places}
        raised = p.model_copy(update={"pilot": p.pilot.model_copy(update=more)})
        return figures_of(replace(model, pilot=limbs(raised)), bodies)["pilot.head_room"].value

    return found


@settings(max_examples=12)
@given(st.floats(0.0, 60.0))
def test_a_seat_raised_lowers_head_room_by_no_more(head_room, by) -> None:
    assert -0.11 <= head_room(0.0) - head_room(by) <= by + 0.11


@pytest.fixture(scope="module")
def real(saltmarsh_model, saltmarsh_meshes):
    """Return the example's own bodies: a lofted pod with a solid tip, scoops, an open tail."""
    return bodies_of_survey(saltmarsh_model, saltmarsh_meshes)


def test_in_the_example_he_fits_where_he_sits(variant, saltmarsh_model, real) -> None:
    assert not [c.id for c in checks_of(variant(), saltmarsh_model, real).values() if c.stops]


@pytest.mark.parametrize(
    ("axis", "by", "failing"),
    few(
        [
            ("waterline", 60.0, "pilot.head_room"),
            ("waterline", 300.0, "pilot.head_room"),
            ("waterline", 700.0, "pilot.head_room"),
            ("waterline", 1500.0, "pilot.foot_room"),
            ("waterline", -200.0, "pilot.seat_room"),
            ("station", -120.0, "pilot.foot_room"),
            ("station", -500.0, "pilot.knee_room"),
            ("station", -3000.0, "pilot.head_room"),
            ("station", 900.0, "pilot.behind"),
            ("station", 4000.0, "pilot.to_propeller"),
        ],
        *(0, 3, 4, 6, 8, 9),
        rows=True,
    ),
)
def test_in_the_example_he_fits_nowhere_off_his_seat(
    variant, saltmarsh_model, real, axis, by, failing
) -> None:
    p = variant()
    places = [f"{place}_{axis}" for place in ("seat", "hand", "pedal")]
    more = {key: getattr(p.pilot, key) + by for key in places}
    off = p.model_copy(update={"pilot": p.pilot.model_copy(update=more)})
    check = checks_of(off, saltmarsh_model, real)[failing]
    assert check.verdict == "fail"
    assert abs(by) < 250.0 or check.measured < 0.0
