"""The largest distance of two surfaces, against closed forms and dense samples of trimesh."""

import numpy as np
import pytest
import trimesh
from few_cases import few
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere

from geomgen.kernel.brep.primitives import box, cylinder, moved
from geomgen.kernel.meshes import states_apart
from geomgen.kernel.meshes.states_apart import largest_distance
from geomgen.kernel.meshing.proven import mesh

CHORD = 0.1


def sphere(radius):
    return mesh(BRepPrimAPI_MakeSphere(radius).Shape(), CHORD)


def tube(radius, x=0.0, y=0.0):
    return mesh(cylinder((x, y, 0.0), (1.0, 0.0, 0.0), radius, 300.0), CHORD)


PLATE = box((0, 0, 0), (1000.0, 700.0, 6.0))


@pytest.mark.parametrize("more", few([0.3, 1.0, 10.0]))
def test_concentric_spheres_are_the_difference_of_their_radii_apart(more):
    """Closed form; either mesh may lie inside its sphere by the mesh tolerance."""
    found = largest_distance(sphere(100.0), sphere(100.0 + more))
    assert more - 1e-4 <= found.distance <= more + CHORD
    assert found.distance <= found.at_most <= found.distance + 2 * CHORD + 0.01 * found.distance


def test_concentric_cylinders_are_the_difference_of_their_radii_apart():
    found = largest_distance(tube(50.0), tube(55.0))
    assert 5.0 - 1e-4 <= found.distance <= 5.0 + CHORD
    assert np.linalg.norm(np.subtract(found.at, found.foot)) == pytest.approx(found.distance)


@pytest.mark.parametrize("by", [(7.0, 0.0, 0.0), (0.0, 0.4, 0.0), (3.0, 4.0, 12.0)])
def test_a_shifted_box_is_its_shift_away(by):
    """Closed form: a corner of a convex body moves clear of it by the whole shift."""
    here = mesh(box((0, 0, 0), (300.0, 200.0, 100.0)), CHORD)
    there = mesh(moved(box((0, 0, 0), (300.0, 200.0, 100.0)), by), CHORD)
    found = largest_distance(here, there)
    assert found.distance == pytest.approx(np.linalg.norm(by), abs=1e-4)


def test_identical_meshes_are_nothing_apart():
    found = largest_distance(sphere(80.0), sphere(80.0))
    assert (found.distance, found.at_most, found.samples) == (0.0, 0.0, 0)


def test_a_small_bump_on_a_large_plate_is_found_where_it_is():
    bump = cylinder((503.0, 337.0, 0.0), (0, 0, 1), 1.0, 6.5)
    found = largest_distance(mesh(PLATE, CHORD), mesh(BRepAlgoAPI_Fuse(PLATE, bump).Shape(), CHORD))
    assert found.distance == pytest.approx(0.5, abs=1e-4)
    assert np.hypot(found.at[0] - 503.0, found.at[1] - 337.0) <= 1.001


def test_a_hole_is_found_although_no_corner_of_either_mesh_tells_of_it():
    """Closed form: the middle of a hole of radius 20 in a plate 6 thick is 20 from its rim."""
    whole = mesh(PLATE, CHORD)
    drill = cylinder((503.0, 337.0, -1.0), (0, 0, 1), 20.0, 9.0)
    holed = mesh(BRepAlgoAPI_Cut(PLATE, drill).Shape(), CHORD)
    corners = [states_apart.MeshSearch(a.corners).nearest(b.vertices).distance.max()
               for a, b in ((whole, holed), (holed, whole))]  # fmt: skip
    assert max(corners) < 1e-6
    found = largest_distance(whole, holed)
    assert 20.0 - 0.3 <= found.distance <= 20.0
    assert 20.0 - CHORD <= found.at_most <= 20.3
    assert found.from_former


def test_a_search_that_is_given_up_says_what_it_can_not_exclude(monkeypatch):
    monkeypatch.setattr(states_apart, "MOST", 0)
    drill = cylinder((503.0, 337.0, -1.0), (0, 0, 1), 20.0, 9.0)
    holed = mesh(BRepAlgoAPI_Cut(PLATE, drill).Shape(), CHORD)
    found = largest_distance(mesh(PLATE, CHORD), holed)
    assert found.distance < 1.0
    assert found.at_most > 20.0


@pytest.mark.parametrize(
    ("a", "b"),
    few(
        [
            (tube(50.0), tube(50.0, y=9.0)),
            (tube(50.0), tube(47.0, x=20.0, y=1.0)),
            (sphere(60.0), mesh(box((-50, -50, -50), (50, 50, 50)), CHORD)),
        ],
        *(0, 2),
        rows=True,
    ),
)
def test_no_sample_of_an_independent_library_is_beyond_the_bound(a, b):
    found = largest_distance(a, b)
    most = 0.0
    for mine, other in ((a, b), (b, a)):
        body = trimesh.Trimesh(mine.vertices, mine.triangles, process=False)
        target = trimesh.Trimesh(other.vertices, other.triangles, process=False)
        points, _ = trimesh.sample.sample_surface(body, 3000, seed=4)
        points = np.concatenate([points, mine.vertices])
        most = max(most, trimesh.proximity.closest_point(target, points)[1].max())
    assert most <= found.at_most + 1e-9
    assert found.distance >= most - max(0.25 * 2 * CHORD, 0.01 * most) - 2 * CHORD


def test_the_answer_does_not_hang_on_which_is_the_former():
    one, two = tube(50.0), tube(47.0, x=20.0, y=1.0)
    there, back = largest_distance(one, two), largest_distance(two, one)
    assert (there.distance, there.at_most, there.at, there.foot) == (
        back.distance, back.at_most, back.at, back.foot,
    )  # fmt: skip
    assert there.from_former != back.from_former
