"""Blanks on sheets: inside, apart, none lost; random ones, measured with shapely."""

import pytest
from hypothesis import given, settings
from shapely import box
from strategies import blank_sizes

from geomgen.shops.nesting import NestBlank, least_sheets, nested

WIDTH, HEIGHT = 1250.0, 600.0


@settings(max_examples=60, deadline=None)
@given(blank_sizes(WIDTH, HEIGHT))
def test_random_blanks_lie_inside_and_apart(sizes):
    gap = 10.0
    blanks = [NestBlank(str(i), w, h) for i, (w, h) in enumerate(sizes)]
    laid, left = nested(blanks, WIDTH, HEIGHT, gap)
    assert sorted([row.blank.name for row in laid] + [b.name for b in left]) == sorted(
        b.name for b in blanks
    )
    inside = box(gap - 1e-6, gap - 1e-6, WIDTH - gap + 1e-6, HEIGHT - gap + 1e-6)
    shapes = [box(r.x, r.y, r.x + r.width, r.y + r.height) for r in laid]
    assert all(inside.contains(shape) for shape in shapes)
    for i, (row, shape) in enumerate(zip(laid, shapes, strict=True)):
        assert {row.width, row.height} == {row.blank.width, row.blank.height}
        for other, beside in zip(laid[i + 1 :], shapes[i + 1 :], strict=True):
            assert row.sheet != other.sheet or shape.distance(beside) >= gap - 1e-6
    for blank in left:
        long, short = max(blank.width, blank.height), min(blank.width, blank.height)
        assert long > WIDTH - 2 * gap or short > HEIGHT - 2 * gap


@settings(max_examples=60, deadline=None)
@given(blank_sizes(WIDTH, HEIGHT))
def test_never_fewer_sheets_than_the_bounds(sizes):
    laid, _ = nested(
        [NestBlank(str(i), w, h) for i, (w, h) in enumerate(sizes)], WIDTH, HEIGHT, 10.0
    )
    sheets = len({row.sheet for row in laid})
    assert sheets >= max(least_sheets([row.blank for row in laid], WIDTH, HEIGHT, 10.0))
    assert {row.sheet for row in laid} == set(range(sheets))


def test_squares_that_fill_their_sheets():
    # Six along 1210 mm, three across 610 mm: two full sheets of eighteen, by count.
    laid, left = nested([NestBlank(str(i), 190, 190) for i in range(36)], 1210, 610, 10)
    assert not left
    assert len({row.sheet for row in laid}) == 2
    assert least_sheets([row.blank for row in laid], 1210, 610, 10) == (2, 0)


def test_small_ones_fill_what_large_ones_leave():
    # 880 x 300 leaves 360 x 600 beside it and 880 x 290 above: both are used.
    many = [NestBlank("a", 880, 300), NestBlank("b", 590, 330), NestBlank("c", 280, 870)]
    laid, _ = nested(many, 1250, 610, 10)
    assert {row.sheet for row in laid} == {0}


def test_large_ones_need_a_sheet_each():
    many = [NestBlank(str(i), 310, 880) for i in range(5)]
    laid, _ = nested(many, 1250, 600, 10)
    assert len({row.sheet for row in laid}) == 5
    # By area alone 5 x 320 x 890 mm would go on 1240 x 590 mm twice.
    assert least_sheets(many, 1250, 600, 10) == (2, 5)


def test_blank_is_turned_where_it_must_be():
    (row,), _ = nested([NestBlank("a", 500, 900)], WIDTH, HEIGHT, 5)
    assert row.turned
    assert (row.width, row.height) == (900, 500)


@pytest.mark.parametrize("size", [(1300, 100), (700, 700)])
def test_too_large(size):
    laid, left = nested([NestBlank("a", *size)], WIDTH, HEIGHT, 5)
    assert not laid
    assert [b.name for b in left] == ["a"]
