"""Texts in columns; common practice: none lies on another, all stand in their column."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.drawings.clashes import clashes
from geomgen.drawings.lettering import text_box
from geomgen.views.callouts import Callout, Column, in_column, longest, tall


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-50.0, 150.0), st.integers(1, 3), st.booleans()), min_size=1, max_size=7
    ),
    st.booleans(),
)
def test_texts_keep_apart_and_inside_however_their_points_lie(places, left: bool) -> None:
    callouts = [
        Callout(("engine 12.3 mm",) * rows, (-40.0 if not left else 240.0, at) if led else None, at)
        for at, rows, led in places
    ]
    column = Column(100.0, 60.0, -60.0, 160.0, left)
    assert tall(callouts, column.width, 2.5) < 220.0
    made = in_column(callouts, column, 2.5)
    assert clashes(made) == ()
    for label in made.labels:
        x0, low, x1, high = text_box(label)
        assert low >= column.low - 1.0
        assert high <= column.high + 1e-6
        assert (x0 >= 40.0 and x1 < 100.0) if left else (x0 > 100.0 and x1 <= 160.0)


def test_a_text_alone_stands_at_the_height_of_its_point() -> None:
    made = in_column([Callout(("pod",), (0.0, 40.0))], Column(50.0, 40.0, 0, 90, False), 2.5)
    assert made.labels[0].at[1] + 1.25 == pytest.approx(40.0)
    leader, head = made.paths
    assert leader.points[-1] == head.points[0] == (0.0, 40.0)


def test_long_texts_are_folded_and_told_how_wide_they_would_be() -> None:
    callouts = [Callout(("least gap round the engine 34.11 mm, at least 25.00 mm, PASS",))]
    wide = longest(callouts, 2.5)
    assert len(in_column(callouts, Column(0.0, wide, 0, 90, False), 2.5).labels) == 1
    assert len(in_column(callouts, Column(0.0, wide / 2, 0, 90, False), 2.5).labels) in (2, 3)
