"""From where a body is seen, for every way to look along an axis."""

import numpy as np
import pytest

from geomgen.shops.page_view import SEEN, PageView


@pytest.mark.parametrize(("axis", "sign"), SEEN)
def test_it_is_seen_from_the_side_that_the_viewer_is_on(axis, sign):
    toward = np.full(3, 0.1)
    toward[axis] = sign
    view = PageView(np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), toward)
    sides = (("ahead", "aft"), ("left", "right"), ("below", "above"))
    assert view.words.split()[-1] == sides[axis][sign > 0]
    assert view.flat(np.array([[[3.0, 4.0, 5.0]]])).tolist() == [[[3.0, 5.0]]]
