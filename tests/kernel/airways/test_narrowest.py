"""The narrowest place of ways with a known one, in any attitude, against the stated bound."""

import numpy as np
import pytest
import trimesh
from few_cases import few

from geomgen.kernel.airways import open_way
from geomgen.kernel.airways.grid_walls import AirGrid, walls_between
from geomgen.kernel.airways.narrowest import Narrowest, least_surface

LONG = 260.0


def box(low, high) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def pipe(wide: float, high: float, wall: float = 2.0) -> trimesh.Trimesh:
    """Return a straight duct along x."""
    w, h = wide / 2, high / 2
    outer = box((0, -w - wall, -h - wall), (LONG, w + wall, h + wall))
    return trimesh.boolean.difference([outer, box((-1, -w, -h), (LONG + 1, w, h))])


def least(parts, step: float, angle: float = 0.0, offset=(0.0, 0.0, 0.0)):
    """Return the narrowest place between both ends of a duct, all turned about an odd axis."""
    turn = trimesh.transformations.rotation_matrix(np.radians(angle), (0.2, 0.7, 0.4))
    turn[:3, 3] = offset
    corners = [part.copy().apply_transform(turn).triangles for part in parts]
    every = np.concatenate(corners).reshape(-1, 3)
    low = every.min(axis=0) - 2.3 * step
    counts = np.ceil((np.ptp(every, axis=0) + 4.6 * step) / step).astype(int)
    grid = AirGrid(tuple(low), step, tuple(int(c) for c in counts))
    x, y, z = (np.broadcast_to(a, grid.counts) for a in grid.middles())
    own = (np.stack([x, y, z], axis=-1) - np.array(offset)) @ turn[:3, :3]
    size = np.array(parts[0].extents) / 2
    space = (np.abs(own[..., 1:]) < size[1:]).all(axis=-1)
    begin, end = own[..., 0] < 4 * step, own[..., 0] > LONG - 4 * step
    solids = [part.copy().apply_transform(turn) for part in parts]
    walls = walls_between(grid, corners)
    way = open_way.open_way(
        grid,
        walls,
        space,
        begin,
        end,
        lambda point: any(solid.contains([point])[0] for solid in solids),
    )
    return Narrowest(0.0, 0.0, None) if way is None else least_surface(way, walls)


RNG = np.random.default_rng(11)


def any_duct() -> tuple:
    """Return breadth, height, angle, share that a block takes, place."""
    sizes = RNG.uniform((60, 40), (120, 90))
    return (*sizes, RNG.uniform(0, 90), RNG.uniform(0.2, 0.9), RNG.uniform(-3, 3, 3))


DUCTS = [any_duct() for _ in range(50)]


@pytest.mark.parametrize(
    ("wide", "high", "angle", "share", "offset"), few(DUCTS, *range(12), rows=True)
)
def test_a_block_leaves_what_it_leaves(wide, high, angle, share, offset):
    """A block 60 mm long from one side: wide x high x (1 - share) is left, in closed form."""
    block = box((100, -wide / 2 - 1, -high), (160, -wide / 2 + share * wide, high))
    found = least([pipe(wide, high), block], 5.0, angle, offset)
    assert abs(found.area - wide * high * (1 - share)) <= found.bound
    assert set(found.beside) <= {1, 2}


@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0])
def test_a_gap_round_a_plate_is_its_rim_times_the_gap(angle):
    """A plate that stands off a hole: the air passes its edge all round, hole's rim x gap."""
    end = box((120, -60, -60), (123, 60, 60))
    holed = trimesh.boolean.difference([end, box((119, -30, -30), (124, 30, 30))])
    plate = box((108, -45, -45), (111, 45, 45))
    found = least([pipe(116, 116), holed, plate], 4.0, angle)
    # 60 mm square, 9 mm gap: 240 x 9 at the hole's rim, which is less than at the plate's.
    assert found.area == pytest.approx(240 * 9, abs=found.bound)
    assert {2, 3} <= set(found.beside)


def test_what_is_shut_is_nought():
    stop = box((100, -60, -60), (101, 60, 60))
    found = least([pipe(80, 60), stop], 5.0, 30.0)
    assert (found.area, found.at, found.beside) == (0.0, None, ())


def test_a_free_way_has_its_own_area():
    found = least([pipe(80, 60)], 4.0)
    assert found.area == pytest.approx(4800.0, abs=found.bound)
    assert found.bound < 0.25 * 4800.0


@pytest.mark.parametrize("first_is_dark", [True, False])
@pytest.mark.parametrize("count", [2, 3, 40])
def test_the_potential_of_a_row_falls_evenly(count, first_is_dark) -> None:
    """Closed form; a row of two cells has none that is free, one of three has a single shade."""
    cells = np.arange(count)
    ways = open_way.Ways(cells[:-1], cells[1:], np.zeros(count - 1, dtype=int))
    dark = (cells % 2 == 0) == first_is_dark
    fall = open_way._potential(ways, cells == 0, cells == count - 1, dark)
    assert fall == pytest.approx(np.linspace(1.0, 0.0, count), abs=1e-6)
