"""Directions of sight against the right-hand rule."""

import numpy as np
import pytest

from geomgen.kernel.visibility.look import FROM_ABOVE, FROM_LEFT, FROM_NOSE, NOSE_DOWN


@pytest.mark.parametrize(
    ("look", "toward"),
    [
        (FROM_LEFT, (0, -1, 0)),
        (FROM_ABOVE, (0, 0, 1)),
        (NOSE_DOWN, (0, 0, 1)),
        (FROM_NOSE, (-1, 0, 0)),
    ],
)
def test_where_the_eye_stands(look, toward):
    """Closed form: right x up, with x aft, y to the right, z up."""
    assert look.toward == toward
    assert np.cross(look.right, look.up).tolist() == list(toward)


def test_the_nose_is_where_the_names_say():
    nose, tail = (0.0, 0.0, 0.0), (100.0, 0.0, 0.0)
    assert FROM_LEFT.flat(nose)[0] < FROM_LEFT.flat(tail)[0]
    assert NOSE_DOWN.flat(nose)[1] < NOSE_DOWN.flat(tail)[1]
    assert FROM_NOSE.seen([nose])[0, 2] > FROM_NOSE.seen([tail])[0, 2]


def test_the_right_wing_tip_is_on_the_left_of_who_looks_at_the_nose():
    assert FROM_NOSE.flat((0.0, 4000.0, 0.0)) == (-4000.0, 0.0)
    assert NOSE_DOWN.flat((0.0, 4000.0, 0.0)) == (-4000.0, 0.0)
