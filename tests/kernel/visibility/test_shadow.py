"""Parallel rays against trimesh's own rays."""

import numpy as np
import trimesh

from geomgen.kernel.visibility.shadow import frame_of, overhead


def test_same_answer_as_trimesh() -> None:
    """A leaning torus, rays from points of a box: against an independent library."""
    ring = trimesh.creation.torus(50.0, 20.0, major_sections=48, minor_sections=24)
    ring.apply_transform(trimesh.transformations.rotation_matrix(0.4, (1.0, 0.3, 0.0)))
    rng = np.random.default_rng(1)
    points = rng.uniform(-80.0, 80.0, (400, 3))
    points = points[~ring.contains(points)]
    pull = np.array([0.3, -0.8, 0.52])
    pull /= np.linalg.norm(pull)
    met = overhead(points, np.asarray(ring.triangles), tuple(pull))
    at, ray, _ = ring.ray.intersects_location(points, np.tile(pull, (len(points), 1)))
    nearest = np.full(len(points), np.inf)
    np.minimum.at(nearest, ray, (at - points[ray]) @ pull)
    assert np.isfinite(nearest).sum() > 50
    np.testing.assert_allclose(met.distance, nearest, rtol=1e-9)


def test_the_page_is_as_the_viewer_sees_it() -> None:
    """Seen from the right the nose is on the right, seen from the left on the left."""
    assert np.allclose(frame_of((0.0, 1.0, 0.0))[0], (-1.0, 0.0, 0.0))
    assert np.allclose(frame_of((0.0, -1.0, 0.0))[0], (1.0, 0.0, 0.0))
    for pull in ((0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.2, 0.3, 0.4), (0.0, 1.0, 0.0)):
        right, up, toward = frame_of(pull)
        assert np.allclose(np.cross(right, up), toward)


def test_nothing_in_the_way() -> None:
    floor = np.array([[[0.0, 0.0, -1.0], [9.0, 0.0, -1.0], [0.0, 9.0, -1.0]]])
    met = overhead(np.array([[1.0, 1.0, 0.0]]), floor, (0.0, 0.0, 1.0))
    assert np.isinf(met.distance[0])
    assert met.triangle[0] == -1
