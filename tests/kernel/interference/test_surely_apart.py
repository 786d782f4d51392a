"""A pin in a hole that a first answer was cut with, in boxes: apart or not is plain to see."""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.interference.meeting import FirstBody, body_of
from geomgen.kernel.interference.surely_apart import surely_apart, surely_within
from geomgen.kernel.mesh_part import MeshPart, Shell
from geomgen.kernel.meshing.proven import meshed


def shell(low, high) -> Shell:
    mesh = meshed(box(low, high), 0.1).mesh
    return Shell(mesh.vertices, mesh.triangles, 0.01)


def body(low, high):
    solid = box(low, high)
    return body_of(solid, meshed(solid, 0.1).mesh, 0.01)


@pytest.fixture(scope="module")
def holed() -> FirstBody:
    """A cube of 100 mm with a hole of 20 mm through it, whose rims are hardly known."""
    whole, knife = shell((0, 0, 0), (100, 100, 100)), shell((40, 40, -40), (60, 60, 140))
    made = (whole.hull - knife.hull).to_mesh64()
    vertices = np.asarray(made.vert_properties)[:, :3]
    rims, reaches = np.array([[[40.0, 40, 0], [60, 40, 0]]]), np.array([30.0])
    triangles = np.asarray(made.tri_verts).astype(np.int64)
    part = MeshPart(vertices, triangles, 0.01, rims, reaches, (whole,), (knife,))
    return FirstBody(part)


@pytest.mark.parametrize("end", [105.0, 300.0])
@pytest.mark.parametrize(("aside", "apart"), [(0.0, True), (4.9, True), (5.0, False), (8.0, False)])
def test_a_pin_in_a_hole_is_apart_until_it_reaches_its_wall(holed, end, aside, apart) -> None:
    """Beyond the cube it may stand out of the knife as far as it likes."""
    pin = body((45 + aside, 45, 20), (55 + aside, 55, end))
    assert surely_apart(holed, pin) is apart
    assert surely_apart(pin, holed) is apart


@pytest.mark.parametrize(("gap", "within"), [(0.5, True), (0.9, True), (1.1, False), (90.0, False)])
def test_parts_within_reach_are_told_off_the_rims(holed, gap, within) -> None:
    beside = body((100 + gap, 70, 60), (120 + gap, 90, 80))
    assert surely_within(holed, beside, 1.0) is within
    assert surely_within(beside, holed, 1.0) is within
