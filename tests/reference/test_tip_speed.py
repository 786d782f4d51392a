"""Tip speed of a propeller: 1.40 m at 2,500 rpm and 25 m/s.

Source: kinematics; the figures are DERIVED and computed here a second way, by stepping the tip
along its helix.
"""

import math

import pytest

from geomgen.sizing.formulas import propeller

DIAMETER, RPM, SPEED, SOUND = 1400.0, 2500.0, 25.0, 340.29


def test_rotational_derived():
    assert propeller.rotational_tip_speed(DIAMETER, RPM) == pytest.approx(183.26, abs=0.005)


def test_helical_derived():
    assert propeller.helical_tip_speed(DIAMETER, RPM, SPEED) == pytest.approx(184.96, abs=0.005)


def test_mach_derived():
    assert propeller.tip_mach(DIAMETER, RPM, SPEED, SOUND) == pytest.approx(0.5435, abs=5e-5)


def test_helix_stepped_derived():
    """The length of the path of the tip in a second, as a chain of short chords."""
    steps = 200_000
    turn, ahead = 2 * math.pi * RPM / 60 / steps, SPEED / steps
    chord = 2 * DIAMETER / 2000 * math.sin(turn / 2)
    path = steps * math.hypot(chord, ahead)
    assert propeller.helical_tip_speed(DIAMETER, RPM, SPEED) == pytest.approx(path, rel=1e-6)
