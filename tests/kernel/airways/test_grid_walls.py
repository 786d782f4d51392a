"""Walls of meshes between the cells of a grid, against trimesh's own test of what lies inside."""

import numpy as np
import pytest
import trimesh

from geomgen.kernel.airways.grid_walls import AirGrid, walls_between

GRID = AirGrid((-12.3, -11.1, -10.7), 1.9, (13, 12, 11))


def block(*boxes) -> trimesh.Trimesh:
    return trimesh.util.concatenate([trimesh.creation.box(bounds=b) for b in boxes])


def turned(mesh: trimesh.Trimesh, angle: float) -> trimesh.Trimesh:
    turn = trimesh.transformations.rotation_matrix(np.radians(angle), (0.3, 0.5, 0.8))
    return mesh.copy().apply_transform(turn)


@pytest.mark.parametrize("angle", [0.0, 13.0, 45.0, 77.0])
def test_a_wall_stands_where_one_cell_is_inside_and_the_next_is_not(angle):
    solid = turned(block([(-6.0, -5.0, -4.0), (5.0, 6.0, 4.5)]), angle)
    x, y, z = (np.broadcast_to(a, GRID.counts) for a in GRID.middles())
    inside = solid.contains(np.stack([x, y, z], axis=-1).reshape(-1, 3)).reshape(GRID.counts)
    for axis, walls in enumerate(walls_between(GRID, [solid.triangles])):
        # A convex body is crossed once between an inner and an outer cell, twice or not otherwise.
        changes = np.diff(inside, axis=axis)
        assert np.all(walls[changes] == 1)
        assert not np.any(walls[~changes & np.delete(inside, 0, axis)])


def test_a_sheet_far_thinner_than_a_cell_lets_nothing_through():
    sheet = turned(block([(-0.05, -40.0, -40.0), (0.05, 40.0, 40.0)]), 31.0)
    x, y, z = (np.broadcast_to(a, GRID.counts) for a in GRID.middles())
    way = turned(block([(0.0, 0.0, 0.0), (1.0, 1.0, 1.0)]), 31.0)
    normal = way.vertices[4] - way.vertices[0]
    side = np.stack([x, y, z], axis=-1) @ normal > 0
    for axis, walls in enumerate(walls_between(GRID, [sheet.triangles])):
        assert np.all(walls[np.diff(side, axis=axis)] == 1)


def test_the_last_of_several_bodies_counts():
    near = block([(-1.0, -40.0, -40.0), (-0.5, 40.0, 40.0)]).triangles
    far = block([(-0.4, -40.0, -40.0), (-0.2, 40.0, 40.0)]).triangles
    grid = AirGrid((-2.2, -2.0, -2.0), 2.0, (2, 2, 2))
    assert set(walls_between(grid, [near, far])[0].ravel()) == {2}
    assert set(walls_between(grid, [far, near])[0].ravel()) == {2}


def test_corners_of_a_grid():
    assert AirGrid((1.0, 2.0, 3.0), 0.5, (2, 4, 6)).high == (2.0, 4.0, 6.0)
