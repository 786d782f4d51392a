"""Smooth edges against a tyre, whose tread meets its sides smoothly (closed form)."""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, wheel
from geomgen.kernel.visibility.seams import Seam, Seams, seams


def test_a_box_has_none():
    assert seams(box((0, 0, 0), (1, 2, 3))).found == []


def test_a_tyre_s_tread_meets_its_sides_on_two_circles():
    found = seams(wheel((0.0, 0.0, 0.0), 300.0, 80.0)).found
    circles = [s for s in found if np.ptp(s.points[:, 1]) < 1e-6 and len(s.points) > 4]
    assert len(circles) == 2
    for seam in circles:
        assert np.hypot(seam.points[:, 0], seam.points[:, 2]) == pytest.approx(110.0)
        assert np.abs(seam.normals[:, 1]) == pytest.approx(1.0)


def test_a_line_along_a_seam_stays_only_where_the_skin_is_seen_edge_on():
    points = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
    known = Seams([Seam(points, np.array([[0.0, 0.0, 1.0]] * 2))])
    middle = np.array([[20.0, 0.0, 0.0], [60.0, 0.0, 0.0]])
    assert known.hold(middle, np.array([0.0, 0.0, 1.0]), 0.1)
    assert not known.hold(middle, np.array([0.0, 1.0, 0.0]), 0.1)
    assert not known.hold(middle + np.array([0.0, 0.5, 0.0]), np.array([0.0, 0.0, 1.0]), 0.1)


def test_a_leading_edge_that_leans_a_little_is_an_outline():
    """Closed form: a small pitch moves the true outline of a round nose by next to nothing."""
    points = np.array([[0.0, 0.0, 0.0], [0.0, 900.0, 0.0]])
    for degrees, gone in ((1.0, False), (45.0, True)):
        turn = np.radians(degrees)
        known = Seams([Seam(points, np.array([[-np.cos(turn), 0.0, np.sin(turn)]] * 2))])
        assert known.hold(points, np.array([0.0, 0.0, 1.0]), 0.1) is gone


def test_a_keel_that_rises_a_little_is_no_outline_end_on():
    """The skin leans along the keel, not across it: closed form."""
    points = np.array([[0.0, 0.0, 0.0], [1000.0, 0.0, -30.0]])
    known = Seams([Seam(points, np.array([[-0.03, 0.0, -1.0]] * 2))])
    assert known.hold(points, np.array([-1.0, 0.0, 0.0]), 0.1)
