"""Planes across a way whose least section is known: what the grid alone is too coarse to tell."""

import numpy as np
import pytest

from geomgen.kernel.airways.across_way import least_plane, parts, places_of
from geomgen.kernel.airways.grid_walls import AirGrid, walls_between
from geomgen.kernel.airways.least_section import void_of
from geomgen.kernel.airways.narrowest import least_surface
from geomgen.kernel.airways.open_way import OpenWay, Ways, open_way
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut

LONG, WIDE, HIGH = 260.0, 90.0, 70.0
STEP = 6.0


def laid(*standing):
    """Return the way through a duct along x with some solids in it, its walls, what is left."""
    w, h = WIDE / 2, HIGH / 2
    outer = box((0, -w - 4, -h - 4), (LONG, w + 4, h + 4))
    duct = cut(outer, [box((-1, -w, -h), (LONG + 1, w, h))], "duct", "bench")
    made = [(solid, meshed(solid, 0.1)) for solid in (duct, *standing)]
    bodies = [body_of(solid, m.mesh, m.deviation.largest) for solid, m in made]
    low = (-3.7, -w - 8.3, -h - 7.1)
    grid = AirGrid(low, STEP, (45, 19, 16))
    walls = walls_between(grid, [body.mesh.corners for body in bodies])
    x, y, z = (np.broadcast_to(a, grid.counts) for a in grid.middles())
    room = (np.abs(y) < w + 2) & (np.abs(z) < h + 2)

    def solid(point):
        at = np.array(point)
        inside = (np.abs(at[1:]) < (w + 4, h + 4)).all()
        return bool(inside and (np.abs(at[1:]) > (w, h)).any())

    way = open_way(grid, walls, room, x < 20, x > LONG - 20, solid)
    return way, walls, void_of(Box(low, grid.high), bodies)


@pytest.mark.parametrize("taken", [3.0, 8.0, 20.0])
def test_a_sill_is_seen_that_the_cells_are_too_coarse_for(taken):
    sill = box((120, -WIDE / 2 - 1, -HIGH / 2 - 1), (180, WIDE / 2 + 1, -HIGH / 2 + taken))
    way, walls, void = laid(sill)
    found, coarse = least_plane(way, void), least_surface(way, walls)
    assert found.area == pytest.approx(WIDE * (HIGH - taken), rel=1e-6)
    assert 120 <= found.centroid[0] <= 180
    assert abs(coarse.area - found.area) <= coarse.bound


def test_both_sides_of_a_strut_count():
    strut = cylinder((130, 5, -HIGH), (0, 0, 1), 15.0, 2 * HIGH)
    way, _, void = laid(strut)
    found = least_plane(way, void)
    # A plane beside the strut's axis leaves 2 sqrt(R^2 - d^2) less; one may be a step away.
    least, beside = (WIDE - 30.0) * HIGH, (WIDE - 2 * np.sqrt(15.0**2 - STEP**2)) * HIGH
    assert least - found.off - 1.0 <= found.area <= beside + found.off


@pytest.mark.parametrize("thick", [0.5, 2.0])
@pytest.mark.parametrize("share", [0.8, 0.95])
def test_a_thin_plate_with_a_hole_is_met_within_its_own_thickness(thick, share):
    w, h = share * WIDE / 2, HIGH / 2
    plate = cut(
        box((117.3, -WIDE / 2 - 1, -h - 1), (117.3 + thick, WIDE / 2 + 1, h + 1)),
        [box((110, -w, 2 - h), (130, w, h - 2))],
        "plate",
        "bench",
    )
    way, _, void = laid(plate)
    assert least_plane(way, void).area == pytest.approx(share * WIDE * (HIGH - 4), rel=1e-6)


def test_one_of_two_ways_round_a_strut_is_no_section():
    strut = box((120, -10, -HIGH), (140, 10, HIGH))
    way, _, void = laid(strut)
    frame = frame_round(Plane((130.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (130.0, 0.0, 0.0))
    half = void.pieces(frame, np.array([[130.0, 30.0, 0.0]]))
    both = void.pieces(frame, np.array([[130.0, 30.0, 0.0], [130.0, -30.0, 0.0]]))
    assert half.area == pytest.approx(both.area / 2)
    assert not parts(way, half, 0.0)
    assert parts(way, both, 0.0)


def test_a_way_through_cells_of_one_potential_is_a_way():
    """Near its ends a potential is level, as far as numbers tell: air passes there all the same."""
    grid = AirGrid((0.0, 0.0, 0.0), 1.0, (4, 1, 1))
    ways = Ways(np.array([0, 1, 2]), np.array([1, 2, 3]), np.zeros(3, dtype=int))
    ends = np.array([True, False, False, False])
    way = OpenWay(grid, np.arange(4), ways, np.array([1.0, 1.0, 1.0, 0.0]), ends, ends[::-1])
    assert not way.parted_without(np.zeros(3, dtype=bool))
    assert way.parted_without(np.array([False, True, False]))


def test_cells_of_one_potential_stay_joined():
    walls = [np.zeros((3, 1, 1), int), np.zeros((4, 0, 1), int), np.zeros((4, 1, 0), int)]
    grid, room = AirGrid((0.0, 0.0, 0.0), 1.0, (4, 1, 1)), np.ones((4, 1, 1), dtype=bool)
    begin, end = room.copy(), room.copy()
    begin[2:], end[:3] = False, False
    way = open_way(grid, walls, room, begin, end, lambda point: False)
    # The first two are both at 1: what joins them is a way too.
    assert way.fall.tolist() == pytest.approx([1.0, 1.0, 0.5, 0.0])
    assert len(way.ways.a) == 3


def test_planes_lie_square_to_the_stream():
    way, _, _ = laid()
    places = places_of(way, np.linspace(0.1, 0.9, 15))
    assert len(places) > 10
    assert all(place.stream[0] > 0.999 for place in places)
