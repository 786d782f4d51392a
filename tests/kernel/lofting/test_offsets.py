"""Surfaces at a distance from a body's lines keep it between their rows too, whatever is drawn."""

import numpy as np
import pytest
from framed_pods import inside, pod_of
from OCP.BRepAdaptor import BRepAdaptor_Surface
from scipy.spatial import cKDTree

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bends import tightest_bend
from geomgen.kernel.lofting.lines import Stations, lay, weight_of
from geomgen.kernel.lofting.offsets import offset_outlines, offset_skin
from geomgen.shapes.hull import pod_lines

# Profiles of revolution (station, radius) with a step in them [mm].
STEP_AFT = [(0, 0), (40, 90), (100, 140), (300, 205), (700, 240), (1000, 245), (1030, 250)]
STEP_AFT += [(1036, 268), (1066, 274), (1300, 280), (2000, 260), (3000, 200)]
STEP_AHEAD = [(0, 0), (40, 70), (100, 120), (200, 170), (300, 200), (326, 206), (330, 214)]
STEP_AHEAD += [(334, 232), (360, 238), (450, 245), (700, 260), (1200, 270), (2000, 260)]


def laid(profile):
    x, radius = np.array(profile, dtype=float).T
    weight = np.full_like(x, weight_of(2**0.5 - 1))
    return lay(Stations(x, radius, -radius, radius, 0 * x, weight, weight, "round", "flat"), "pod")


@pytest.mark.parametrize("wall", [2.0, 4.0, 5.0])
def test_wall_is_what_was_asked_for_beside_a_step(wall) -> None:
    """Points of the inner skin against a dense profile of the outer one: 2 % is held."""
    lines = laid(STEP_AFT)
    inner = offset_skin(lines, wall, None, 3000.0, "pod")
    v = np.linspace(*lines.v_range, 200001)
    outer = cKDTree(np.c_[lines.station(v), lines.curves["crown"](v)])
    surface = BRepAdaptor_Surface(inner.quadrants[0][0])
    along = np.linspace(surface.FirstVParameter(), surface.LastVParameter(), 4001)
    crown = [surface.Value(surface.LastUParameter(), b) for b in along]
    points = np.array([(p.X(), np.hypot(p.Y(), p.Z())) for p in crown])
    # Aft of 2,990 mm the nearest point lies beyond the plane end, at the tip beyond the axis.
    told = (points[:, 0] > wall + 5.0) & (points[:, 0] < 2990.0)
    found, _ = outer.query(points[told])
    assert found.min() > 0.98 * wall - 0.02
    assert found.max() < 1.02 * wall + 0.02


def test_a_bend_between_two_looks_is_found() -> None:
    """The curvature of the meridian worked out from the splines themselves, 200,000 times."""
    lines = laid(STEP_AHEAD)
    v = np.linspace(lines.at_station(100.0), lines.at_station(1000.0), 200001)
    x1, x2 = lines.station(v, nu=1), lines.station(v, nu=2)
    r1, r2 = lines.curves["crown"](v, nu=1), lines.curves["crown"](v, nu=2)
    bulge = -(x1 * r2 - r1 * x2) / (x1**2 + r1**2) ** 1.5
    found = tightest_bend(lines, 100.0, 1000.0)
    assert found.radius == pytest.approx(1 / bulge.max(), rel=0.02)


def test_a_wall_that_the_bend_has_no_room_for_is_never_made() -> None:
    with pytest.raises(GeometryError, match="inside the skin"):
        offset_skin(laid(STEP_AFT), 12.0, None, 3000.0, "pod")


def test_outlines_at_a_distance_are_the_parallel_curves_of_an_ellipse():
    """Steiner: a curve parallel to one of length L encloses A - L d + pi d^2."""
    p = pod_of()
    halves = offset_outlines(pod_lines(p).lines, 40.0, np.array([900.0, 1100.0]), "pod")
    assert halves.shape[2] == 3
    for half, x in zip(halves, (900.0, 1100.0), strict=True):
        assert half[:, 0] == pytest.approx(x, abs=1e-6)
        y, z = half[:, 1], half[:, 2]
        area = 2 * abs(float(np.sum(0.5 * (y[1:] + y[:-1]) * np.diff(z))))
        assert area == pytest.approx(inside(40.0), rel=1e-4)
        assert z[0] < z[-1]
