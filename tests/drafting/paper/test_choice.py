"""The choice of paper: the smallest sheet that is clear, at the largest scale, by closed forms."""

from dataclasses import replace

import pytest

from geomgen.drafting.clashes import clashes
from geomgen.drafting.paper.choice import at_largest_scale, holds, on_smallest
from geomgen.drafting.paper.sheet import SCALES, Sheet
from geomgen.drafting.record import VISIBLE, Dimension, Drawing, Label, line, rectangle
from geomgen.errors import GeometryError

# Room for a drawing, that is what frame, title block and clearance leave of ISO 216 [mm].
ROOM = {"A4": (265, 138), "A3": (388, 225), "A2": (562, 348), "A1": (809, 522)}


def plate(wide, high):
    return Drawing("plate", (rectangle((0.0, 0.0), (wide, high), VISIBLE),))


@pytest.mark.parametrize("size", ROOM)
def test_room(size):
    wide, high = ROOM[size]
    assert holds(Sheet(plate(10.0 * wide, 10.0 * high), size, 10))
    assert not holds(Sheet(plate(10.0 * wide + 1, 10.0 * high), size, 10))


def test_a_dimension_counts_with_its_figure_and_lines():
    wide, high = ROOM["A3"]
    row = Dimension((0.0, 0.0), (wide, 0.0), (0.0, -20.0))
    whole = plate(wide, high - 10)
    assert holds(Sheet(whole, "A3", 1))
    assert not holds(Sheet(Drawing("a", whole.paths, dimensions=(row,)), "A3", 1))


@pytest.mark.parametrize(
    ("wide", "high", "over", "size"),
    [(380, 220, 1, "A3"), (2900, 900, 10, "A3"), (1300, 650, 5, "A4"), (1400, 650, 5, "A3")],
)
def test_largest_scale_of_a3_on_the_smallest_sheet_that_holds_it(wide, high, over, size):
    sheet = on_smallest(lambda *_: [plate(wide, high)], "pod", [])
    assert (sheet.over, sheet.size) == (over, size)


def crowded(over, size):
    """Return a plate with a text that has room only where letters are small beside it."""
    words = Label((40.0, 20.0), "a text of some length", 2.5 * over)
    bar = line((200.0, 0.0), (200.0, 300.0), VISIBLE)
    return [Drawing("plate", (*plate(700.0, 430.0).paths, bar), (words,))]


def test_a_larger_sheet_is_taken_where_something_clashes():
    def loud(over, size):
        return crowded(4 * over, size)

    # Closed form: 2.5 mm letters on A3 at 1:2, four times as high, run from 40 past 200.
    tight = at_largest_scale(loud, "A3")
    assert (tight.over, clashes(tight.drawing) == ()) == (2, False)
    found = on_smallest(loud, "pod", [])
    assert (found.size, found.over) == ("A1", 1)
    assert clashes(found.drawing) == ()
    assert on_smallest(crowded, "pod", []).size == "A3"


def test_the_first_way_without_clashes_is_drawn():
    clear = plate(100.0, 60.0)
    struck = Drawing("struck", clear.paths, (Label((98.0, 20.0), "through the edge", 5.0),))
    for ways, due in (((struck, clear), clear), ((clear, struck), clear), ((struck,), struck)):
        assert at_largest_scale(lambda *_, some=ways: some, "A3").drawing is due


def test_a_larger_sheet_is_taken_until_it_shows_all():
    def lettered(*_):
        return [plate(2900.0, 2000.0)]

    # Closed form: it goes 1:10 on A3 and A2, 1:5 on A1 and A0.
    for shown, due in (
        ({10: 0.5, 5: 1.0}, "A1"),
        ({10: 0.4, 5: 0.7}, "A1"),
        ({10: 0.7, 5: 0.7}, "A3"),
    ):
        sheet = on_smallest(lettered, "pod", [], lambda made, some=shown: some[made.over])
        assert sheet.size == due


def test_where_all_clash_that_with_the_fewest_is_taken_on_the_smallest_sheet():
    edge = Label((99.0, 20.0), "edge", 2.5)
    more = {"A3": (0.0, 9.0), "A2": (0.0,), "A1": (0.0,), "A0": (0.0, 9.0)}

    def struck(over, size):
        labels = tuple(replace(edge, at=(99.0, 20.0 + up)) for up in more[size])
        return [Drawing(size, plate(100.0, 60.0).paths, labels)]

    sheet = on_smallest(struck, "pod", [])
    assert sheet.drawing.name == "A2"
    assert sheet.size == "A4"


def test_no_room_is_refused_with_the_part():
    def large(over, _):
        return [plate(1e6 * over, 1e6 * over)]

    assert at_largest_scale(large, "A3") is None
    with pytest.raises(GeometryError, match="no sheet has room") as caught:
        on_smallest(large, "wing", ["handoff.cores.bow"])
    assert caught.value.part == "wing"
    assert SCALES[-1] == 500
