"""The least gap of a limb to triangles, against scipy's minimum and closed forms."""

from math import cos, hypot, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.plain import Limb
from geomgen.measurements.pilot.limb_gap import WITHIN, farthest_out, middles, nearest

FLAT = MeshSearch(
    np.array([[[-9e3, -9e3, 0.0], [9e3, -9e3, 0.0], [0.0, 9e3, 0.0]]]),
)
metres = st.floats(-300.0, 300.0)
radii = st.floats(1.0, 150.0)


@given(metres, metres, radii, radii)
def test_over_a_plane_it_is_the_lower_end(low, high, first, second):
    """The least of z - r is at an end: both change in proportion along the limb."""
    limb = Limb("arm", (-100.0, 20.0, abs(low)), (200.0, -50.0, abs(high)), first, second)
    due = min(abs(low) - first, abs(high) - second)
    assert nearest(limb, FLAT).gap == pytest.approx(due, abs=1e-9)


@given(st.floats(20.0, 400.0), st.floats(0.0, 3.0), radii, radii)
def test_to_a_point_it_is_what_scipy_finds(far, turn, first, second):
    """A mesh as small as a point; the gap along the limb is convex, so its minimum is one."""
    spot = np.array([far * cos(turn), 0.0, far * sin(turn)])
    mesh = MeshSearch(spot + 1e-7 * np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]]]))
    limb = Limb("arm", (-150.0, 0.0, 0.0), (150.0, 0.0, 0.0), first, second)

    def gap(share):
        x, r = -150.0 + 300.0 * share, first + share * (second - first)
        return hypot(spot[0] - x, spot[2]) - r

    due = minimize_scalar(gap, bounds=(0.0, 1.0), method="bounded", options={"xatol": 1e-9}).fun
    due = min(due, gap(0.0), gap(1.0))
    assert due - 1e-5 <= nearest(limb, mesh).gap <= due + WITHIN + 1e-5


def test_the_two_points_are_as_far_apart_as_the_gap():
    limb = Limb("arm", (0.0, 0.0, 50.0), (90.0, 0.0, 70.0), 20.0, 45.0)
    found = nearest(limb, FLAT)
    assert found.gap == pytest.approx(25.0)
    assert found.on_limb == pytest.approx((90.0, 0.0, 25.0))
    assert found.on_part == pytest.approx((90.0, 0.0, 0.0))


def test_a_spike_between_two_places_is_not_missed():
    """A needle of a tenth of a millimetre, at a place where no first guess falls."""
    spot = np.array([0.3137 * 1000.0, 0.0, 21.0])
    mesh = MeshSearch(spot + 0.1 * np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]]]))
    limb = Limb("arm", (0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), 20.0, 20.0)
    assert nearest(limb, mesh).gap == pytest.approx(1.0, abs=WITHIN)


def test_what_is_out_counts_to_its_far_side():
    limb = Limb("head", (0.0, 0.0, -40.0), (0.0, 0.0, -10.0), 30.0, 30.0)
    found = farthest_out(limb, *middles(limb, np.array([0.0, 1.0])), FLAT)
    assert found.gap == pytest.approx(-70.0)
    assert found.on_limb == pytest.approx((0.0, 0.0, -70.0))
