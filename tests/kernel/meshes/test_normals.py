"""Normals of a mesh: those of the true surface where it is smooth, split at its edges.

Source: closed forms (sphere, cylinder, box).
"""

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, revolved, wheel
from geomgen.kernel.meshes.normals import shaded
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Axis

BOX = mesh(box((0.0, 0.0, 0.0), (20.0, 30.0, 40.0)), 0.1)


def test_a_box_has_a_normal_for_each_face_at_each_corner():
    made = shaded(BOX.vertices, BOX.triangles, 0.1)
    assert len(made.points) == 24
    assert len(made.sharp) == 12
    assert np.allclose(np.sort(np.abs(made.normals), axis=1), [0.0, 0.0, 1.0])
    corners = made.points[made.triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert np.all((made.normals[made.triangles] * across[:, None]).sum(axis=2) > 0)


def test_the_triangles_stay_where_they_were():
    made = shaded(BOX.vertices, BOX.triangles, 0.1)
    assert np.array_equal(made.points[made.triangles], BOX.corners)


def test_a_cylinder_is_smooth_round_about_and_sharp_at_its_ends():
    body = mesh(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 50.0, 200.0), 0.1)
    made = shaded(body.vertices, body.triangles, 0.1)
    round_about = np.abs(made.normals[:, 0]) < 0.5
    radial = made.points[round_about] * [0.0, 1.0, 1.0] / 50.0
    turned = np.degrees(np.arccos(np.clip((made.normals[round_about] * radial).sum(axis=1), -1, 1)))
    assert turned.max() < 6.0
    flat = made.normals[~round_about]
    assert np.allclose(np.abs(flat), [1.0, 0.0, 0.0], atol=1e-6)
    ends = made.points[made.sharp]
    assert np.allclose(np.abs(ends[:, :, 0] - 100.0), 100.0)
    length = np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).sum()
    assert length == pytest.approx(2 * 2 * np.pi * 50.0, rel=5e-3)


def test_a_round_tyre_has_no_sharp_edge_but_at_its_flat_sides():
    body = mesh(wheel((0.0, 0.0, 0.0), 300.0, 80.0), 0.1)
    made = shaded(body.vertices, body.triangles, 0.1)
    radii = np.hypot(made.points[:, 0], made.points[:, 2])
    tread = radii > 111.0
    off = made.points[tread] * [1.0, 0.0, 1.0]
    centre = off * (110.0 / np.linalg.norm(off, axis=1, keepdims=True))
    due = (made.points[tread] - centre) / 40.0
    turned = np.degrees(np.arccos(np.clip((made.normals[tread] * due).sum(axis=1), -1, 1)))
    assert turned.max() < 8.0
    assert len(made.sharp) == 0


def split_box():
    """A box whose top is split by a needle 0.01 mm wide that leans by 63 degrees."""
    points = [
        [0, 0, 0],
        [9, 0, 0],
        [9, 9, 0],
        [0, 9, 0],
        [0, 0, 9],
        [9, 0, 9],
        [9, 9, 9],
        [0, 9, 9],
    ]
    points += [[4.0, 0.0, 9.0], [4.005, 9.0, 9.0], [4.01, 0.0, 9.02]]
    top = [[4, 8, 7], [8, 9, 7], [8, 10, 9], [10, 5, 6], [10, 6, 9]]
    back = [[2, 3, 9], [2, 9, 6], [3, 7, 9]]
    front = [[0, 1, 10], [0, 10, 8], [0, 8, 4], [1, 5, 10]]
    rest = [[0, 2, 1], [0, 3, 2], [0, 4, 7], [0, 7, 3], [1, 2, 6], [1, 6, 5]]
    return np.array(points, dtype=float), np.array(top + back + front + rest), len(top)


def sharp_at_needle(vertices, made):
    place = {tuple(p): i for i, p in enumerate(vertices.tolist())}
    pairs = {frozenset(place[tuple(p)] for p in ends) for ends in made.points[made.sharp].tolist()}
    return pairs & {frozenset((8, 9)), frozenset((9, 10))}


def test_slivers_do_not_make_edges():
    vertices, triangles, top = split_box()
    made = shaded(vertices, triangles, 0.1)
    assert made.normals[made.triangles[:top]][:, :, 2].min() > 0.99
    assert not sharp_at_needle(vertices, made)


def test_without_the_rule_for_slivers_the_needle_shows():
    vertices, triangles, _ = split_box()
    assert sharp_at_needle(vertices, shaded(vertices, triangles, 0.0))


def test_a_feature_angle_between_the_two_edges_of_a_wedge():
    # A roof ridge of 120 degrees turns by 60: smooth above that, sharp below.
    s = 3**0.5
    body = revolved(
        [(0.0, 10.0), (s * 10.0, 20.0), (2 * s * 10.0, 10.0), (s * 10.0, 5.0)],
        Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)),
    )
    made = mesh(body, 0.05)
    ridge = 2 * np.pi * 20.0
    lengths = []
    for angle in (50.0, 65.0):
        split = shaded(made.vertices, made.triangles, 0.05, angle)
        ends = split.points[split.sharp]
        at_ridge = np.hypot(ends[:, :, 1], ends[:, :, 2]).min(axis=1) > 19.9
        lengths.append(np.linalg.norm(ends[at_ridge, 0] - ends[at_ridge, 1], axis=1).sum())
    assert lengths[0] == pytest.approx(ridge, rel=1e-2)
    assert lengths[1] == 0.0


def test_an_open_mesh_is_refused():
    with pytest.raises(GeometryError, match="open mesh"):
        shaded(BOX.vertices, BOX.triangles[1:], 0.1)


@pytest.mark.parametrize("fold", [15.0, 20.0, 30.0])
def test_a_shallow_fold_between_large_faces_is_an_edge(fold):
    """Two cones meet in a ridge that turns by less than neighbours on a small round do."""
    rise = 60.0 * np.tan(np.radians(fold / 2))
    body = revolved(
        [(0.0, 40.0), (60.0, 40.0 + rise), (120.0, 40.0), (60.0, 10.0)],
        Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)),
    )
    made = mesh(body, 0.1)
    split = shaded(made.vertices, made.triangles, 0.1)
    ends = split.points[split.sharp]
    at_ridge = np.hypot(ends[:, :, 1], ends[:, :, 2]).min(axis=1) > 39.5 + rise
    length = np.linalg.norm(ends[at_ridge, 0] - ends[at_ridge, 1], axis=1).sum()
    assert length == pytest.approx(2 * np.pi * (40.0 + rise), rel=1e-2)


@pytest.mark.parametrize("radius", [2.0, 20.0, 500.0])
@pytest.mark.parametrize("tolerance", [0.05, 0.5])
def test_a_round_has_no_edges_however_coarse_its_mesh(radius, tolerance):
    body = mesh(BRepPrimAPI_MakeSphere(radius).Solid(), tolerance)
    assert len(shaded(body.vertices, body.triangles, tolerance).sharp) == 0
