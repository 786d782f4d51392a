"""Ground planes under tyres: closed forms of circles, and machines that fall over."""

from math import asin, cos, hypot, sin

import numpy as np
import pytest

from geomgen.shapes.ground_planes import Tyre, resting

MAIN = Tyre(1800.0, 700.0, 180.0, 360.0, 110.0)
LEFT = Tyre(1800.0, -700.0, 180.0, 360.0, 110.0)


@pytest.mark.parametrize("rise", [0.0, 80.0, -50.0])
def test_two_circles_stand_on_their_common_tangent(rise) -> None:
    """Radii R and r, axles a and h apart: the tangent leans by atan(h/a) + asin((R - r)/d)."""
    nose = Tyre(400.0, 0.0, 150.0 + rise, 300.0, 90.0)
    plane = resting([MAIN, LEFT, nose], 1650.0)
    way = np.array([1800.0 - 400.0, 180.0 - 150.0 - rise])
    lean = np.arctan2(way[1], way[0]) - asin((180.0 - 150.0) / hypot(*way))
    assert plane.normal == pytest.approx((-sin(lean), 0.0, cos(lean)), abs=1e-9)


def test_a_lowest_point_is_the_support_of_the_tread() -> None:
    """A half-round tread: a circle of radius w/2 about the crown's circle (torus)."""
    for roll in (0.05, 0.2, -0.3):
        normal = np.array([0.0, sin(roll), cos(roll)])
        found = MAIN.lowest(normal) - np.array([1800.0, 700.0, 180.0])
        assert float(found @ normal) == pytest.approx(-((180.0 - 55.0) * cos(roll) + 55.0))


@pytest.mark.parametrize(
    "tyres",
    [
        [MAIN, Tyre(400.0, 0.0, 150.0, 300.0, 90.0)],
        [Tyre(1800.0, 0.0, 180.0, 360.0, 110.0), Tyre(400.0, 0.0, 150.0, 300.0, 90.0)],
        [MAIN, Tyre(400.0, 300.0, 150.0, 300.0, 90.0)],
    ],
)
def test_what_falls_over_has_no_ground(tyres) -> None:
    assert resting(tyres, 1650.0) is None
    mains = [tyre for tyre in tyres if tyre.station == 1800.0]
    assert resting(mains, 1650.0, 8.0, tyres[1:]) is None


def test_a_lifted_tyre_is_not_below_the_ground() -> None:
    tail = Tyre(4800.0, 0.0, -300.0, 200.0, 60.0)
    plane = resting([MAIN, LEFT], 1900.0, 0.0, [tail])
    assert plane.origin[2] == pytest.approx(-400.0)
