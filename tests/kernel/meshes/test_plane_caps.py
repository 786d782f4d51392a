"""Meshes cut with a plane: closed forms of a box, a tube and a sphere; what is no solid refused.

Source: closed forms.
"""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, ring
from geomgen.kernel.meshes.plane_caps import cut_by_all
from geomgen.kernel.meshing.proven import is_closed, mesh
from geomgen.kernel.plain import Axis, Plane

X = (1.0, 0.0, 0.0)
BOX = mesh(box((0.0, 0.0, 0.0), (20.0, 30.0, 40.0)), 0.1)
TUBE = mesh(ring(Axis((0.0, 0.0, 0.0), X), 0.0, 200.0, 40.0, 50.0), 0.01)


def cut_mesh(made, plane, part=""):
    return cut_by_all(made, (plane,), part)


def cap_area(cut, number=0):
    a, b, c = cut.vertices[cut.triangles[cut.cap == number]].transpose(1, 0, 2)
    return np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2


def closed(cut, like):
    return is_closed(replace(like, vertices=cut.vertices, triangles=cut.triangles))


def test_a_slanted_cut_of_a_box():
    # The plane z = y halves the cross-section up to y = 30: a triangle of 30 by 30 goes below.
    s = 0.5**0.5
    low = cut_mesh(BOX, Plane((0.0, 0.0, 0.0), (0.0, -s, s)))
    assert low.volume == pytest.approx(20.0 * 30.0 * 30.0 / 2, rel=1e-12)
    assert cap_area(low) == pytest.approx(20.0 * 30.0 * 2**0.5, rel=1e-12)
    assert closed(low, BOX)


def test_the_section_of_a_tube_is_a_ring():
    cut = cut_mesh(TUBE, Plane((77.0, 0.0, 0.0), X))
    assert cap_area(cut) == pytest.approx(pi * (50.0**2 - 40.0**2), rel=1e-3)
    assert cut.volume == pytest.approx(77.0 * pi * (50.0**2 - 40.0**2), rel=1e-3)
    assert cut.vertices[:, 0].max() == pytest.approx(77.0, abs=1e-9)
    assert closed(cut, TUBE)


def test_each_plane_keeps_its_own_cap():
    cut = cut_by_all(BOX, (Plane((5.0, 0.0, 0.0), X), Plane((0.0, 10.0, 0.0), (0.0, 1.0, 0.0))))
    assert cut.volume == pytest.approx(5.0 * 10.0 * 40.0)
    assert cap_area(cut, 0) == pytest.approx(10.0 * 40.0)
    assert cap_area(cut, 1) == pytest.approx(5.0 * 40.0)


def test_a_plane_that_misses_changes_nothing_or_takes_all():
    whole = cut_mesh(BOX, Plane((50.0, 0.0, 0.0), X))
    assert np.array_equal(whole.triangles, BOX.triangles)
    assert np.all(whole.cap == -1)
    none = cut_mesh(BOX, Plane((-1.0, 0.0, 0.0), X))
    assert len(none.triangles) == 0
    assert none.volume == 0.0
    # One that only touches a face cuts nothing off.
    assert cut_mesh(BOX, Plane((20.0, 0.0, 0.0), X)).volume == pytest.approx(24000.0)


def test_planes_that_leave_nothing_between_them():
    apart = (Plane((5.0, 0.0, 0.0), X), Plane((15.0, 0.0, 0.0), (-1.0, 0.0, 0.0)))
    assert len(cut_by_all(BOX, apart).triangles) == 0


def test_both_sides_add_up():
    body = mesh(cylinder((3.0, 4.0, 5.0), (0.6, 0.0, 0.8), 7.0, 90.0), 0.02)
    normal = (0.48, 0.6, 0.64)
    away = (-0.48, -0.6, -0.64)
    place = (20.0, 4.0, 30.0)
    one, other = cut_mesh(body, Plane(place, normal)), cut_mesh(body, Plane(place, away))
    assert one.volume + other.volume == pytest.approx(body.volume, rel=1e-9)
    assert cap_area(one) == pytest.approx(cap_area(other), rel=1e-9)


def test_an_open_mesh_and_one_inside_out_are_refused():
    plane = Plane((5.0, 0.0, 0.0), X)
    with pytest.raises(GeometryError, match="open mesh"):
        cut_mesh(replace(BOX, triangles=BOX.triangles[1:]), plane, "pod")
    with pytest.raises(GeometryError, match="not a solid"):
        cut_mesh(replace(BOX, triangles=BOX.triangles[:, ::-1].copy()), plane, "pod")
