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
    assert not found.through


def test_point_and_foot_belong_to_the_depth() -> None:
    ball = manifold3d.Manifold.sphere(20.0, 64).translate([25.0, 0.0, 0.0])
    found = deepest(WALL ^ ball, skin(WALL), skin(ball))
    assert np.linalg.norm(np.subtract(found.at, found.foot)) == pytest.approx(found.depth)
    assert found.depth == pytest.approx(3.0, abs=found.short + 0.03)


def test_what_comes_out_behind_is_said() -> None:
    pin = manifold3d.Manifold.cube([50.0, 2.0, 2.0]).translate([-20.0, 0.0, 0.0])
    found = deepest(WALL ^ pin, skin(WALL), skin(pin))
    assert found.through
    assert found.depth == pytest.approx(8.0, abs=found.short + 1e-6)
