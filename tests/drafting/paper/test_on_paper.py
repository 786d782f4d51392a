"""Where a drawing stands on its sheet: scale, middle, room; all against closed forms."""

import math

import pytest
from drawn_groups import as_drawing

from geomgen.drafting.paper.on_paper import body, on_paper, spot
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CENTRE, DIM, VISIBLE, Dimension, Drawing, Label, circle, line
from geomgen.errors import FileWriteError

TITLE = Title("Demo", "side", "A")
DISC = circle((1000.0, 500.0), 800.0, VISIBLE)
AXIS = line((0.0, 500.0), (2000.0, 500.0), CENTRE)
GAP = Dimension((200.0, 500.0), (1800.0, 500.0), (1000.0, -600.0), height=35.0)


def test_scale_and_middle():
    there = spot(Sheet(Drawing("a", (DISC, AXIS)), "A3", 10))
    # The room of A3 is what frame, strip and clearance leave: 16 to 404 across, 56 to 281 up.
    assert there.place((1000.0, 500.0)) == pytest.approx((210.0, 168.5), abs=0.02)
    a, b = there.place((0.0, 0.0)), there.place((100.0, 200.0))
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((10.0, 20.0))


def test_lines_keep_layer_and_bulges_and_letters_their_height_on_paper():
    sheet = Sheet(Drawing("a", (DISC, AXIS), (Label((0, 0), "x", 35.0),), (), (GAP,)), "A3", 10)
    groups = {group.name: group for group in body(sheet)}
    assert set(groups) == {"VISIBLE", "CENTRE", "DIM", "TEXT"}
    seen = groups["VISIBLE"].paths[0]
    # Closed form: the circumference on paper.
    assert seen.length() == pytest.approx(2 * math.pi * 80.0)
    assert groups[DIM].labels[0].text == "1600.0"
    assert groups[DIM].labels[0].height == pytest.approx(3.5)
    tips = [path.points[0] for path in groups[DIM].paths if path.closed]
    assert math.dist(*tips) == pytest.approx(160.0)


def test_texts_count_for_the_room():
    long = Label(
        (2000.0, 500.0), "a text that goes on and on to the edge of the paper and over", 90.0
    )
    spot(Sheet(Drawing("a", (DISC,)), "A3", 10))
    with pytest.raises(FileWriteError, match="has room for 388 x 225"):
        spot(Sheet(Drawing("a", (DISC,), (long,)), "A3", 10))


def test_sheet_that_is_too_small_is_refused():
    with pytest.raises(FileWriteError, match="choose a larger sheet"):
        on_paper(Sheet(Drawing("a", (DISC,)), "A3", 5), TITLE)


def test_all_lies_inside_the_frame():
    sheet = Sheet(Drawing("a", (DISC, AXIS), (), (), (GAP,)), "A3", 10)
    (x0, y0), (x1, y1) = as_drawing(body(sheet)).box()
    assert x0 >= 16 - 0.05
    assert y0 >= 56 - 0.05
    assert x1 <= 404.05
    assert y1 <= 281.05
