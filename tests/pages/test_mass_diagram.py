"""The envelope: places in the drawing are those of the figures, whatever their size."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.pages.mass_diagram import Envelope, MassPoint, drawn

POINTS = (MassPoint(1500.0, 200.0, "light"), MassPoint(1560.0, 260.0, "heavy", True))


def test_a_limit_between_two_loadings_is_drawn_between_them():
    made = drawn(Envelope(POINTS, aft=1530.0, forward=1400.0, heaviest=250.0))
    assert made is not None
    (x0, y0, *_), (x1, y1, *_) = made.points
    assert made.forward < x0 < made.aft < x1
    assert made.aft == pytest.approx((x0 + x1) / 2, abs=0.02)
    assert y1 < made.heaviest < y0


def test_the_grid_tells_the_places():
    made = drawn(Envelope(POINTS))
    assert made is not None
    (a, b), figures = made.across[:2], [float(tick.text) for tick in made.across[:2]]
    scale = (b.at - a.at) / (figures[1] - figures[0])
    assert made.points[0][0] == pytest.approx(a.at + scale * (1500.0 - figures[0]), abs=0.1)


def test_nothing_to_show_is_no_diagram():
    assert drawn(Envelope(())) is None


@given(
    st.lists(st.tuples(st.floats(-5e3, 15e3), st.floats(1, 3e3)), min_size=1, max_size=9),
    st.none() | st.floats(-5e3, 15e3),
)
def test_everything_stays_within_the_frame(places, aft):
    made = drawn(Envelope(tuple(MassPoint(x, m, "a") for x, m in places), aft=aft))
    assert made is not None
    xs = [x for x, *_ in made.points] + ([made.aft] if aft is not None else [])
    assert all(made.left <= x <= made.right for x in xs)
    assert all(made.top <= y <= made.bottom for _, y, *_ in made.points)
    assert 2 <= len(made.across) <= 12
