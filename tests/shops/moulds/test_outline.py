"""Outlines of splits, against closed forms."""

import numpy as np
import pytest
from shapely.geometry import Polygon
from shops.moulds.plain_moulds import (
    LENGTH,
    LONG,
    RADIUS,
    SHORT,
    cylinder_pod,
    spheroid_pod,
    with_mould,
)
from shops.moulds.test_bodies import plain_wing, tip

from geomgen.errors import GeometryError
from geomgen.kernel.plain import vec
from geomgen.kernel.solids.properties import area
from geomgen.shops.moulds.outline import outline, points_along, sheet_of, split_face
from geomgen.shops.moulds.split import Split, halves, split_of


def drawn(p, mould, gap=0.0):
    sheet = sheet_of(split_of(p, mould, gap, 60.0))
    first = halves(p, mould, gap)[0]
    return Polygon(sheet.flat(points_along(outline(p, mould, gap, first, sheet))))


@pytest.mark.parametrize("split", ["centre plane", "maximum breadth"])
@pytest.mark.parametrize("rise", [0.0, 0.2])
def test_the_outline_of_a_cylinder_is_a_rectangle(saltmarsh, split, rise):
    p, mould = with_mould(cylinder_pod(saltmarsh, rise), split=split)
    found = drawn(p, mould)
    assert found.area == pytest.approx(LENGTH * 2 * RADIUS, rel=1e-6)


def test_the_outline_of_a_spheroid_is_an_ellipse(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    assert drawn(p, mould).area == pytest.approx(np.pi * LONG * SHORT, rel=2e-4)


def test_the_outline_of_a_tip_goes_from_its_nose_to_the_middle_of_its_edge(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh))
    assert drawn(p, mould).area == pytest.approx(1000.0 * 400.0, rel=1e-5)


def test_the_outline_of_a_scoop_bounds_its_own_face(saltmarsh):
    p, mould = with_mould(saltmarsh, part="scoop_cheek")
    first = halves(p, mould, 0.0)[0]
    face = split_face(first, sheet_of(split_of(p, mould, 0.0, 60.0)))
    assert drawn(p, mould).area == pytest.approx(area(face).value, rel=1e-4)


def test_a_half_without_a_face_in_the_split_is_refused(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    elsewhere = sheet_of(Split((0.0, 7.0, 0.0), (0.0, 1.0, 0.0)))
    with pytest.raises(GeometryError, match="0 faces"):
        split_face(halves(p, mould, 0.0)[0], elsewhere)


@pytest.mark.parametrize("normal", [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.1, -0.05, 0.9937)])
def test_the_plane_of_a_split_is_square_and_keeps_points(normal):
    size = float(np.linalg.norm(normal))
    sheet = sheet_of(Split((5.0, 6.0, 7.0), tuple(c / size for c in normal)))
    axes = np.stack([sheet.along, sheet.aside, sheet.normal])
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert sheet.along[0] > 0
    flat = np.array([[3.0, -4.0], [100.0, 2.0]])
    assert sheet.flat(sheet.space(flat)) == pytest.approx(flat)
    lifted = sheet.space(flat) + 9.0 * sheet.normal
    assert sheet.dropped(lifted) == pytest.approx(sheet.space(flat))
    assert vec(np.array([1, 2, 3])) == (1.0, 2.0, 3.0)
