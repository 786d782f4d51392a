"""What meshes hide, against closed forms and against trimesh's rays."""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder, wheel
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.visibility.look import FROM_ABOVE, FROM_LEFT, Look
from geomgen.kernel.visibility.sight import Cover


def test_under_a_plate_is_hidden_over_it_and_beside_it_is_not():
    cover = Cover([mesh(box((0, 0, 0), (100, 100, 10)), 0.1)], FROM_ABOVE)
    points = np.array([[50, 50, -5], [50, 50, 5], [50, 50, 9.8], [50, 50, 11], [101, 50, -5.0]])
    assert cover.hidden(points, 0.5, 0.5).tolist() == [True, True, False, False, False]


def test_on_the_very_outline_stays_seen():
    """Closed form: points on the true circle lie outside the mesh's polygon, and those within."""
    tube = mesh(cylinder((0, 0, 0), (0, 0, 1), 100.0, 50.0), 0.2)
    cover = Cover([tube], FROM_ABOVE)
    angle = np.linspace(0, 2 * np.pi, 500)
    ring = np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=1)
    assert not cover.hidden(ring * [100.0, 100.0, 1.0], 0.4, 0.4).any()
    assert cover.hidden(ring * [99.2, 99.2, 1.0], 0.4, 0.4).all()


@pytest.mark.parametrize("look", [FROM_LEFT, FROM_ABOVE, Look((0.6, 0.8, 0.0), (0.0, 0.0, 1.0))])
def test_the_same_as_rays_of_another_library(look):
    """Points at random: hidden where trimesh's ray towards the eye meets a body."""
    import trimesh

    bodies = [wheel((0, 0, 0), 300.0, 80.0), box((-200, 60, -40), (200, 90, 40))]
    meshes = [mesh(body, 0.1) for body in bodies]
    cover = Cover(meshes, look)
    points = np.random.default_rng(4).uniform(-220, 220, (300, 3))
    far = trimesh.util.concatenate([trimesh.Trimesh(m.vertices, m.triangles) for m in meshes])
    toward = np.tile(look.toward, (len(points), 1))
    rays = trimesh.ray.ray_triangle.RayMeshIntersector(far)
    place, number, _ = rays.intersects_location(points, toward)
    front = np.zeros(len(points), dtype=bool)
    front[number[np.linalg.norm(place - points[number], axis=1) > 1e-6]] = True
    assert 20 < front.sum() < 280
    assert np.array_equal(cover.hidden(look.seen(points), 0.0, 0.0), front)


def test_without_meshes_nothing_is_hidden():
    assert not Cover([], FROM_LEFT).hidden(np.zeros((3, 3)), 0.1, 0.1).any()
