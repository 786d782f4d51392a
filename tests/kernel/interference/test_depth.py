"""How deep bodies run into each other at one place, in closed form (DERIVED)."""

import manifold3d
import numpy as np
import pytest

from geomgen.kernel.interference.depth import MeshSkin, deepest, triangles_of

WALL = manifold3d.Manifold.cube([8.0, 200.0, 200.0]).translate([0.0, -100.0, -100.0])


def skin(body) -> MeshSkin:
    return MeshSkin(triangles_of(body)[0])


@pytest.mark.parametrize("lean", [0.0, 17.0, 30.0, 44.0])
def test_the_corner_of_a_leaning_block_in_a_wall(lean) -> None:
    """Its lowest corner stands as far below the wall's face as it was let down."""
    block = manifold3d.Manifold.cube([40.0, 40.0, 40.0]).rotate([0.0, lean, lean / 3])
    low = np.asarray(block.to_mesh64().vert_properties)[:, 0].min()
    block = block.translate([8.0 - 2.5 - low, 0.0, 0.0])
    found = deepest(WALL ^ block, skin(WALL), skin(block))
    assert found.depth == pytest.approx(2.5, abs=found.short + 1e-6)
    assert found.through == (False, False)


def test_point_and_foot_belong_to_the_depth() -> None:
    ball = manifold3d.Manifold.sphere(20.0, 64).translate([25.0, 0.0, 0.0])
    found = deepest(WALL ^ ball, skin(WALL), skin(ball))
    assert np.linalg.norm(np.subtract(found.at, found.foot)) == pytest.approx(found.depth)
    assert found.depth == pytest.approx(3.0, abs=found.short + 0.03)


def test_what_comes_out_behind_is_said() -> None:
    pin = manifold3d.Manifold.cube([50.0, 2.0, 2.0]).translate([-20.0, 0.0, 0.0])
    found = deepest(WALL ^ pin, skin(WALL), skin(pin))
    # The wall has a skin on both sides of it within the pin; the pin's is one strip all round.
    assert found.through == (True, False)
    assert found.depth == pytest.approx(8.0, abs=found.short + 1e-6)


def test_a_block_that_comes_into_the_room_of_a_hollow_box_passes_its_wall_alone() -> None:
    outside = manifold3d.Manifold.cube([60.0, 60.0, 60.0])
    hollow = outside - manifold3d.Manifold.cube([56.0, 56.0, 56.0]).translate([2.0, 2.0, 2.0])
    block = manifold3d.Manifold.cube([200.0, 200.0, 50.0]).translate([-70.0, -70.0, -40.0])
    found = deepest(block ^ hollow, skin(block), skin(hollow))
    assert found.through == (False, True)
    assert found.depth == pytest.approx(10.0, abs=found.short + 1e-6)
