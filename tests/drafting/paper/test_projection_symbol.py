"""The sign of the projection method against the rule of ISO 5456-2, from geometry alone."""

import pytest

from geomgen.drafting.paper.projection_symbol import FIRST, THIRD, symbol


def parts(method):
    (cone, small, large), _ = symbol(method, (100.0, 50.0), 4.0)
    return cone, small, large


@pytest.mark.parametrize("method", [FIRST, THIRD])
def test_second_view_stands_where_the_method_puts_it(method):
    cone, _, large = parts(method)
    xs = [x for x, _ in cone.points]
    heights = {x: max(y for a, y in cone.points if a == x) for x in xs}
    narrow, wide = sorted(heights, key=lambda x: heights[x])
    # Both circles are drawn full, so the second view is taken from the narrow end, where the
    # smaller circle lies in front of the larger one.
    side = 1 if narrow > wide else -1
    middle = sum(x for x, _ in large.points) / 2
    placed = 1 if middle > sum(xs) / 4 else -1
    # ISO 5456-2: in first angle projection a view stands on the far side from where it is taken,
    # in third angle projection on the near side. PUBLISHED.
    assert placed == (side if method == THIRD else -side)


def test_views_agree_and_do_not_meet():
    for method in (FIRST, THIRD):
        cone, small, large = parts(method)
        ys = sorted({y for _, y in cone.points})
        # Closed form: the ends of the cone are as high as the circles are wide.
        assert ys[3] - ys[0] == pytest.approx(large.points[1][0] - large.points[0][0])
        assert ys[2] - ys[1] == pytest.approx(small.points[1][0] - small.points[0][0])
        xs = [x for x, _ in cone.points]
        assert large.points[0][0] > max(xs) or large.points[1][0] < min(xs)


def test_unknown_method_is_refused():
    with pytest.raises(ValueError, match="no projection"):
        symbol("second angle", (0.0, 0.0), 4.0)
