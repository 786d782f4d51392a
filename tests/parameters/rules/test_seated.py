"""Joints of a seated pilot against the lengths that a tape would measure on him again (DERIVED)."""

from math import acos, cos, degrees, dist, hypot, radians, sin
from types import SimpleNamespace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from geomgen.parameters.records.pilot import SURVEY
from geomgen.parameters.rules.seated import (
    ARM,
    BALL,
    BENT,
    CHEST,
    HEAD,
    KNEE,
    bend,
    bones_of,
    leg_of,
    sole_of,
    trunk_of,
)

MAN = {key: rows[0][1] for key, rows in SURVEY.items()}
SEAT = (1000.0, 400.0)


def seated(lean, lengths=MAN):
    place = SimpleNamespace(
        seat_station=SEAT[0], seat_waterline=SEAT[1], seat_back_angle=float(lean)
    )
    return trunk_of(place, lengths)


def test_upright_every_height_is_the_tape_s():
    t = seated(0)
    assert t.crown[2] + HEAD == pytest.approx(SEAT[1] + 910.0)
    assert t.crown == t.crown_back
    assert t.eye[2] == pytest.approx(SEAT[1] + 790.0)
    assert t.neck[2] == pytest.approx(SEAT[1] + 595.0)
    assert t.hips[0] == pytest.approx(SEAT[0] - CHEST)
    assert 2 * (t.shoulder[1] + ARM) == pytest.approx(465.0)
    assert 2 * (t.hip[1] + 80.0) == pytest.approx(360.0)


@given(st.floats(0, 70))
def test_hips_touch_seat_and_back_however_it_leans(lean):
    t, turn = seated(lean), radians(lean)
    assert t.hips[2] == pytest.approx(SEAT[1] + 80.0)
    off = (t.hips[0] - SEAT[0], t.hips[2] - SEAT[1])
    ahead_of_back = -off[0] * cos(turn) + off[1] * sin(turn)
    assert ahead_of_back == pytest.approx(CHEST)


@pytest.mark.parametrize("lean", [10, 30, 60])
def test_the_top_goes_aft_and_down(lean):
    """The sign of the angle: neck and head behind the hips, lower than upright."""
    t, upright = seated(lean), seated(0)
    assert t.neck[0] - t.hips[0] == pytest.approx((595.0 - 80.0) * sin(radians(lean)))
    assert t.crown[0] > t.hips[0]
    assert t.crown[2] < upright.crown[2]
    assert t.crown_back[0] > t.crown[0]
    assert t.crown_back[2] < t.crown[2]


@given(st.floats(350, 800), st.floats(-100, 300), st.floats(20, 250))
def test_a_leg_measures_as_the_tape_does(ahead, up, out):
    """From hip to knee, knee to sole, heel to ball; the foot square, the ball on the pedal."""
    t, b = seated(30), bones_of(MAN)
    pedal = (t.hip[0] - ahead, out, t.hip[2] + up)
    found = leg_of(t, b, pedal)
    assume(found.joint is not None)
    knee = found.joint
    assert dist(t.hip, knee) == pytest.approx(595.0 - CHEST - KNEE)
    shank, foot = sole_of(knee, t.hip, pedal, b)
    assert sum(a * c for a, c in zip(shank, foot, strict=True)) == pytest.approx(0.0, abs=1e-9)
    ball = [
        k + (545.0 - KNEE) * s + BALL * 265.0 * f for k, s, f in zip(knee, shank, foot, strict=True)
    ]
    assert ball == pytest.approx(pedal)
    # Knee up: above the line from hip to pedal.
    share = (t.hip[0] - knee[0]) / ahead
    assert knee[2] >= t.hip[2] + share * up - 1e-6


def test_toes_point_away_from_the_hip():
    t, b = seated(20), bones_of(MAN)
    pedal = (t.hip[0] - 650.0, 100.0, t.hip[2])
    shank, foot = sole_of(leg_of(t, b, pedal).joint, t.hip, pedal, b)
    assert foot[0] < 0.0 < foot[2]
    assert shank[2] < 0.0


@given(st.floats(100, 600), st.floats(100, 600), st.floats(0.02, 0.98), st.floats(-1.4, 1.4))
def test_two_circles_meet_where_both_lengths_hold(first, second, share, rise):
    found = bend((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), first, second, (0.0, 0.0, 1.0))
    far = found.least + share * (found.most - found.least)
    end = (-far * cos(rise), 0.0, far * sin(rise))
    joint = bend((0.0, 0.0, 0.0), end, first, second, (0.0, 0.0, 1.0)).joint
    assert dist((0.0, 0.0, 0.0), joint) == pytest.approx(first)
    assert dist(joint, end) == pytest.approx(second)
    inner = acos((first**2 + second**2 - far**2) / (2 * first * second))
    assert degrees(inner) >= BENT - 1e-6


def test_out_of_reach_or_bent_too_far_there_is_no_joint():
    near = 2 * 400.0 * sin(radians(BENT / 2))
    for far, there in ((near - 1, False), (near + 1, True), (799.0, True), (801.0, False)):
        joint = bend((0.0, 0.0, 0.0), (far, 0.0, 0.0), 400.0, 400.0, (0.0, 0.0, 1.0)).joint
        assert (joint is not None) == there


def test_a_stretched_arm_is_upper_arm_and_forearm_less_where_they_overlap():
    b = bones_of(MAN)
    assert b.stretched_arm == pytest.approx(365.0 + 475.0 - ARM - 2 * 40.0)
    assert b.leg == pytest.approx(hypot(485.0, 132.5))
