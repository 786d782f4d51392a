"""Hand-worked cases of wheels, nosewheel and tailwheel, square and oblique to the ground."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.balance.standing import (
    Wheels,
    loads_of_wheels,
    mains_ahead,
    overturn,
    share_on_third,
    tail_down,
    tip_back,
    wheels_on_the_ground,
)
from geomgen.measurements.record import Measurement

UP = np.array([0.0, 0.0, 1.0])
CENTRE = (1350.0, 0.0, 900.0)


def tricycle(track=800.0, turn=0.0, high=0.0, nose=0.0):
    mains = np.array([[1600.0, track, high], [1600.0, -track, high]])
    lean = np.radians(turn)
    normal = np.array([-np.sin(lean), 0.0, np.cos(lean)])
    return Wheels(
        mains, np.array([[nose, 0.0, 0.0]]), "nose", normal, mains + np.array([0.0, 0.0, 180.0])
    )


def tailwheel(normal=UP):
    mains = np.array([[1000.0, 700.0, 0.0], [1000.0, -700.0, 0.0]])
    tails = np.array([[4800.0, 780.0, 0.0], [4800.0, -780.0, 0.0]])
    return Wheels(mains, tails, "tail", normal, mains + np.array([0.0, 0.0, 190.0]))


def test_the_hand_worked_nosewheel_machine():
    """Nosewheel at 0, mains at 1.6 m, half track 0.8, centre at 1.35 and 0.9 high (DERIVED)."""
    assert overturn(tricycle(), CENTRE)[0] == pytest.approx(56.145, abs=5e-4)
    assert tip_back(tricycle(), CENTRE) == pytest.approx(15.524, abs=5e-4)
    assert share_on_third(tricycle(), CENTRE) == pytest.approx(250.0 / 1600.0)


def test_loads_by_the_lever():
    """Moments about the mains and about the centre plane: any text on statics."""
    mains, (nose,) = loads_of_wheels(tricycle(), (1350.0, 80.0, 900.0), 200.0)
    assert nose == pytest.approx(200.0 * 250.0 / 1600.0)
    assert sum(mains) + nose == pytest.approx(200.0)
    assert (mains[0] - mains[1]) * 800.0 == pytest.approx(200.0 * 80.0)


def test_a_centre_off_the_middle_falls_to_its_own_side():
    right, left = (overturn(tricycle(), (1350.0, y, 900.0)) for y in (60.0, -60.0))
    assert right[1] == 1
    assert left[1] == -1
    assert right[0] == pytest.approx(left[0])
    assert right[0] > overturn(tricycle(), CENTRE)[0]


def test_a_centre_outside_the_wheels_has_no_angle_that_passes():
    assert overturn(tricycle(), (1350.0, 900.0, 900.0))[0] > 90.0


def test_a_centre_behind_the_mains_carries_less_than_nothing():
    assert share_on_third(tricycle(), (1700.0, 0.0, 900.0)) < 0.0
    assert tip_back(tricycle(), (1700.0, 0.0, 900.0)) < 0.0


@given(st.floats(-8.0, 8.0))
def test_a_machine_that_stands_nose_up_is_told_along_its_ground(turn):
    """The same machine turned with its ground: nothing changes (DERIVED, a turn of the axes)."""
    lean = np.radians(turn)
    spin = np.array([[np.cos(lean), 0, -np.sin(lean)], [0, 1, 0], [np.sin(lean), 0, np.cos(lean)]])
    flat = tricycle()
    turned = Wheels(flat.mains @ spin.T, flat.others @ spin.T, "nose", spin @ UP, flat.axles)
    centre = tuple(float(c) for c in spin @ np.array(CENTRE))
    assert tip_back(turned, centre) == pytest.approx(15.524, abs=5e-4)
    assert overturn(turned, centre)[0] == pytest.approx(56.145, abs=5e-4)
    assert tail_down(turned) == pytest.approx(turn)


def test_a_tailwheel_machine():
    """Mains at 1.0 m, tails at 4.8 m, centre at 1.3 m, 0.8 high: atan and lever by hand."""
    centre = (1300.0, 0.0, 800.0)
    assert share_on_third(tailwheel(), centre) == pytest.approx(300.0 / 3800.0)
    assert mains_ahead(tailwheel(), centre) == pytest.approx(np.degrees(np.arctan2(300.0, 800.0)))
    assert tip_back(tailwheel(), centre) == pytest.approx(np.degrees(np.arctan2(300.0, 800.0)))
    mains, tails = loads_of_wheels(tailwheel(), centre, 100.0)
    assert sum(tails) == pytest.approx(100.0 * 300.0 / 3800.0)
    assert mains[0] == pytest.approx(mains[1])


def test_overturn_of_a_tailwheel_machine_is_about_its_outer_wheels():
    """Axis from (1000, 700) to (4800, 780): its distance from (1300, 0) by hand."""
    way = np.array([3800.0, 80.0]) / np.hypot(3800.0, 80.0)
    off = np.array([300.0, -700.0])
    apart = abs(way[0] * off[1] - way[1] * off[0])
    angle, _ = overturn(tailwheel(), (1300.0, 0.0, 800.0))
    assert angle == pytest.approx(np.degrees(np.arctan2(800.0, apart)))


def contact(name, role, x, y):
    normal = (("normal x", 0.0), ("normal y", 0.0), ("normal z", 1.0))
    points = ((x, y, 0.0), (x, y, 180.0))
    return Measurement(
        f"gear.contact.{name}", name, "", 180.0, "mm", "", where=role, points=points, further=normal
    )


def test_wheels_are_told_by_what_they_are():
    rows = [
        contact("wheel_c", "nose", 0.0, 0.0),
        contact("wheel_a", "main", 1600.0, 800.0),
        contact("wheel_b", "main", 1600.0, -800.0),
    ]
    found = wheels_on_the_ground(rows)
    assert found is not None
    assert overturn(found, CENTRE)[0] == pytest.approx(56.145, abs=5e-4)
    assert wheels_on_the_ground(rows[:2]) is None
    assert wheels_on_the_ground(rows[1:]) is None
