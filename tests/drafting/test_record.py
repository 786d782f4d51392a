"""Paths of lines and arcs: area, length and points against closed forms."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.drafting.record import CUT, Drawing, Label, Path, circle, joined, line, rectangle

BULGE = math.tan(math.pi / 8)  # a quarter turn


def test_quarter_round_corner():
    # Closed form: a unit square with one corner rounded by its whole side: 1 - (1 - pi / 4).
    path = Path(((0, 0), (1, 0), (0, 1)), (0.0, BULGE, 0.0))
    assert path.area() == pytest.approx(math.pi / 4)
    assert path.length() == pytest.approx(2 + math.pi / 2)


def test_clockwise_area_is_negative():
    assert rectangle((0, 0), (2, 3)).area() == 6
    assert Path(((0, 0), (0, 3), (2, 3), (2, 0))).area() == -6


@given(st.floats(0.5, 500), st.floats(-1e3, 1e3), st.floats(-1e3, 1e3), st.floats(0.001, 0.5))
def test_dense_points_lie_on_the_circle(radius, x, y, sagitta):
    path = circle((x, y), radius)
    points = path.dense(sagitta)
    assert points[0] == points[-1]
    assert all(math.dist(p, (x, y)) == pytest.approx(radius, rel=1e-9) for p in points)
    chord = max(math.dist(a, b) for a, b in zip(points, points[1:], strict=False))
    assert (
        radius - math.sqrt(max(0.0, radius**2 - chord**2 / 4)) <= sagitta * 1.001 or chord > radius
    )


def test_wrong_layer_and_bulges_are_refused():
    with pytest.raises(ValueError, match="no layer"):
        Path(((0, 0), (1, 0)), layer="INK")
    with pytest.raises(ValueError, match="one bulge"):
        Path(((0, 0), (1, 0)), (0.0,))


def test_box_moved_and_joined():
    one = Drawing("a", (circle((10, 0), 5),), (Label((0, 8), "x"),))
    (x0, y0), (x1, y1) = one.box()
    assert (x0, x1, y1) == pytest.approx((0, 15, 8))
    assert y0 == pytest.approx(-5, abs=0.1)
    two = joined("b", [one, one.moved(100, 0)])
    assert two.box()[1][0] == pytest.approx(115)
    assert len(two.labels) == 2
    assert line((0, 0), (1, 0)).layer != CUT
