"""Where legs go when their axles are drawn up, by the geometry of a turned bar (DERIVED)."""

from math import degrees, dist, radians, sin

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, turned
from geomgen.kernel.plain import Strut
from geomgen.kernel.solids.properties import centroid
from geomgen.measurements.drawn_up import STEEP, drawn_up

ROOT = (1735.0, 150.0, 485.0)
AXLES = [(1850.0, 750.0, 10.0), (1735.0, 700.0, 100.0), (1300.0, 150.0, 300.0), (1600, -60, 400)]


def strut(axle, root=ROOT, **more) -> Strut:
    return Strut("wheel", axle, leg="leg", root=root, rooted_in="pod", **more)


@pytest.mark.parametrize("axle", AXLES)
@pytest.mark.parametrize("rise", [0.0, 40.0, 120.0])
def test_the_axle_rises_by_as_much_and_keeps_its_distance(axle, rise) -> None:
    move = drawn_up(strut(axle), rise)
    (at,) = move.of(np.array([axle]))
    assert at[2] - axle[2] == pytest.approx(rise, abs=1e-9)
    assert dist(at, ROOT) == pytest.approx(dist(axle, ROOT), abs=1e-9)
    # In the upright plane through root and axle.
    out, now = np.subtract(axle, ROOT)[:2], np.subtract(at, ROOT)[:2]
    assert out[0] * now[1] - out[1] * now[0] == pytest.approx(0.0, abs=1e-6)
    assert out @ now > 0.0
    (root,) = move.of(np.array([ROOT]))
    assert root == pytest.approx(ROOT, abs=1e-9)


@pytest.mark.parametrize(("lean", "straight"), [(STEEP + 0.1, True), (STEEP - 0.1, False)])
def test_a_steep_leg_is_drawn_straight_up(lean, straight) -> None:
    axle = (
        ROOT[0],
        ROOT[1] + 500.0 * sin(radians(90.0 - lean)),
        ROOT[2] - 500 * sin(radians(lean)),
    )
    move = drawn_up(strut(axle), 60.0)
    assert (move.axis is None) == straight
    (at,) = move.of(np.array([axle]))
    assert (at[1] == axle[1]) == straight
    assert at[2] - axle[2] == pytest.approx(60.0)


def test_a_leg_right_above_its_wheel_and_a_wheel_without_a_leg_go_straight_up() -> None:
    for each in (strut((1735.0, 150.0, 10.0)), Strut("wheel", (0.0, 0.0, 0.0))):
        assert drawn_up(each, 33.0).matrix()[:, 3].tolist() == [0.0, 0.0, 33.0]


def test_a_leg_goes_no_higher_than_upright() -> None:
    short = strut((0.0, 100.0, 0.0), root=(0.0, 0.0, 50.0))
    (at,) = drawn_up(short, 900.0).of(np.array([short.axle]))
    assert at == pytest.approx((0.0, 0.0, 50.0 + dist((0, 100, 0), (0, 0, 50))), abs=1e-9)


@pytest.mark.parametrize("axle", AXLES[:3])
def test_solids_and_meshes_go_the_same_way(axle) -> None:
    move = drawn_up(strut(axle), 80.0)
    assert move.axis is not None
    solid = box((1700.0, 200.0, 100.0), (1760.0, 500.0, 140.0))
    x, y, z = move.matrix()[:, 3]
    there = centroid(turned(solid, move.axis, degrees(move.by), (x, y, z)))
    assert there == pytest.approx(tuple(move.of(np.array([[1730.0, 350.0, 120.0]]))[0]), abs=1e-6)


def test_no_point_goes_farther_than_its_lever_says() -> None:
    points = np.random.default_rng(5).uniform(-400, 400, (200, 3)) + ROOT
    for axle in AXLES[:3]:
        move = drawn_up(strut(axle), 150.0)
        gone = np.linalg.norm(move.of(points) - points, axis=1).max()
        assert gone <= abs(move.by) * move.lever(points) + 1e-9
        assert gone > 0.9 * abs(move.by) * move.lever(points)
