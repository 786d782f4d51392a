"""Cells of a space: never more than can be looked through; those that the hull surrounds."""

import math

import numpy as np
import pytest
import trimesh
from scipy import ndimage

from geomgen.kernel.airways.grid_walls import walls_between
from geomgen.kernel.brep.boxes import Box
from geomgen.measurements.cooling_air.way_grid import MOST, Space, closed_over, grid_of, surrounded


def test_a_small_mouth_in_a_large_hull_gets_larger_cells():
    hull = Box((0.0, -600.0, -700.0), (1500.0, 600.0, 700.0))
    for again in (0, 1):
        grid = grid_of(Space(1.5, hull), again)
        assert np.prod(grid.counts) < 1.05 * MOST
        assert all(np.array(grid.high) >= hull.high)
        assert all(np.array(grid.low) <= hull.low)


def test_a_space_that_fits_keeps_its_cells():
    small = Box((0.0, -60.0, -70.0), (150.0, 60.0, 70.0))
    assert grid_of(Space(5.0, small), 0).step == 5.0
    assert grid_of(Space(5.0, small), 1).step == 2.5


HALF, STEP = 40.0, 5.0


def tube_with_a_slit(way, wide):
    """Return a square tube along x of 80 mm, cut by a slit across `way` through a cell's middle.

    Its grid, the walls of the tube, and which cells lie in the tube's outline.
    """
    space = Space(STEP, Box((-60.0, -60.0, -60.0), (60.0, 60.0, 60.0)))
    grid = grid_of(space, 0)
    middle = [float(axis.ravel()[len(axis.ravel()) // 2]) for axis in grid.middles()]
    tube = trimesh.creation.box((2 * HALF, 2 * HALF, 2 * HALF)).difference(
        trimesh.creation.box((3 * HALF, 2 * HALF - 6, 2 * HALF - 6))
    )
    slit = trimesh.creation.box((300.0, 300.0, wide))
    slit.apply_transform(trimesh.geometry.align_vectors((0, 0, 1), way))
    slit.apply_translation(middle)
    tube = tube.difference(slit)
    x, y, z = grid.middles()
    true = (np.abs(x) < HALF) & (np.abs(y) < HALF) & (np.abs(z) < HALF)
    return grid, [wall > 0 for wall in walls_between(grid, [tube.triangles])], true


ACROSS, SIDE, UP = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def leaning(degrees):
    return (math.cos(math.radians(degrees)), 0.0, math.sin(math.radians(degrees)))


@pytest.mark.parametrize("way", [ACROSS, SIDE, UP, *(leaning(d) for d in (2.0, 10.0, 45.0, -80.0))])
@pytest.mark.parametrize("wide", [0.02, 0.3, 3.0])
def test_a_joint_of_the_hull_leaves_no_cell_outside(way, wide):
    grid, hull, true = tube_with_a_slit(way, wide)
    assert np.array_equal(surrounded(grid, hull), true)


@pytest.mark.parametrize("way", [ACROSS, SIDE, UP])
def test_what_is_open_stays_outside(way):
    """A gap of four cells is no joint."""
    grid, hull, true = tube_with_a_slit(way, 4 * STEP)
    assert surrounded(grid, hull).sum() < 0.9 * true.sum()


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("layers", [1, 2, 3])
def test_joints_are_shut_as_scipy_closes_them(layers, axis) -> None:
    """`scipy.ndimage.binary_closing` by a line, with room at the border, where it stops short."""
    met = np.random.default_rng(layers).random((11, 12, 13)) < 0.2
    line = [layers + 1 if k == axis else 1 for k in range(3)]
    wide = ndimage.binary_closing(np.pad(met, 5), np.ones(line, dtype=bool))
    expected = wide[5:-5, 5:-5, 5:-5]
    assert expected.sum() > met.sum()
    assert np.array_equal(closed_over(met, layers, axis), expected)
