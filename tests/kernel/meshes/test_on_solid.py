"""Triangles without faces are tied to their solid again; wrong ones are told how far off they are.

Truths: the mesh as it was made, whose faces and deviation are known, and closed forms.
"""

from dataclasses import replace

import numpy as np
import pytest
from meshed_bodies import crumbed_cube

from geomgen.kernel.brep.primitives import box, cylinder, mirrored, wheel
from geomgen.kernel.meshes.on_solid import on_solid
from geomgen.kernel.meshing.proven import holds, meshed
from geomgen.kernel.solids.booleans import cut

WHEEL = wheel((100.0, 40.0, 30.0), 40.0, 12.0)
SOLIDS = {
    "box": box((0, 0, 0), (10, 20, 30)),
    "drum": cylinder((0, 0, 0), (0.0, 0.6, 0.8), 12.0, 90.0),
    "tyre": WHEEL,
    "other tyre": mirrored(WHEEL),
    "drilled": cut(
        box((0, 0, 0), (90, 60, 20)),
        [cylinder((30, 30, -5), (0, 0, 1), 9.0, 40.0)],
        "drilled",
        "hole",
    ),
}


def bare(mesh):
    """Return a mesh as a file of triangles tells it."""
    none = np.zeros((0, 3), dtype=np.int64)
    return replace(
        mesh,
        face=0 * mesh.face,
        uv=0 * mesh.uv,
        collapsed_triangles=none,
        collapsed_face=np.zeros(0, dtype=np.int64),
        collapsed_uv=np.zeros((0, 3, 2)),
        edges=(),
    )


@pytest.mark.parametrize("name", SOLIDS)
def test_faces_and_deviation_come_back(name):
    made = meshed(SOLIDS[name], 0.1)
    found = on_solid(SOLIDS[name], bare(made.mesh))
    assert np.array_equal(found.mesh.face, made.mesh.face)
    assert found.deviation.largest == pytest.approx(made.deviation.largest, abs=1e-6)
    assert holds(found.mesh, found.deviation)


def test_a_mesh_of_a_solid_with_a_crumb_of_a_face_is_read_back():
    solid = crumbed_cube()
    found = on_solid(solid, bare(meshed(solid, 0.1).mesh))
    assert holds(found.mesh, found.deviation)


def mixed(mesh, by):
    """Return the mesh with the middle of its longest side as a corner more, moved by `by` [mm]."""
    sides = np.linalg.norm(mesh.corners - np.roll(mesh.corners, -1, axis=1), axis=2)
    t, i = np.unravel_index(int(sides.argmax()), sides.shape)
    a, b, c = np.roll(mesh.triangles[t], -i)
    other = next(
        k
        for k, row in enumerate(mesh.triangles)
        if any(row[j] == b and row[(j + 1) % 3] == a for j in range(3))
    )
    d = next(v for v in mesh.triangles[other] if v not in (a, b))
    new = len(mesh.vertices)
    place = (0.5 * (mesh.vertices[a] + mesh.vertices[b]) + by).astype(np.float32).astype(float)
    rest = np.delete(mesh.triangles, [t, other], axis=0)
    four = [(a, new, c), (new, b, c), (b, new, d), (new, a, d)]
    triangles = np.vstack([rest, four])
    faceless = np.zeros(len(triangles), dtype=np.int64)
    return replace(
        mesh,
        vertices=np.vstack([mesh.vertices, place]),
        triangles=triangles,
        face=faceless,
        uv=np.zeros((len(triangles), 3, 2)),
    )


@pytest.mark.parametrize("name", SOLIDS)
def test_another_mesh_of_the_solid_is_one_too(name):
    made = meshed(SOLIDS[name], 0.1)
    again = on_solid(SOLIDS[name], mixed(bare(made.mesh), np.zeros(3)))
    assert holds(again.mesh, again.deviation)
    finer = meshed(SOLIDS[name], 0.03)
    found = on_solid(SOLIDS[name], replace(bare(finer.mesh), mesh_tolerance=0.05))
    assert found.deviation.largest == pytest.approx(finer.deviation.largest, rel=0.05, abs=1e-6)


@pytest.mark.parametrize("name", SOLIDS)
@pytest.mark.parametrize("by", [0.3, 3.0])
def test_a_corner_that_was_moved_is_measured(name, by):
    mesh = bare(meshed(SOLIDS[name], 0.1).mesh)
    far = int(np.argmax(mesh.vertices[:, 0]))
    vertices = mesh.vertices.copy()
    vertices[far, 0] += by
    found = on_solid(SOLIDS[name], replace(mesh, vertices=vertices))
    assert found.deviation.largest == pytest.approx(by, abs=0.05)
    assert not holds(found.mesh, found.deviation)


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=[pytest.mark.long] * n.endswith("tyre")) for n in SOLIDS]
)
def test_wrong_meshes_do_not_hold(name):
    mesh = bare(meshed(SOLIDS[name], 0.1).mesh)
    for wrong in (
        replace(mesh, vertices=mesh.vertices / 25.4),
        replace(mesh, vertices=1.02 * mesh.vertices),
        replace(mesh, vertices=mesh.vertices + np.array([0.0, 0.5, 0.0])),
        replace(mesh, vertices=mesh.vertices * np.array([-1.0, 1.0, 1.0])),
        replace(mesh, triangles=mesh.triangles[:, ::-1]),
        replace(mesh, triangles=mesh.triangles[1:], face=mesh.face[1:], uv=mesh.uv[1:]),
    ):
        found = on_solid(SOLIDS[name], wrong)
        assert not holds(found.mesh, found.deviation)
