"""The paper for a drawing at full size: the smallest of ISO 216, or a length off a roll."""

from dataclasses import replace

import pytest
from drafting.plates import plate

from geomgen.drafting.paper.full_size import ROLLS, full_size
from geomgen.drafting.record import line
from geomgen.errors import FileWriteError


@pytest.mark.parametrize(
    ("width", "height", "sheet"),
    [
        (120, 100, "A4"),
        (250, 150, "A3"),
        (380, 400, "A2"),
        (780, 400, "A1"),
        (700, 500, "762 mm roll"),
        (2000, 900, "1067 mm roll"),
        (2000, 1200, "one"),
    ],
)
def test_smallest_sheet_that_holds_it(width, height, sheet):
    made = full_size(plate(width, height))
    assert made.size.startswith(sheet)
    assert made.over == 1


@pytest.mark.parametrize(
    ("width", "height"), [(562, 763), (672, 97), (610, 800), (900, 300), (700, 500), (1100, 650)]
)
def test_paper_is_not_empty_for_the_most_part(width, height):
    """A template just over A1 takes a length off a roll; a sheet is kept where it is well filled.

    Nothing smaller among the sheets of ISO 216 and the rolls would do: tried one by one.
    """
    made = full_size(plate(width, height))
    wide, high = made.paper
    need = (width + 32, height + 32 + 108)
    assert wide >= need[0]
    assert high >= need[1]
    area = wide * high
    assert need[0] * need[1] >= 0.6 * area
    if "roll" in made.size:
        assert min(wide % 10, high % 10) < 1e-9
        for roll in ROLLS:
            for short, long in (need, need[::-1]):
                assert roll < short or roll * long >= area - 10.0 * roll


def test_page_longer_than_readers_take_is_refused():
    with pytest.raises(FileWriteError, match="readers take 5080"):
        full_size(plate(5200, 100))


def test_lines_of_views_are_not_a_shop_s():
    drawing = plate(120, 100)
    drawing = replace(drawing, paths=(*drawing.paths, line((0, 0), (9, 9), "VISIBLE")))
    with pytest.raises(FileWriteError, match="as a drawing of views"):
        full_size(drawing)


def test_an_open_line_is_no_outline_to_cut():
    drawing = plate(120, 100)
    drawing = replace(drawing, paths=(*drawing.paths, line((0, 0), (9, 9), "CUT", "fore end")))
    with pytest.raises(FileWriteError, match="cut outline fore end is open"):
        full_size(drawing)
