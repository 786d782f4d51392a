"""The tightest bend of a skin, against closed forms of spheroid, cylinder and conic."""

import numpy as np
import pytest

from geomgen.kernel.lofting.bends import principal_curvatures, radii, tightest_bend
from geomgen.kernel.lofting.lines import Stations, lay, weight_of

ROUND = weight_of(2**0.5 - 1)


def body(x, radius, rho=2**0.5 - 1, nose="flat", tail="flat"):
    one = np.ones_like(x)
    weight = weight_of(rho) * one
    return lay(Stations(x, radius, -radius, radius, 0 * one, weight, weight, nose, tail))


def spheroid(a=300.0, b=100.0):
    turn = np.linspace(0, np.pi, 17)
    radius = b * np.sin(turn)
    radius[[0, -1]] = 0.0
    return body(a * (1 - np.cos(turn)), radius, nose="round", tail="round")


def test_tip_of_a_spheroid() -> None:
    """b^2 / a at the tip of a prolate spheroid (DERIVED: curvature of an ellipse at its vertex)."""
    found = tightest_bend(spheroid(), 0.0, 600.0)
    assert found.radius == pytest.approx(100.0**2 / 300.0, rel=5e-3)
    assert min(found.station, 600.0 - found.station) < 1.0


def test_waist_of_a_spheroid() -> None:
    """Round the waist b, along it a^2 / b: the two principal radii there."""
    lines = spheroid()
    v = np.array([lines.at_station(300.0)])
    small, large = principal_curvatures(lines, "upper", np.array([0.3, 0.7]), v)
    assert 1 / large == pytest.approx(100.0, rel=1e-3)
    assert 1 / small == pytest.approx(300.0**2 / 100.0, rel=5e-3)


@pytest.mark.parametrize("rho", [0.45, 0.6, 0.7, 0.85])
def test_shoulder_of_a_conic(rho) -> None:
    """Curvature at the end of a conic: area of its triangle over w^2 and the leg cubed.

    DERIVED; the conic is halved at its shoulder (w' = sqrt((1 + w) / 2)) to have one there.
    """
    a, w = 100.0, weight_of(rho)
    p0, p1, p2 = np.array([a, 0.0]), np.array([a, a]), np.array([0.0, a])
    q, s = (p0 + w * p1) / (1 + w), (p0 + 2 * w * p1 + p2) / (2 + 2 * w)
    leg, other = s - q, p0 - q
    size = abs(leg[0] * other[1] - leg[1] * other[0]) / 2
    radius = (1 + w) / 2 * np.linalg.norm(leg) ** 3 / size
    x = np.array([0.0, 100.0, 200.0])
    found = tightest_bend(body(x, 100.0 * np.ones(3), rho), 0.0, 200.0)
    # 41 looks round a quadrant may miss the very shoulder by half a step.
    assert found.radius == pytest.approx(radius, rel=2e-2)


def test_cylinder_has_no_hollow() -> None:
    lines = body(np.array([0.0, 100.0, 300.0]), 50.0 * np.ones(3))
    # From differences of normals, one-sided at the quadrants' ends.
    assert tightest_bend(lines, 0.0, 300.0).radius == pytest.approx(50.0, rel=1e-4)
    assert np.all(np.isinf(radii(lines, 0.0, 300.0, inward=False)[1]))


def test_hollow_of_a_waisted_body() -> None:
    """A circle of revolution drawn in: along its waist the skin is hollow with the arc's radius."""
    x = np.linspace(-100.0, 100.0, 17)
    lines = body(x, 300.0 - np.sqrt(200.0**2 - x**2))
    assert tightest_bend(lines, -50.0, 50.0, inward=False).radius == pytest.approx(200.0, rel=2e-3)
