"""Alignment holes: shared by as many slabs as can be, clear of every outline. Known places."""

import pytest
from shapely import Polygon, box
from shops.foam.rings import ring

from geomgen.shops.foam.holes import Pair, pairs, room_for


def disc(radius, z=500.0):
    return Polygon(ring(radius, (0.0, z)))


def test_room_is_clear_of_both_outlines_and_of_the_centre_plane():
    room = room_for([box(-100, 0, 100, 200), box(-80, 20, 80, 300)], 12.0, True)
    assert room.equals(box(12, 32, 68, 188))
    whole = room_for([box(-100, 0, 100, 200), box(-80, 20, 80, 300)], 12.0, False)
    assert whole.equals(box(-68, 32, 68, 188))


def test_a_face_without_outline_takes_no_room():
    assert room_for([Polygon(), box(0, 0, 100, 100)], 10.0, False).equals(box(10, 10, 90, 90))
    assert room_for([Polygon(), Polygon()], 10.0, True).is_empty
    assert room_for([disc(11.0)], 12.0, True).is_empty


def test_all_share_a_pair_that_is_wide_for_the_largest_too():
    rooms = [room_for([disc(r)], 12.0, True) for r in (150, 160, 170, 120)]
    found = pairs(rooms)
    assert len(set(found)) == 1
    pair = found[0]
    for room in rooms:
        assert pair.inside(room)
    # The smallest half disc less the clearance is 216 high; the largest 316, of which 60 % count.
    assert 0.6 * 300.0 < pair.apart < 216.0
    assert abs(pair.low[0] - pair.high[0]) >= 15.0


def test_a_large_slab_does_not_share_what_is_narrow_for_it():
    """A body of 860 mm and its nose of 120 mm: no pair of 70 mm for both."""
    rooms = [room_for([disc(r, 780.0)], 12.0, True) for r in (430, 425, 420, 60, 55, 50, 45, 40)]
    found = pairs(rooms)
    for pair, radius in zip(found, (430, 425, 420), strict=False):
        assert pair.apart > 0.5 * 2 * radius
    assert all(pair is not None and pair.apart >= 25.0 for pair in found)


@pytest.mark.parametrize("half", [True, False])
def test_holes_stand_on_multiples_of_a_step_and_not_on_one_buttock_line(half):
    (pair,) = pairs([room_for([disc(200.0)], 12.0, half)])
    for value in (*pair.low, *pair.high):
        assert value % 5.0 == 0.0
    assert abs(pair.low[0] - pair.high[0]) >= 15.0
    assert pair.low[1] < pair.high[1]


def test_those_that_cannot_share_have_their_own():
    rooms = [room_for([disc(r, z)], 12.0, True) for r, z in ((90, 500), (95, 500), (60, 900))]
    found = pairs([*rooms, Polygon(), room_for([disc(30)], 12.0, True)])
    assert found[0] == found[1] is not None
    assert found[2] not in (None, found[0])
    assert found[3] is None
    # Within 18 mm of its middle and 12 mm off the centre plane no two holes stand 25 mm apart.
    assert found[4] is None
    (near,) = pairs([room_for([disc(35)], 12.0, True)])
    assert 25.0 <= near.apart < 60.0
    assert pairs([room_for([disc(16)], 12.0, False)]) == [None]


def test_a_room_of_one_buttock_line_has_both_holes_on_it():
    (pair,) = pairs([box(12.0, 0.0, 17.0, 300.0)])
    assert pair.low[0] == pair.high[0] == 15.0
    assert pair.apart > 200.0


def test_pair_outside_of_a_room():
    pair = Pair((15.0, 450.0), (20.0, 550.0))
    assert pair.inside(box(0, 400, 30, 600))
    assert not pair.inside(box(0, 400, 30, 540))
    assert pair.words() == "BL 15 WL 450 and BL 20 WL 550"


@pytest.mark.parametrize("half", [True, False])
def test_a_narrow_room_between_marks_has_none(half):
    assert pairs([box(11.0, 0.0, 14.0, 300.0)]) == [None]
    assert room_for([box(-20, 0, 20, 20)], 12.0, half).is_empty
