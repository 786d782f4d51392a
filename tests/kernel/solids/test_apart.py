"""Which body of a union does not touch: named, with its distance in closed form."""

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.booleans import fuse, volume

CASE = box((0, 0, 0), (100, 100, 100))
NAMES = ["engine.boxes.0 'crankcase'", "engine.boxes.1 'muffler'", "engine.boxes.2 'gear'"]


def message(*bodies) -> str:
    with pytest.raises(GeometryError) as caught:
        fuse(bodies, "engine", "envelope", NAMES[: len(bodies)])
    return caught.value.problem


def test_a_body_that_stands_clear_is_named_with_its_distance() -> None:
    text = message(CASE, box((112.5, 0, 0), (150, 100, 100)))
    assert "engine.boxes.1 'muffler' stands 12.5 mm clear of engine.boxes.0 'crankcase'" in text
    assert "move it more than 12.5 mm" in text


def test_every_stray_is_named_with_the_nearest_of_all_others() -> None:
    text = message(CASE, box((200, 0, 0), (250, 50, 50)), box((257, 0, 0), (260, 50, 50)))
    assert "'muffler' stands 7 mm clear of engine.boxes.2 'gear'" in text
    assert "'gear' stands 7 mm clear of engine.boxes.1 'muffler'" in text


def test_the_largest_heap_is_the_engine_whatever_the_order() -> None:
    """The stray comes first in the file."""
    text = message(box((-50, 0, 0), (-30, 20, 20)), CASE, box((100, 0, 0), (180, 100, 100)))
    assert text.count("stands") == 1
    assert "'crankcase' stands 30 mm clear of engine.boxes.1 'muffler'" in text


@pytest.mark.parametrize(
    "other",
    [
        pytest.param(box((100, 100, 0), (150, 150, 100)), id="edge"),
        pytest.param(box((100, 100, 100), (150, 150, 150)), id="corner"),
        pytest.param(cylinder((120, 50, 0), (0, 0, 1), 20, 100), id="tangent cylinder"),
    ],
)
def test_a_meeting_at_a_point_or_a_line_is_said_to_be_one(other) -> None:
    assert "meets engine.boxes.0 'crankcase' at a point or along a line only" in message(
        CASE, other
    )


def test_bodies_that_meet_along_a_line_are_told_where_a_third_joins_them() -> None:
    """Four faces meet in the line; the solid's mesh would not be closed."""
    beside, over = box((100, 100, 0), (150, 150, 100)), box((50, 50, 100), (150, 150, 120))
    text = message(CASE, beside, over)
    assert text.startswith("engine.boxes.0 'crankcase' and engine.boxes.1 'muffler'")
    assert "meet along a line only, at STA 100.0, BL 100.0, WL 50.0 mm" in text


@pytest.mark.parametrize(
    ("bodies", "whole"),
    [
        pytest.param([CASE, box((10, 10, 10), (20, 20, 20))], 1e6, id="inside"),
        pytest.param([box((10, 10, 10), (20, 20, 20)), CASE], 1e6, id="inside, first"),
        pytest.param([CASE, box((0, 10, 10), (20, 20, 20))], 1e6, id="inside, at the wall"),
        pytest.param([CASE, CASE], 1e6, id="the same twice"),
        pytest.param([CASE, box((100, 0, 0), (150, 100, 100))], 1.5e6, id="face to face"),
        pytest.param(
            [CASE, box((200, 0, 0), (300, 100, 100)), box((90, 0, 0), (210, 100, 100))],
            3e6,
            id="joined by the last",
        ),
    ],
)
def test_what_touches_is_one_body(bodies, whole: float) -> None:
    assert volume(fuse(bodies, "engine", "envelope")) == pytest.approx(whole, rel=1e-6)
