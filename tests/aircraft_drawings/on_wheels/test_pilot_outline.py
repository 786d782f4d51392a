"""The pilot's outline: areas of balls and rods by closed forms."""

import math

import pytest

from geomgen.aircraft_drawings.on_wheels.pilot_outline import pilot_outline
from geomgen.drafting.record import HIDDEN
from geomgen.kernel.plain import Limb
from geomgen.kernel.visibility.look import FROM_LEFT, FROM_NOSE

ARM = Limb("arm", (0.0, 0.0, 0.0), (0.0, 100.0, 0.0), 20.0, 20.0)


def area(limbs, look):
    return sum(abs(path.area()) for path in pilot_outline(limbs, look))


def test_a_rod_from_beside_and_end_on():
    assert area([ARM], FROM_NOSE) == pytest.approx(4000.0 + math.pi * 400.0, rel=0.02)
    assert area([ARM], FROM_LEFT) == pytest.approx(math.pi * 400.0, rel=0.02)
    assert {path.layer for path in pilot_outline([ARM], FROM_NOSE)} == {HIDDEN}


def test_what_he_reaches_and_nothing_at_all():
    far = Limb("reach right", (0.0, 0.0, 0.0), (0.0, 0.0, 0.0), 700.0, 700.0)
    assert area([ARM, far], FROM_NOSE) == pytest.approx(area([ARM], FROM_NOSE))
    assert pilot_outline([far], FROM_LEFT) == ()
    assert pilot_outline([], FROM_LEFT) == ()
