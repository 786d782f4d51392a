"""The edge of the glass on a round tube: straight sills, arcs at both ends."""

from math import acos, sqrt

import numpy as np
import pytest
import trimesh
from plain_machines import mesh_of

from geomgen.kernel.meshes.glass_edge import glass_edge
from geomgen.kernel.plain import Glass

RADIUS, COUNT = 300.0, 720


@pytest.fixture(scope="module")
def tube():
    made = trimesh.creation.annulus(RADIUS - 5.0, RADIUS, 1500.0, sections=COUNT)
    # Its axis along x.
    points = made.vertices[:, [2, 0, 1]] + np.array([750.0, 0.0, 0.0])
    return mesh_of(points, made.faces)


def test_two_sills_and_two_arcs(tube):
    lines = glass_edge(tube, Glass(300.0, 1100.0, 100.0, 100.0))
    flat = [line for line in lines if np.ptp(line[:, 0]) > 1.0]
    arcs = [line for line in lines if np.ptp(line[:, 0]) <= 1.0]
    beside = sqrt(RADIUS**2 - 100.0**2)
    assert sorted(float(line[:, 1].mean()) for line in flat) == pytest.approx(
        [-beside, beside], abs=0.05
    )
    for line in flat:
        assert sorted(line[[0, -1], 0]) == pytest.approx([300.0, 1100.0])
        assert line[:, 2] == pytest.approx(100.0)
    assert sorted(float(line[0, 0]) for line in arcs) == [300.0, 1100.0]
    for line in arcs:
        long = np.linalg.norm(np.diff(line, axis=0), axis=1).sum()
        assert long == pytest.approx(2 * RADIUS * acos(100.0 / RADIUS), rel=1e-4)
        assert np.hypot(line[:, 1], line[:, 2]) == pytest.approx(RADIUS, abs=0.01)


def test_a_sloping_sill_lies_in_its_plane(tube):
    glass = Glass(300.0, 1100.0, -50.0, 150.0)
    (right,) = [
        line for line in glass_edge(tube, glass) if np.ptp(line[:, 0]) > 1.0 and line[0, 1] > 0.0
    ]
    assert right[:, 2] == pytest.approx([glass.sill(x) for x in right[:, 0]])


def test_a_sill_above_the_skin_has_no_line(tube):
    assert glass_edge(tube, Glass(300.0, 1100.0, 400.0, 400.0)) == []
