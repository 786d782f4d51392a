"""From where a body is seen, for every way to look along an axis."""

import numpy as np
import pytest

from geomgen.drafting.lettering import width_of
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.shops.page_view import SEEN, PageView, step_for


@pytest.mark.parametrize(("axis", "sign"), SEEN)
def test_it_is_seen_from_the_side_that_the_viewer_is_on(axis, sign):
    toward = np.full(3, 0.1)
    toward[axis] = sign
    view = PageView(np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), toward)
    sides = (("ahead", "aft"), ("left", "right"), ("below", "above"))
    assert view.words.split()[-1] == sides[axis][sign > 0]
    assert view.flat(np.array([[[3.0, 4.0, 5.0]]])).tolist() == [[[3.0, 5.0]]]


def test_words_of_a_scale_have_room_beside_each_other_in_inches_too():
    """At twice the width of the words the step is the next one up."""
    steps = (100.0, 200.0, 500.0, 1000.0)
    plain = step_for(steps, 150.0, "STA 2800", 25.0)
    with lengths_on_paper(True):
        both = step_for(steps, 150.0, "STA 2800", 25.0)
        wide = width_of("STA 2800", 25.0)
    assert (plain, both) == (200.0, 500.0)
    assert 200.0 < wide < 500.0
    assert step_for(steps, 150.0, "", 25.0) == 200.0
