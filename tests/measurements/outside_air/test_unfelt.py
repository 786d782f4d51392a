"""What has no panels, of plain machines: what the pod holds, wakes, and what it does at most."""

import numpy as np
import pytest
from plain_machines import RIM, about, box, ellipsoid

from geomgen.measurements.outside_air.states import solved_machine
from geomgen.measurements.outside_air.unfelt import most_off, skins, wakes_on

STREAM = np.array([25.0, 0.0, 0.0])
MOUTH = (100.0, 370.0, 0.0)


@pytest.fixture(scope="module")
def shown():
    return solved_machine(about(winged=False), 0.5).outside


def test_what_stands_in_the_air_that_leaves_does_not_count(shown):
    """A spinner within the drawn tail; of one that is wider what stands out of it."""
    thin = ellipsoid((60.0, 30.0, 30.0), (RIM + 100.0, 0.0, 0.0))
    wide = ellipsoid((60.0, 600.0, 600.0), (RIM + 100.0, 0.0, 0.0))
    found = skins(shown, {"spinner": thin, "wheel_main": wide})
    assert len(found["spinner"]) == 0
    assert 0 < len(found["wheel_main"]) < len(wide.triangles)


def test_wheel_and_leg_ahead_have_a_mouth_in_their_wake_and_a_boom_has_not(shown):
    ahead = ellipsoid((150.0, 40.0, 150.0), (-500.0, 420.0, -60.0))
    far = ellipsoid((150.0, 40.0, 150.0), (-500.0, 420.0, -900.0))
    behind = ellipsoid((150.0, 40.0, 150.0), (700.0, 420.0, -60.0))
    every = {"a": ahead, "b": far, "c": behind, "d": ahead, "e": ahead, "f": ahead}
    bodies = skins(shown, every)
    families = {"a": "wheel", "b": "wheel", "c": "wheel", "d": "boom", "e": "leg", "f": "scoop"}
    assert list(wakes_on(bodies, families, MOUTH, 60.0, STREAM)) == ["a", "e", "f"]


def test_large_faces_of_a_leg_are_looked_at_everywhere(shown):
    """A box has a corner of triangles far from its middle."""
    leg = box((-400.0, 380.0, -900.0), (-380.0, 400.0, 900.0))
    bodies = skins(shown, {"leg_main": leg})
    assert list(wakes_on(bodies, {"leg_main": "leg"}, MOUTH, 30.0, STREAM)) == ["leg_main"]


def test_more_and_nearer_bodies_do_more(shown):
    points, speeds = np.array([MOUTH]), np.array([1.0])

    def off(*sides):
        meshes = {f"boom_{y}": ellipsoid((1500.0, 60.0, 60.0), (900.0, y, 0.0)) for y in sides}
        return most_off(skins(shown, meshes), points, speeds, STREAM)

    found = [off(), off(1500.0), off(900.0), off(900.0, -900.0)]
    assert found == sorted(found)
    assert found[0] == 0.0
    assert 1e-3 < found[3] < 0.2
