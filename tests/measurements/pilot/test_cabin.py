"""Room in plain pods, in closed form: box, ball, tube; and what is outside of them or in a part."""

from math import hypot

import pytest
from asking import bodies_of
from hypothesis import given, settings
from hypothesis import strategies as st
from seated_pilots import ball, boxed, shell, tube
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Limb, Plane
from geomgen.measurements.pilot.cabin import room_ahead_of, room_from, room_in_pod

LOW, HIGH = (0.0, -300.0, 400.0), (1800.0, 300.0, 1300.0)


def body(solid):
    return bodies_of(model_of({"pod": solid}), 0.1)["pod"]


@pytest.fixture(scope="module")
def cabin():
    return body(boxed(LOW, HIGH))


@pytest.fixture(scope="module")
def bowl():
    return body(shell((500.0, 0.0, 800.0), 400.0))


@pytest.fixture(scope="module")
def pipe():
    return body(tube(0.0, 2000.0, 300.0))


@settings(max_examples=30)
@given(st.floats(150, 1600), st.floats(-150, 150), st.floats(550, 1150), st.floats(20, 140))
def test_a_ball_in_a_box(cabin, x, y, z, radius):
    walls = (x, 1800.0 - x, 300.0 - abs(y), z - 400.0, 1300.0 - z)
    found = room_in_pod(ball(radius, at=(x, y, z)), [cabin])
    assert found.gap == pytest.approx(min(walls) - radius, abs=1e-3)


@pytest.mark.parametrize("off", [(0.0, 0.0, 0.0), (90.0, -40.0, 120.0), (-150.0, 10.0, 0.0)])
def test_a_ball_in_a_hollow_ball(bowl, off):
    at = (500.0 + off[0], off[1], 800.0 + off[2])
    found = room_in_pod(ball(100.0, at=at), [bowl])
    assert found.gap == pytest.approx(400.0 - hypot(*off) - 100.0, abs=bowl.deviation + 0.05)


@pytest.mark.parametrize(("y", "z", "lean"), [(0.0, 0.0, 0.0), (60.0, -80.0, 0.0), (0.0, 0.0, 90)])
def test_a_rod_in_a_tube(pipe, y, z, lean):
    """Its far end is the nearer one where it leans: the lesser of two closed forms."""
    limb = Limb("trunk", (700.0, y, z), (1200.0, y + lean, z), 90.0, 110.0)
    ends = (hypot(y, z) + 90.0, hypot(y + lean, z) + 110.0)
    found = room_in_pod(limb, [pipe])
    assert found.gap == pytest.approx(300.0 - max(ends), abs=pipe.deviation + 0.05)


@pytest.mark.parametrize(
    ("at", "due"),
    [
        ((900.0, 0.0, 1500.0), -(1500.0 - 1305.0 + 100.0)),
        ((900.0, 0.0, 1302.0), -(1302.0 - 1300.0 + 100.0)),
        ((900.0, 405.0, 900.0), -(405.0 - 305.0 + 100.0)),
        ((900.0, 0.0, 100.0), -(395.0 - 100.0 + 100.0)),
        ((-500.0, 0.0, 900.0), -(500.0 - 5.0 + 100.0)),
        ((5000.0, 0.0, 900.0), -(5000.0 - 1805.0 + 100.0)),
    ],
    ids=["above", "in the wall", "beside", "below", "ahead", "behind"],
)
def test_a_ball_outside_is_out_however_far(cabin, at, due):
    assert room_in_pod(ball(100.0, at=at), [cabin]).gap == pytest.approx(due, abs=1e-3)


@pytest.mark.parametrize("top", [1250.0, 1290.0, 1300.0, 1302.0, 1310.0, 1400.0])
def test_a_head_through_the_roof_is_never_free(cabin, top):
    limb = Limb("head", (900.0, 0.0, top), (900.0, 0.0, top - 25.0), 100.0, 100.0)
    assert room_in_pod(limb, [cabin]).gap < 0.0


def test_half_of_a_rod_outside_an_open_tube_is_out(pipe):
    limb = Limb("shank", (1500.0, 0.0, 0.0), (2300.0, 0.0, 0.0), 50.0, 50.0)
    assert room_in_pod(limb, [pipe]).gap < -50.0


def test_a_pod_in_two_pieces_is_one():
    low, high = boxed(LOW, (900.0, 300.0, 1300.0)), boxed((910.0, -300.0, 400.0), HIGH)
    pods = [body(low), body(high)]
    assert room_in_pod(ball(100.0, at=(400.0, 0.0, 800.0)), pods).gap > 0.0
    assert room_in_pod(ball(100.0, at=(400.0, 0.0, 1500.0)), pods).gap < 0.0


def test_a_limb_in_a_part_has_no_room_and_beside_it_has():
    spar = body(box((800.0, -300.0, 780.0), (1100.0, 300.0, 860.0)))
    assert room_from(ball(30.0, at=(950.0, 0.0, 820.0)), spar).gap == pytest.approx(-70.0, abs=1e-3)
    assert room_from(ball(30.0, at=(950.0, 0.0, 960.0)), spar).gap == pytest.approx(70.0, abs=1e-3)
    rod = Limb("thigh", (700.0, 0.0, 820.0), (1000.0, 0.0, 820.0), 30.0, 30.0)
    assert room_from(rod, spar).gap < 0.0


def test_what_is_behind_the_firewall_is_not_free():
    wall = body(box((1800.0, -300.0, 400.0), (1801.0, 300.0, 1300.0)))
    plane = Plane((1800.5, 0.0, 850.0), (1.0, 0.0, 0.0))
    ahead = room_ahead_of(ball(100.0, at=(1500.0, 0.0, 900.0)), wall, plane)
    assert ahead.gap == pytest.approx(200.0, abs=1e-3)
    behind = room_ahead_of(ball(100.0, at=(2500.0, 0.0, 900.0)), wall, plane)
    assert behind.gap == pytest.approx(-(2500.0 - 1800.5 + 100.0), abs=1e-3)
