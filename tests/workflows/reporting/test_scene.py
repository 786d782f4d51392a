"""What the 3D view shows of the example, and where its checks are looked at."""

import numpy as np
import pytest

from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.building.outcome import read_checks
from geomgen.workflows.reporting.scene import GIVE, places_of, scene_of


@pytest.fixture(scope="module")
def seen(saltmarsh_model, saltmarsh_meshes, saltmarsh_set):
    checks = read_checks(saltmarsh_set.folder)
    return scene_of(saltmarsh_model, saltmarsh_meshes, checks), checks


def test_all_parts_are_there_within_what_is_said(seen, saltmarsh_meshes):
    scene, _ = seen
    assert [body.name for body in scene.bodies] == list(saltmarsh_meshes)
    assert [body.name for body in scene.bodies if body.faded] == ["prop_disc"]
    for body in scene.bodies:
        mesh, _ = saltmarsh_meshes[body.name]
        for reach in (np.min, np.max):
            gap = reach(body.points, axis=0) - reach(mesh.vertices, axis=0)
            assert np.abs(gap).max() <= GIVE + 0.1


def test_openings_are_filled_once(seen):
    scene, _ = seen
    assert [opening.id for opening in scene.openings] == [
        "inlet.area.scoop_cheek_right",
        "inlet.area.scoop_cheek_left",
        "exit.area",
    ]


def test_every_measured_check_has_its_place(seen):
    scene, checks = seen
    places = places_of(scene, checks)
    without = {check.id for check in checks if check.id not in places}
    # What is said of the whole machine, such as its mass, is at no place of it.
    of_all = {check.id for check in checks if not check.part}
    assert without - of_all == {"parts.interference", "parts.attached"}
    assert not [i for i in of_all if i.startswith(("prop.", "inlet.", "exit.", "firewall."))]
    for check in checks:
        if len(check.points) == 2:
            middle = np.mean(check.points, axis=0)
            assert np.allclose(places[check.id].at, middle, atol=1e-3)


def test_a_part_stands_in_where_no_place_is_named(seen):
    scene, _ = seen
    check = Check("mass", "pod", "mass", 3.0, "kg", Limits(""), "none", None, "pass")
    place = places_of(scene, [check])["mass"]
    pod = next(body for body in scene.bodies if body.name == "pod")
    assert np.allclose(place.at, (pod.points.min(axis=0) + pod.points.max(axis=0)) / 2, atol=1e-3)


def test_an_area_that_no_plane_of_the_model_has_is_not_filled(saltmarsh_model):
    """A throat narrower than in any plane has a place of its own instead."""
    name = saltmarsh_model.passages[0].name
    check = Check(
        f"duct.throat_area.{name}",
        name,
        "least",
        5000.0,
        "mm2",
        Limits(""),
        "at least",
        1.0,
        "pass",
        points=((1800.0, 300.0, 800.0),),
    )
    assert scene_of(saltmarsh_model, {}, [check]).openings == ()
