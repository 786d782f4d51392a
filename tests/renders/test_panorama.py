"""Degrees of a wide picture: where each pixel looks, where the five square pictures join.

Source: closed forms (spherical angles).
"""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshes.normals import shaded
from geomgen.kernel.meshing.proven import mesh
from geomgen.renders.body import RenderedPart
from geomgen.renders.panorama import NEAR, Degrees, panorama
from geomgen.renders.window import window

SPAN = Degrees(110.0, 60.0, 2)


def part_of(solid, name="part"):
    made = mesh(solid, 0.1)
    surface = shaded(made.vertices, made.triangles, made.mesh_tolerance)
    none = np.zeros((0, 3), dtype=np.int64)
    return RenderedPart(name, surface, surface.triangles, none, False)


def filled(eye, *solids):
    with window((400, 400)) as shown:
        parts = [(part_of(solid), (0.7, 0.7, 0.7)) for solid in solids]
        return panorama(shown, parts, eye, SPAN)[1]


def test_pixels_look_at_even_degrees():
    ways = SPAN.directions()
    assert ways.shape == (240, 440, 3)
    assert np.linalg.norm(ways, axis=2) == pytest.approx(np.ones((240, 440)))
    up = np.degrees(np.arcsin(ways[:, :, 2]))
    across = np.degrees(np.arctan2(ways[:, :, 1], -ways[:, :, 0]))
    assert up[:, 7] == pytest.approx(np.linspace(59.75, -59.75, 240))
    assert across[9] == pytest.approx(np.linspace(-109.75, 109.75, 440))


def test_a_wall_all_round_fills_it_without_a_seam():
    """A box about the eye, thinner than the least distance to it: every pixel shows it."""
    wall = box((-700.0, -500.0, -600.0), (800.0, 900.0, 400.0))
    assert filled((0.0, 0.0, 0.0), wall).all()


def test_straight_edges_run_on_over_the_joins():
    """The upper edge of a long low wall to the right of the eye: tan e = h sin a / d."""
    high, off = 300.0, 500.0
    wall = box((-90000.0, off, -3000.0), (90000.0, off + 1.0, high))
    seen = filled((0.0, 0.0, 0.0), wall)
    for across in (15.0, 30.0, 44.0, 46.0, 60.0, 90.0, 105.0):
        column = round((across + 110.0) * 2)
        due = np.degrees(np.arctan(high / off * np.sin(np.radians(across))))
        assert 60.0 - np.argmax(seen[:, column]) / 2 == pytest.approx(due, abs=0.8)
    assert not seen[:, :215].any()


def test_what_is_too_near_to_see_is_left_out():
    speck = box((-NEAR / 2, -1.0, -1.0), (-NEAR / 3, 1.0, 1.0))
    assert not filled((0.0, 0.0, 0.0), speck, box((5e3, -9.0, 0.0), (6e3, 9.0, 9.0))).any()
