"""Holes along lines in a piece of a cylinder: how many, how deep, what they take. Closed forms."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import RADIUS, cylinder_pod, with_mould

from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.solids.properties import volume
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_on
from geomgen.shops.skin_lines.drill_points import (
    drill_points,
    drilled,
    evenly,
    points_finding,
)
from geomgen.shops.skin_lines.planes import SkinPlane

PITCH, WIDE, DEPTH = 60.0, 2.0, 1.5


@pytest.fixture(scope="module")
def half(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    (side, _) = sides_of([moulded(q, Bounds()) for q in halves(p, mould, 0.0)])
    return lines_on(side, [SkinPlane("frame", at_station(300.0))])


def test_points_stand_on_the_line_and_square_to_the_skin(half):
    points = drill_points(half, PITCH, WIDE, DEPTH)
    # Two runs of a quarter circle, each as far off its ends as two diameters.
    room = np.pi * RADIUS / 2 - 2 * 2 * WIDE
    assert len(points.at) == 2 * (int(np.ceil(room / PITCH)) + 1)
    assert np.hypot(*points.at[:, 1:].T) == pytest.approx(RADIUS, abs=0.02)
    assert points.normals == pytest.approx(points.at * [0, 1, 1] / RADIUS, abs=1e-3)


def test_a_piece_loses_a_hole_at_each_point_and_another_piece_nothing(half):
    points = drill_points(half, PITCH, WIDE, DEPTH)
    solid = half.side.solid
    made, count, share = drilled(solid, points, "pod")
    assert count == len(points.at)
    taken = volume(solid).value - volume(made).value
    assert taken == pytest.approx(count * np.pi * (WIDE / 2) ** 2 * DEPTH, rel=0.01)
    assert share == pytest.approx(taken / (count * np.pi * (WIDE / 2) ** 2 * DEPTH))
    assert points_finding("pod", [(count, share)]).verdict == "pass"
    far = points.__class__(points.at + np.array([900.0, 0.0, 0.0]), points.normals, WIDE, DEPTH)
    assert drilled(solid, far, "pod")[1:] == (0, 1.0)


@pytest.mark.long
def test_points_off_the_skin_take_another_volume_and_fail(half):
    points = drill_points(half, PITCH, WIDE, DEPTH)
    sunk = points.__class__(points.at - 1.0 * points.normals, points.normals, WIDE, DEPTH)
    _, count, share = drilled(half.side.solid, sunk, "pod")
    assert points_finding("pod", [(count, share)]).verdict == "fail"


def test_a_run_too_short_has_none():
    assert len(evenly(np.array([[0.0, 0, 0], [8.0, 0, 0]]), 50.0, 5.0)) == 0
