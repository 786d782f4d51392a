"""The glass taken out of a mesh: what is left has the volume that a closed form gives it.

Source: closed forms.
"""

from math import acos, pi, sqrt

import pytest
from few_cases import few

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshes.glazing import less_glass
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Glass

RADIUS, LENGTH, FINE = 300.0, 1000.0, 0.02


def hull_of(solid):
    made = meshed(solid, FINE)
    return body_of(solid, made.mesh, made.deviation.largest).hull


@pytest.fixture(scope="module")
def rod():
    return hull_of(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH))


@pytest.mark.parametrize("sill", few([120.0, -150.0, 0.0, 299.0]))
def test_a_level_sill_takes_a_segment_of_the_circle(rod, sill):
    glass = Glass(200.0, 700.0, sill, sill)
    taken = RADIUS**2 * acos(sill / RADIUS) - sill * sqrt(RADIUS**2 - sill**2)
    due = pi * RADIUS**2 * LENGTH - 500.0 * taken
    # A chord's sag on every side.
    assert less_glass(rod, glass).volume() == pytest.approx(
        due, abs=2 * pi * RADIUS * LENGTH * FINE
    )


def test_a_sill_that_slopes_takes_a_wedge():
    block = hull_of(box((0.0, -50.0, 0.0), (100.0, 50.0, 100.0)))
    left = less_glass(block, Glass(0.0, 100.0, 100.0, 0.0))
    assert left.volume() == pytest.approx(100.0**3 / 2, rel=1e-9)


def test_glass_beyond_the_mesh_takes_nothing(rod):
    for glass in (None, Glass(200.0, 700.0, 301.0, 400.0), Glass(1001.0, 1200.0, 0.0, 0.0)):
        assert less_glass(rod, glass).volume() == pytest.approx(rod.volume(), rel=1e-12)


def test_glass_all_over_leaves_nothing(rod):
    assert less_glass(rod, Glass(-10.0, 1010.0, -400.0, -400.0)).is_empty()
