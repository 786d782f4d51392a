"""What booms do to a wing's lift at most, beside closed forms and a boom that has panels."""

import numpy as np
import pytest
from air_bodies import planform
from plain_machines import box, ellipsoid

from geomgen.air.paneling.crossing import CARRIED, Crossing, crossing

WING = planform(8, 6, lambda s: 1000.0 + 0 * s, 4000.0, 0.12, grip=0.0)


def boom(y, width=100.0, x=(-200.0, 3000.0)):
    return box((x[0], y - width / 2, -40.0), (x[1], y + width / 2, 60.0))


def test_a_pair_of_booms_is_two_bodies_each_as_wide_as_it_is_there():
    """(1 + d/b)^2 each (NACA Report 1307), d/b = 100/8000."""
    found = crossing([boom(1200.0), boom(-1200.0)], WING)
    assert found.share == pytest.approx((1 + 0.0125) ** 4 - 1)
    assert found.volume == pytest.approx(2 * 100.0 * 100.0 * 3200.0)


def test_what_lies_behind_or_beside_the_wing_does_nothing_to_it():
    away = [boom(1200.0, x=(1100.0, 3000.0)), boom(4200.0)]
    assert crossing(away, WING) == crossing([], WING) == Crossing(0.0, 0.0)


def test_a_boom_is_as_wide_as_where_it_crosses():
    """A ball far behind on the same boom, as a mesh of one part: not felt by the wing."""
    tapered = ellipsoid((2000.0, 150.0, 150.0), (2500.0, 1200.0, 0.0))
    width = crossing([tapered], WING).share / 2 * 8000.0
    assert 150.0 < width < 0.9 * 300.0


def test_more_width_moves_attack_and_neutral_point_further():
    thin, wide = (crossing([boom(1200.0, w)], WING) for w in (60.0, 160.0))
    assert thin.attack(0.5, 5.0) < wide.attack(0.5, 5.0)
    assert wide.attack(0.5, 5.0) == pytest.approx(np.degrees(wide.share * 0.1))
    assert wide.attack(-0.5, 5.0) == wide.attack(0.5, 5.0)
    assert wide.attack(0.5, 0.0) == 0.0
    by = (350.0, 250.0, 1000.0, 5.0, 8e6)
    assert thin.neutral_point(*by) < wide.neutral_point(*by)
    assert Crossing(0.1).neutral_point(*by) == pytest.approx(0.1 * (100.0 + CARRIED * 1000.0))


def test_a_boom_alone_moves_the_neutral_point_by_munks_moment():
    """Of a slender body 2 q times its volume a radian, over the lift's 5 q 8 m2 (closed form)."""
    found = Crossing(0.0, 4e7).neutral_point(350.0, 250.0, 1000.0, 5.0, 8e6)
    assert found == pytest.approx(2 * 4e7 / (5.0 * 8e6))
