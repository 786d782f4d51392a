"""Cuts by meshes: volumes against closed forms, rims where skins cross, what is not told."""

import math

import numpy as np
import pytest
from OCP.BRepExtrema import BRepExtrema_DistShapeShape

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.distance import vertex
from geomgen.kernel.trimming.mesh_cut import divided

BLOCK = box((0.0, 0.0, 0.0), (100.0, 60.0, 40.0))


def test_drilled_block_keeps_to_the_closed_form_within_its_bound():
    drill = cylinder((50.0, 30.0, -5.0), (0.0, 0.0, 1.0), 12.0, 50.0)
    (left,), (inside,) = divided(BLOCK, [drill], "block", 0.2)
    true = 100 * 60 * 40 - math.pi * 12**2 * 40
    assert 0.0 < abs(left.volume - true) <= left.volume_error < 0.02 * true
    assert inside.volume == pytest.approx(math.pi * 12**2 * 40, rel=0.02)


def test_skin_lies_within_the_deviation_of_the_exact_cut_everywhere():
    """The drill leaves at 20 deg to the top: the rim there is off by more than the meshes are."""
    way = (math.cos(math.radians(20.0)), 0.0, math.sin(math.radians(20.0)))
    drill = cylinder((10.0, 30.0, 10.0), way, 8.0, 200.0)
    (left, *_), _ = divided(BLOCK, [drill], "block", 0.3)
    exact = cut(BLOCK, [drill], "block", "drill")
    points = left.vertices
    off = left.off_at(points)
    assert off.max() > 2.0 * left.skin
    assert off.min() == left.skin
    some = np.random.default_rng(3).choice(len(points), min(60, len(points)), replace=False)
    for k in some.tolist():
        at = vertex(tuple(points[k].tolist()))
        away = min(BRepExtrema_DistShapeShape(at, face).Value() for face in faces_of(exact))
        assert away <= off[k] + 1e-3


def test_pieces_come_largest_first_and_a_miss_cuts_nothing():
    wall = box((40.0, -9.0, -9.0), (45.0, 99.0, 99.0))
    pieces, inside = divided(BLOCK, [wall], "block", 0.2)
    assert [round(piece.volume) for piece in pieces] == [132000, 96000]
    assert len(inside) == 1
    away = box((200.0, 0.0, 0.0), (210.0, 9.0, 9.0))
    pieces, inside = divided(BLOCK, [away], "block", 0.2)
    assert [round(piece.volume) for piece in pieces] == [240000]
    assert not inside


def test_touch_is_left_to_the_exact_cut():
    rod = cylinder((50.0, 30.0, 49.99), (1.0, 0.0, 0.0), 10.0, 20.0)
    with pytest.raises(ExactDueError):
        divided(BLOCK, [rod], "block", 0.2)
    _, inside = divided(BLOCK, [mirrored(rod)], "block", 0.2)
    assert not inside


def test_second_cut_keeps_the_rims_of_the_first():
    drill = cylinder((50.0, 30.0, -5.0), (0.0, 0.0, 1.0), 12.0, 50.0)
    (first,), _ = divided(BLOCK, [drill], "block", 0.2)
    saw = box((90.0, -9.0, -9.0), (120.0, 99.0, 99.0))
    (second, *_), _ = divided(first, [saw], "block", 0.2)
    assert len(second.rims) > len(first.rims) > 0
    assert second.volume == pytest.approx(first.volume - 10 * 60 * 40, rel=1e-9)
