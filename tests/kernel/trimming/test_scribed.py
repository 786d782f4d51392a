"""Grooves and raised lines in blocks and rods: closed forms, measured by another library (trimesh).

A V of depth d and width w takes w d / 2 of a flat skin for each millimetre (area of a triangle);
two that cross at right angles share a pyramid, w^2 d / 3 (volume of a pyramid). Round a rod of
radius r the V's centroid lies d / 3 below the skin: it takes 2 pi (r - d / 3) w d / 2 (Pappus).
"""

import numpy as np
import pytest
import trimesh

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.trimming.scribed import PAST, SkinRun, VMark, scribed

DEEP, WIDE = 0.5, 1.2
TOP = np.array([0.0, 0.0, 1.0])


@pytest.fixture(scope="module")
def block():
    return mesh(box((0.0, 0.0, 0.0), (200.0, 100.0, 50.0)), 0.1)


def straight(a, b, count=30):
    at = np.linspace(0.0, 1.0, count)[:, None]
    return SkinRun(np.array(a) + at * (np.array(b) - a), np.tile(TOP, (count, 1)))


def read(made):
    body = trimesh.Trimesh(made.vertices, made.triangles, process=False)
    assert body.is_watertight
    assert body.is_winding_consistent
    assert body.body_count == 1
    return body


def depths(body, points, normals):
    """Return how far below points (n, 3) the first thing is that a ray from outside meets."""
    from trimesh.ray.ray_triangle import RayMeshIntersector

    start = points + 2.0 * normals
    hits, rays, _ = RayMeshIntersector(body).intersects_location(start, -normals)
    far = np.full(len(points), np.inf)
    np.minimum.at(far, rays, np.linalg.norm(hits - start[rays], axis=1))
    return far - 2.0


@pytest.mark.parametrize("raised", [False, True])
def test_a_line_on_a_flat_skin_takes_or_adds_its_triangle_all_along(block, raised):
    run = straight((20.0, 40.0, 50.0), (180.0, 60.0, 50.0))
    body = read(scribed(block, [run], VMark(DEEP, WIDE, raised), "block"))
    length = np.hypot(160.0, 20.0) + 2 * PAST * WIDE
    sign = -1.0 if raised else 1.0
    assert sign * (1e6 - body.volume) == pytest.approx(length * WIDE * DEEP / 2, rel=1e-3)
    between = (run.points[1:] + run.points[:-1]) / 2
    normals = run.normals[1:]
    assert sign * depths(body, between, normals) == pytest.approx(DEEP, abs=1e-3)
    # A quarter of the width aside the V is half as deep, a whole width aside there is none.
    aside = np.cross(run.points[1] - run.points[0], TOP)
    aside /= np.linalg.norm(aside)
    at = sign * depths(body, between + WIDE / 4 * aside, normals)
    assert at == pytest.approx(DEEP / 2, abs=1e-3)
    assert depths(body, between + WIDE * aside, normals) == pytest.approx(0.0, abs=1e-4)


def test_grooves_that_cross_and_run_off_the_skin_share_a_pyramid(block):
    runs = [
        straight((0.0, 50.0, 50.0), (200.0, 50.0, 50.0)),
        straight((77.0, 0.0, 50.0), (77.0, 100.0, 50.0)),
    ]
    body = read(scribed(block, runs, VMark(DEEP, WIDE), "block"))
    taken = 300.0 * WIDE * DEEP / 2 - WIDE**2 * DEEP / 3
    assert 1e6 - body.volume == pytest.approx(taken, rel=1e-3)


def test_round_a_rod_and_over_its_corner(block):
    angle = np.linspace(0.1, 6.0, 400)
    out = np.c_[np.zeros(400), np.cos(angle), np.sin(angle)]
    rod = mesh(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 40.0), 0.002)
    run = SkinRun(100.0 * out + [20.0, 0.0, 0.0], out)
    body = read(scribed(rod, [run], VMark(DEEP, WIDE), "rod"))
    taken = (5.9 * (100.0 - DEEP / 3) + 2 * PAST * WIDE) * WIDE * DEEP / 2
    assert rod.volume - body.volume == pytest.approx(taken, rel=0.01)
    corner = np.vstack([straight((20.0, 20.0, 50.0), (80.0, 20.0, 50.0)).points,
                        straight((80.0, 20.5, 50.0), (80.0, 80.0, 50.0)).points])  # fmt: skip
    bent = SkinRun(corner, np.tile(TOP, (len(corner), 1)))
    body = read(scribed(block, [bent], VMark(DEEP, WIDE), "block"))
    at = depths(body, np.array([[80.0, 20.0, 50.0]]), TOP[None])
    assert at == pytest.approx(DEEP, abs=1e-3)


def test_left_is_right_mirrored_and_no_line_leaves_the_mesh_as_it_is(block):
    made = scribed(block, [straight((20.0, 40.0, 50.0), (90.0, 40.0, 50.0))], VMark(0.3, 0.6), "b")
    left = read(made.mirrored())
    assert left.volume == pytest.approx(read(made).volume, rel=1e-12)
    assert left.bounds[:, 1].tolist() == [-100.0, 0.0]
    assert read(scribed(block, [], VMark(0.3, 0.6), "b")).volume == pytest.approx(1e6, rel=1e-12)


def test_a_groove_that_parts_the_body_is_refused():
    thin = mesh(box((0.0, 0.0, 49.8), (200.0, 100.0, 50.0)), 0.1)
    with pytest.raises(GeometryError, match="part it into 2 bodies"):
        scribed(thin, [straight((0.0, 50.0, 50.0), (200.0, 50.0, 50.0))], VMark(0.5, 1.2), "thin")
