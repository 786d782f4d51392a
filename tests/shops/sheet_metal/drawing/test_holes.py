"""The diameter of a hole is measured across it, and written where there is room."""

import pytest
import shapely

from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import text_corners
from geomgen.drafting.text_room import Room
from geomgen.shops.sheet_metal.drawing.holes import diameter
from geomgen.shops.sheet_metal.flat_pattern.solid import Hole

HOLE = Hole((50.0, 40.0), 12.5, 0.0)
SHEET = shapely.box(0.0, 0.0, 120.0, 80.0)


def room_of(area):
    room = Room(area, 1.0)
    room.block(shapely.Point(HOLE.centre).buffer(HOLE.diameter / 2))
    return room


def test_its_points_stand_on_the_rim():
    made = diameter(room_of(SHEET), HOLE, "H1", 3.0)
    assert made.text == "H1 Ø12.50"
    centre = shapely.Point(HOLE.centre)
    for end in (made.a, made.b):
        assert shapely.Point(end).distance(centre) == pytest.approx(6.25)
    assert shapely.Polygon(text_corners(drawn(made).label)).within(SHEET)


def test_it_keeps_off_what_is_taken_and_is_taken_itself():
    room = room_of(SHEET)
    room.block(shapely.box(56.0, 30.0, 120.0, 80.0))
    made = diameter(room, HOLE, "H1", 3.0)
    text = shapely.Polygon(text_corners(drawn(made).label))
    assert not text.intersects(shapely.box(56.0, 30.0, 120.0, 80.0))
    assert not room.free.intersects(text.buffer(0.5))


def test_no_room_is_said():
    room = room_of(shapely.box(40.0, 30.0, 60.0, 50.0))
    before = room.free
    assert diameter(room, HOLE, "H1", 3.0) is None
    assert room.free.equals(before)
