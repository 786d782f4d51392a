"""Slits between circles and ellipses in closed form."""

import math

import pytest
from meshed_bodies import body, rings

from geomgen.kernel.outline_gap import widest_slit
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.primitives import box, cylinder

X = (1.0, 0.0, 0.0)


def ring(solid):
    (found,) = rings(body(solid), at_station(5.0))
    return found


@pytest.mark.parametrize(("y", "z"), [(0.0, 0.0), (1.0, 0.0), (-0.7, 1.1), (0.05, -0.02)])
def test_a_disc_off_its_middle(y: float, z: float) -> None:
    """Widest opposite to where it moved: the radii's difference and the way it moved."""
    hull, sheet = cylinder((0, 0, 0), X, 300.0, 10.0), cylinder((0, y, z), X, 297.0, 10.0)
    found = widest_slit(ring(sheet), ring(hull))
    assert found.gap == pytest.approx(3.0 + math.hypot(y, z), abs=1e-7)
    assert math.dist(found.rim, found.wall) == pytest.approx(found.gap, abs=1e-12)


def test_a_square_in_a_circle_is_farthest_at_the_middle_of_its_sides() -> None:
    half = 200.0
    found = widest_slit(ring(box((0, -half, -half), (10, half, half))), ring(
        cylinder((0, 0, 0), X, 300.0, 10.0)
    ))  # fmt: skip
    assert found.gap == pytest.approx(100.0, abs=1e-9)


def test_a_slit_narrower_than_the_steps_is_not_overrated() -> None:
    """0.2 mm all round, looked at every half millimetre."""
    hull, sheet = cylinder((0, 0, 0), X, 300.0, 10.0), cylinder((0, 0, 0), X, 299.8, 10.0)
    assert widest_slit(ring(sheet), ring(hull)).gap == pytest.approx(0.2, abs=1e-8)
