"""Cells of a space: never more than can be looked through, whatever the mouth's size."""

import numpy as np

from geomgen.kernel.boxes import Box
from geomgen.measurements.airway_grid import MOST, Space, grid_of


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
