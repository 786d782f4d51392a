"""Where dimensions, names and leaders are put: clear of texts, near what they measure."""

import pytest

from geomgen.aircraft_drawings.on_wheels.placing import (
    AngleLeg,
    DrawingBoard,
    angle_tries,
    length_tries,
    names_along,
)
from geomgen.drafting.clashes import clashes
from geomgen.drafting.record import Drawing, Label, line, rectangle

BODY = rectangle((0.0, 0.0), (200.0, 60.0))
BELOW = ((0.0, 0.0), (200.0, 0.0))


def test_the_second_of_two_lengths_keeps_off_the_first():
    board = DrawingBoard(Drawing("", (BODY,)), 2.5)
    for name in ("first", "second"):
        board.dimension(length_tries(*BELOW, 0.0, 2.5, "", name, (-1,)))
    made = board.drawing
    assert [d.measured for d in made.dimensions] == [200.0, 200.0]
    assert made.dimensions[1].at[1] < made.dimensions[0].at[1] < 0.0
    assert clashes(made) == ()


@pytest.mark.parametrize("turn", [0.0, 40.0, 81.0, 200.0, 290.0])
def test_an_angle_with_its_legs_is_clear_of_its_own_lines(turn):
    """A wide figure over a narrow angle, at any way that it may open."""
    board = DrawingBoard(Drawing("", (line((-1.0, 0.0), (1.0, 0.0)),)), 2.5)
    board.angle_with_legs((turn, turn + 18.0), (0.0, 0.0), "A RATHER LONG NAME ", "a")
    (made,) = board.drawing.dimensions
    assert made.measured == pytest.approx(18.0)
    assert clashes(board.drawing) == ()


def test_an_angle_may_stand_behind_its_corner():
    legs = (AngleLeg(0.0, 50.0, 50.0), AngleLeg(30.0, 50.0, 50.0))
    ways = {round(d.at[0] / abs(d.at[0])) for d in angle_tries((0.0, 0.0), legs, 2.5, "", "a")}
    assert ways == {1, -1}
    assert {round(d.measured, 6) for d in angle_tries((0.0, 0.0), legs, 2.5, "", "a")} == {30.0}


def test_what_has_no_room_is_told():
    wall = tuple(Label((0.0, 2.0 * y), "W" * 200, 2.5, 0.0, "middle") for y in range(-80, 80))
    board = DrawingBoard(Drawing("", (BODY,), wall), 2.5)
    board.dimension(length_tries(*BELOW, 0.0, 2.5, "SPAN ", "span"))
    board.callout((100.0, 30.0), "centre")
    assert board.missed == ["SPAN 200.0", "centre"]
    assert not board.label(names_along(BELOW, "name", 2.5))


def test_a_leader_ends_in_its_point():
    board = DrawingBoard(Drawing("", (BODY,)), 2.5)
    board.callout((100.0, 30.0), "centre")
    (leader,) = [path for path in board.drawing.paths if path.name == "leader"]
    assert leader.points[1] == (100.0, 30.0)
    assert board.drawing.labels[0].at[1] > 60.0
