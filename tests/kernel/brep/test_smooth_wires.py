"""Faces within smooth rings and rounded rectangles, against closed forms."""

import numpy as np
import pytest

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.smooth_wires import rounded_face, smooth_face
from geomgen.kernel.brep.wires import edges_along, outer_wire
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.solids.properties import area

LEANING = Frame((500.0, 0.0, 800.0), (0.0, 1.0, 0.0), (0.6, 0.0, 0.8))


def test_an_ellipse_of_many_points_needs_few():
    angle = np.linspace(0.0, 2 * np.pi, 2000, endpoint=False)
    face = smooth_face(np.c_[300 * np.cos(angle), 400 * np.sin(angle)], LEANING)
    assert area(face).value == pytest.approx(np.pi * 300 * 400, rel=1e-6)
    assert len(edges_along(outer_wire(face))) == 4


def test_corners_stay_sharp():
    """A half disc: one arc and the straight line that closes it."""
    angle = np.linspace(0.0, np.pi, 400)
    face = smooth_face(100 * np.c_[np.cos(angle), np.sin(angle)], at_station(5.0))
    assert area(face).value == pytest.approx(np.pi * 5000, rel=1e-5)
    assert len(edges_along(outer_wire(face))) == 2
    square = smooth_face(np.array([[0, 0], [9, 0], [9, 9], [0, 9]]), at_station(5.0))
    assert area(square).value == pytest.approx(81.0)


@pytest.mark.parametrize(
    ("wide", "high", "radius", "edges"),
    [(50, 20, 0, 4), (50, 20, 5, 8), (50, 20, 10, 6), (20, 50, 10, 6), (20, 20, 10, 4)],
)
def test_rounded_rectangles(wide, high, radius, edges):
    face = rounded_face((3.0, -7.0), wide, high, radius, LEANING)
    assert area(face).value == pytest.approx(wide * high - (4 - np.pi) * radius**2)
    assert len(edges_along(outer_wire(face))) == edges
    assert len(faces_of(face)) == 1
