"""Cuts of a mesh at buttock lines; a box and a leaning plate in closed form."""

import numpy as np
import pytest
import trimesh

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.sections.mesh_slices import MeshSlices, ends


@pytest.mark.parametrize("at", [0.5, 7.0, 19.9])
def test_a_box_is_met_exactly(at: float) -> None:
    points = MeshSlices(mesh(box((10, 0, 5), (40, 20, 9)), 0.1)).at(at)
    fore, aft = ends(points, (1.0, 0.0, 0.0))
    assert (fore[0], aft[0]) == pytest.approx((10.0, 40.0))
    assert points[:, 1] == pytest.approx(np.full(len(points), at))


def test_a_round_rod_is_met_within_the_chords() -> None:
    """Half the chord of a circle of radius 20 at 12 from its middle is 16."""
    points = MeshSlices(mesh(cylinder((0, 0, 0), (1, 0, 0), 20.0, 50.0), 0.05)).at(12.0)
    assert points[:, 2].max() == pytest.approx(16.0, abs=0.1)


def test_beside_the_mesh_there_is_nothing() -> None:
    assert len(MeshSlices(mesh(box((0, 0, 0), (1, 1, 1)), 0.1)).at(3.0)) == 0


@pytest.mark.parametrize("axis", [1, 2])
def test_another_library_passes_the_same_points(axis: int) -> None:
    made = mesh(cylinder((0, 0, 0), (1, 0.2, 0.1), 20.0, 50.0), 0.05)
    normal = np.eye(3)[axis]
    body = trimesh.Trimesh(made.vertices, made.triangles, process=False)
    lines = trimesh.intersections.mesh_plane(body, normal, 7.3 * normal).reshape(-1, 3)
    points = MeshSlices(made, axis).at(7.3)
    ours, theirs = (np.unique(np.round(p, 6), axis=0) for p in (points, lines))
    assert ours == pytest.approx(theirs, abs=2e-6)


@pytest.mark.parametrize("at", [-19.0, 0.0, 7.3, 19.5, 60.0])
def test_the_ends_alone_are_those_of_all_points(at: float) -> None:
    made, way = mesh(cylinder((0, 0, 0), (1, 0.2, 0.1), 20.0, 50.0), 0.05), (0.8, 0.6, 0.0)
    slices = MeshSlices(made)
    points, found = slices.at(at), slices.ends(at, way)
    if not len(points):
        assert found is None
        return
    assert found == pytest.approx(np.array(ends(points, way)), abs=1e-9)


def test_a_line_along_a_side_of_a_box_meets_what_ends_there() -> None:
    slices = MeshSlices(mesh(box((10, 0, 5), (40, 20, 9)), 0.1))
    assert slices.ends(20.0, (1.0, 0.0, 0.0))[:, 0].tolist() == [10.0, 40.0]
    assert slices.ends(0.0, (1.0, 0.0, 0.0)) is None


@pytest.mark.parametrize("way", [(1.0, 0.0, 0.0), (0.8, 0.6, 0.0)])
def test_many_lines_at_once_have_the_ends_of_each_alone(way: tuple[float, float, float]) -> None:
    slices = MeshSlices(mesh(cylinder((0, 0, 0), (1, 0.2, 0.1), 20.0, 50.0), 0.05))
    lines = np.random.default_rng(4).permutation(np.linspace(-40.0, 60.0, 100))
    found, some = slices.all_ends(lines, way), slices.between(-5.0, 12.5)
    for line, ends_ in zip(lines.tolist(), found, strict=True):
        alone = slices.ends(line, way)
        assert (alone is None) == bool(np.isnan(ends_).any())
        if alone is not None:
            assert ends_.tolist() == alone.tolist()
            if -5.0 <= line <= 12.5:
                assert some.ends(line, way).tolist() == alone.tolist()
    assert 10 < np.isnan(found[:, 0, 0]).sum() < 90
    assert slices.all_ends(np.zeros(0), way).shape == (0, 2, 3)
