"""Text finds room of its own, or says that there is none."""

import shapely

from geomgen.drafting.lettering import block_size
from geomgen.drafting.text_room import Room


def test_blocks_keep_clear_of_each_other_and_of_holes() -> None:
    hole = shapely.Point(50.0, 50.0).buffer(15.0)
    room = Room(shapely.box(0.0, 0.0, 100.0, 100.0))
    room.block(hole)
    for _ in range(4):
        assert room.write(("ABCD", "12"), 5.0, (50.0, 50.0))
    wide, high = block_size(("ABCD", "12"), 5.0)
    tops = room.labels[::2]
    boxes = [
        shapely.box(t.at[0] - wide / 2, t.at[1] + 5 - high, t.at[0] + wide / 2, t.at[1] + 5)
        for t in tops
    ]
    for i, one in enumerate(boxes):
        assert one.distance(hole) >= 2.0 - 0.1
        assert all(one.distance(other) > 0 for other in boxes[:i])


def test_no_room_is_said_and_nothing_written() -> None:
    room = Room(shapely.box(0.0, 0.0, 20.0, 20.0))
    assert not room.write(("FAR TOO LONG",), 5.0, (10.0, 10.0))
    assert room.labels == []


def test_within_reach_alone_if_asked() -> None:
    room = Room(
        shapely.union(shapely.box(0.0, 0.0, 12.0, 90.0), shapely.box(0.0, 0.0, 200.0, 40.0))
    )
    near = (6.0, 80.0)
    assert not room.write(("WL 1234",), 4.0, near, 15.0)
    assert room.labels == []
    assert room.write(("WL",), 2.0, near, 15.0)
    assert abs(room.labels[0].at[1] - near[1]) < 15.0
    assert room.write(("WL 1234",), 4.0, near)
