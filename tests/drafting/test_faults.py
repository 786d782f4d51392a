"""What is read back is held to what was drawn: the least difference of each kind is found."""

from dataclasses import replace
from math import nan

import pytest

from geomgen.drafting.faults import Nearness, line_fault, text_fault
from geomgen.drafting.record import Label, Path, circle, line

EXACT = Nearness(1e-6, 1e-6, 1e-6, layers=True)
PAGE = Nearness(0.05, 0.05, 0.1, chords=True)
LABEL = Label((3.0, 4.0), "WL 820", 2.5, 30.0, "end", "DIM")
ARC = Path(((0.0, 0.0), (10.0, 0.0)), (0.5, 0.0), False, "CUT", "arc")


@pytest.mark.parametrize(
    "other",
    [{"text": "WL 830"}, {"at": (3.0, 4.1)}, {"height": 2.6}, {"angle": 31.0},
     {"anchor": "start"}, {"layer": "TEXT"}],
)  # fmt: skip
def test_another_text_is_another(other):
    assert text_fault([replace(LABEL, angle=390.0)], [LABEL], EXACT) == ""
    assert "WL 820" in text_fault([replace(LABEL, **other)], [LABEL], EXACT)


@pytest.mark.parametrize(
    "other",
    [{"points": ((0.0, 0.0), (10.0, 2e-6))}, {"bulges": (0.5 + 2e-6, 0.0)}, {"closed": True},
     {"layer": "REF"}, {"points": ((0.0, 0.0),), "bulges": ()}],
)  # fmt: skip
def test_another_line_is_another(other):
    assert line_fault([ARC], [ARC], EXACT) == ""
    assert "line arc of CUT" in line_fault([replace(ARC, **other)], [ARC], EXACT)


def test_as_many_lines_and_texts_as_were_drawn():
    assert "it shows 0 lines of CUT, not 1" in line_fault([], [ARC], EXACT, " of CUT")
    assert "it shows 2 texts, not 1" in text_fault([LABEL, LABEL], [LABEL], EXACT)
    # What has no letters is not seen in any format.
    assert text_fault([LABEL], [replace(LABEL, text=" "), LABEL], EXACT) == ""


def test_chords_are_held_to_the_arc_that_they_follow():
    ring = circle((0.0, 0.0), 20.0)
    fine, coarse = (Path(tuple(ring.dense(sagitta))) for sagitta in (0.02, 0.2))
    assert line_fault([fine], [ring], PAGE) == ""
    assert "not the one drawn" in line_fault([coarse], [ring], PAGE)
    assert line_fault([line((0.0, 0.0), (0.0, 0.0))], [ring], PAGE)


SLOT = Path(((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)), (0.0, 1.0, 0.0, 1.0), True, "CUT")


@pytest.mark.parametrize("at", range(4))
def test_what_is_no_number_is_off_wherever_it_stands(at):
    """Of a number and none, which is the larger hangs on their order."""
    bulges, points = list(SLOT.bulges), list(SLOT.points)
    bulges[at], points[at] = nan, (10.0, nan)
    for near in (EXACT, PAGE):
        assert "not the one drawn: inf mm" in line_fault(
            [replace(SLOT, points=tuple(points))], [SLOT], near
        )
    assert "not the one drawn: inf mm" in line_fault(
        [replace(SLOT, bulges=tuple(bulges))], [SLOT], EXACT
    )


@pytest.mark.parametrize("other", [{"height": nan}, {"at": (nan, 4.0)}, {"angle": nan}])
def test_a_text_without_a_place_or_size_is_off(other):
    assert "another place or size" in text_fault([replace(LABEL, **other)], [LABEL], EXACT)
