"""What bars a way: the bodies without any one of which there would be one."""

import numpy as np
import pytest
import trimesh

from geomgen.kernel.airways.grid_walls import AirGrid, walls_between
from geomgen.kernel.airways.open_way import barring, open_way

GRID = AirGrid((0.0, 0.0, 0.0), 5.0, (40, 16, 12))
SPACE = np.ones(GRID.counts, dtype=bool)
BEGIN, END = (np.arange(40)[:, None, None] == k for k in (1, 38))
ENDS = [SPACE & np.broadcast_to(end, GRID.counts) for end in (BEGIN, END)]


def plate(x, thick=2.0, up_to=70.0):
    """Return a sheet across the room of 200 x 80 x 60 mm; all of it, or up to a level."""
    return trimesh.creation.box(bounds=[(x, -9, -9), (x + thick, 99, up_to)])


def walls(*parts):
    return walls_between(GRID, [part.triangles for part in parts])


@pytest.mark.parametrize("thick", [2.0, 23.0])
def test_a_sheet_across_bars_and_one_that_leaves_a_gap_does_not(thick):
    across = walls(plate(40, up_to=40.0), plate(101, thick))
    assert open_way(GRID, across, SPACE, *ENDS, lambda point: False) is None
    assert barring(across, SPACE, *ENDS) == (2,)


def test_of_two_sheets_neither_bars_alone():
    assert barring(walls(plate(40), plate(101)), SPACE, *ENDS) == ()


def test_what_bars_together_is_told_of_both_the_smaller_first():
    """The upper sheet stands on the lower one: without either there would be a way."""
    upper = trimesh.creation.box(bounds=[(60, -9, 45), (62, 99, 69)])
    both = walls(plate(60, up_to=45.0), upper)
    assert barring(both, SPACE, *ENDS) == (2, 1)


def test_a_way_that_is_open_needs_no_part_away():
    free = walls(plate(40, up_to=40.0))
    assert open_way(GRID, free, SPACE, *ENDS, lambda point: False) is not None


def test_no_end_no_bar():
    assert barring(walls(plate(40)), SPACE, ENDS[0], np.zeros(GRID.counts, dtype=bool)) == ()
