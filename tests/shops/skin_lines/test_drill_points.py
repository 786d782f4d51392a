"""Holes along lines in a piece of a cylinder: how many, how deep, what they take. Closed forms."""

from dataclasses import replace

import numpy as np
import pytest
from shops.moulds.plain_moulds import RADIUS, cylinder_pod, with_mould

from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.solids.properties import volume
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.marks import marked_pieces
from geomgen.shops.moulds.package import _made
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_on
from geomgen.shops.skin_lines.drill_points import (
    drill_points,
    drilled,
    evenly,
    off_dowels,
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


def test_a_point_whose_hole_meets_a_joint_dowel_is_left_out_and_said(half):
    """A dowel of 8 mm along the body under one point, with 5 mm from its axis to the skin."""
    points = drill_points(half, PITCH, WIDE, DEPTH)
    at, n = points.at[1], points.normals[1]
    along = np.array([10.0, 0, 0])
    mouth = at - 5.0 * n - along
    dowel = (mouth, mouth + np.array([24.0, 0, 0]))
    kept, left = off_dowels(points, [dowel], 8.0)
    assert (left, len(kept.at)) == (1, len(points.at) - 1)
    assert np.linalg.norm(kept.at - at, axis=1).min() > PITCH / 2
    # So deep that two diameters of the drill are left between the bottom and the dowel's wall.
    deep = DEPTH + 4.0 + 2 * WIDE
    for away, lost in ((deep - 0.1, 1), (deep + 0.1, 0)):
        middle = at - away * n
        across = (middle - along, middle + along)
        assert off_dowels(points, [across], 8.0)[1] == lost
    short = (mouth, mouth + along / 10)
    assert off_dowels(points, [short], 8.0)[1] == 0
    assert (
        ", 1 more left out, too near to a joint dowel" in points_finding("pod", [(9, 1.0)], 1).what
    )
    assert "left out" not in points_finding("pod", [(9, 1.0)]).what


def test_the_moulds_points_keep_off_the_dowels_of_its_own_pieces(saltmarsh):
    asked = {"lines": "drill points", "line_pitch": 60.0, "line_hole": 2.0}
    p, mould = with_mould(cylinder_pod(saltmarsh), **asked)
    made = _made(p, mould, Model(parts={}))
    (side, _) = sides_of(made.finished)
    lines = [lines_on(side, [SkinPlane("frame", at_station(300.0))])]
    at = drill_points(lines[0], 60.0, 2.0, 2.0).at[1]
    axis = at * [1.0, 0.95, 0.95]
    each, (piece,) = made.cut[0]
    near = replace(piece, dowels=((axis, axis + np.array([24.0, 0, 0])),))
    _, (kept,) = marked_pieces([(each, [near])], lines, mould, 0.1)
    assert ", 1 more left out" in kept.what
