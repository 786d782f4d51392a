"""Nearest places on meshes, against an independent library (trimesh) and closed forms."""

import os
import subprocess
import sys

import numpy as np
import pytest
import trimesh

from geomgen.kernel.brep.primitives import box, cylinder, ring
from geomgen.kernel.meshes.search import MeshSearch, feet
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Axis


@pytest.mark.parametrize(
    "solid",
    [
        cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 50.0, 900.0),
        ring(Axis((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)), 0.0, 4.0, 30.0, 200.0),
        box((0.0, 0.0, 0.0), (1000.0, 3.0, 40.0)),
    ],
)
def test_the_nearest_place_is_that_of_an_independent_library(solid):
    made = mesh(solid, 0.1)
    low, high = made.vertices.min(axis=0) - 60, made.vertices.max(axis=0) + 60
    points = np.random.default_rng(5).uniform(low, high, (400, 3))
    found = MeshSearch(made.corners).nearest(points)
    body = trimesh.Trimesh(made.vertices, made.triangles, process=False)
    _, away, _ = trimesh.proximity.closest_point(body, points)
    assert np.abs(found.distance - away).max() < 1e-9
    assert np.allclose(np.linalg.norm(found.foot - points, axis=1), found.distance)
    assert np.allclose(feet(found.foot, made.corners[found.triangle]), found.foot, atol=1e-9)


def test_the_distance_from_a_long_cylinder_is_its_radius_away():
    """Closed form: a point at radius r beside a cylinder of radius R is r - R away from it."""
    made = mesh(cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 100.0, 400.0), 0.01)
    turn = np.linspace(0, 2 * np.pi, 60)
    points = np.stack([130 * np.cos(turn), 130 * np.sin(turn), np.full(60, 200.0)], axis=1)
    away = MeshSearch(made.corners).nearest(points).distance
    assert np.all((away >= 30.0 - 1e-6) & (away <= 30.01 + 1e-6))


def test_what_lies_within_a_reach_is_all_that_the_nearest_places_are_within():
    """Against `nearest`, which is held to an independent library; one reach ends at the mesh."""
    search = MeshSearch(mesh(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 50.0, 900.0), 0.1).corners)
    chance = np.random.default_rng(7)
    points, reach = chance.uniform(-100, 1000, (500, 3)), chance.uniform(0, 900, 500)
    whole = search.nearest(points)
    reach[0] = whole.distance[0]
    found, near = search.nearest_within(points, reach)
    assert 100 < found.sum() < 400
    assert np.array_equal(found, whole.distance <= reach)
    assert np.abs(near.distance - whole.distance[found]).max() < 1e-9
    assert np.allclose(near.foot, whole.foot[found], atol=1e-6)


def test_what_is_near_is_never_nearer_than_the_nearest():
    made = mesh(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 50.0, 900.0), 0.1)
    points = np.random.default_rng(6).uniform(-100, 1000, (500, 3))
    search = MeshSearch(made.corners)
    assert np.all(search.near(points).distance >= search.nearest(points).distance - 1e-12)


def test_no_points_give_no_places():
    search = MeshSearch(mesh(box((0, 0, 0), (1, 1, 1)), 0.1).corners)
    assert len(search.nearest(np.zeros((0, 3))).distance) == 0


def test_it_leaves_no_thread_behind():
    """A forked child would wait for ever for one that was at work just then."""
    asked = """
import os
import numpy as np
from geomgen.kernel.meshes.search import MeshSearch
before = len(os.listdir("/proc/self/task"))
near = np.random.default_rng(1).uniform(0.0, 9.0, (20_000, 1, 3))
corners = near + np.random.default_rng(2).uniform(0.0, 0.2, (20_000, 3, 3))
MeshSearch(corners).nearest(np.zeros((1, 3)))
print(len(os.listdir("/proc/self/task")) - before)
"""
    # Of themselves the wheels' VTK has one thread: here it is told to have more.
    ran = subprocess.run(
        [sys.executable, "-c", asked],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "VTK_SMP_BACKEND_IN_USE": "STDThread"},
    )
    assert ran.stdout.split() == ["0"]
