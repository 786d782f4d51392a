"""Moved or changed: closed forms."""

from dataclasses import replace

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder, mirrored, moved, tilted
from geomgen.kernel.meshes.shape_change import motion, shape_change
from geomgen.kernel.meshing.proven import mesh

WEDGE = box((10.0, 20.0, 30.0), (110.0, 70.0, 55.0))


def test_a_shift_is_found_and_the_surfaces_are_no_further_apart_than_it():
    found = shape_change(mesh(WEDGE, 0.1), mesh(moved(WEDGE, (0.0, 10.0, 0.0)), 0.1))
    assert found.motion.shift == pytest.approx((0.0, 10.0, 0.0), abs=1e-3)
    assert found.motion.degrees == 0.0
    assert found.apart.distance == pytest.approx(10.0)
    assert found.apart.at_most <= 10.0 + 2e-3


def test_a_shift_is_found_whatever_the_order_of_the_triangles():
    here = mesh(cylinder((0, 0, 0), (1, 0, 0), 40.0, 200.0), 0.1)
    there = mesh(moved(cylinder((0, 0, 0), (1, 0, 0), 40.0, 200.0), (3.0, 0.0, -2.0)), 0.1)
    order = np.random.default_rng(1).permutation(len(there.triangles))
    mixed = replace(there, triangles=there.triangles[order])
    assert motion(here, mixed).shift == pytest.approx((3.0, 0.0, -2.0), abs=1e-3)


def test_a_turn_is_found():
    """Closed form: 2 deg about an axis across the machine."""
    found = motion(mesh(WEDGE, 0.1), mesh(tilted(WEDGE, (50.0, 0.0, 0.0), 2.0), 0.1))
    assert found.degrees == pytest.approx(2.0, abs=1e-3)
    assert np.abs(found.axis) == pytest.approx([0.0, 1.0, 0.0], abs=1e-3)


def test_a_mirror_image_is_no_motion():
    solid = cylinder((0, 30.0, 0), (1.0, 0.5, 0.2), 40.0, 200.0)
    cut = mesh(solid, 0.1)
    flat = mesh(mirrored(solid), 0.1)
    found = motion(cut, flat)
    # A cylinder is its own mirror image: what is found has to be a turn, never a reflection.
    assert found is None or found.left <= 2e-3


@pytest.mark.parametrize("longer", [0.01, 5.0])
def test_a_longer_body_is_not_one_that_moved(longer):
    here = mesh(box((0, 0, 0), (100.0, 50.0, 25.0)), 0.1)
    there = mesh(box((0, 0, 0), (100.0 + longer, 50.0, 25.0)), 0.1)
    found = shape_change(here, there)
    assert found.motion is None
    assert found.apart.distance == pytest.approx(longer, abs=1e-4)
