"""Points along outlines; closed forms (DERIVED)."""

import math

import numpy as np
import pytest
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
)
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Elips, gp_Pnt

from geomgen.errors import GeometryError
from geomgen.kernel.brep.wire_points import sampled
from geomgen.kernel.brep.wires import wires_of

FRAME = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))


def face_in(curve):
    return BRepBuilderAPI_MakeFace(
        BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire(), True
    ).Face()


@pytest.mark.parametrize("chord", [1.0, 0.02, 0.001])
def test_chords_of_a_circle_keep_their_tolerance(chord: float) -> None:
    face = face_in(gp_Circ(FRAME, 100.0))
    points, corners, missed = sampled(wires_of(face)[0], face, chord)
    assert np.linalg.norm(points, axis=1) == pytest.approx(100.0)
    longest = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1).max()
    assert 100.0 - math.sqrt(100.0**2 - longest**2 / 4) <= chord * 1.0001
    assert corners == (0,)
    x, y, _ = points.T
    drawn = abs(0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))
    assert 0 < math.pi * 100.0**2 - drawn <= missed


def test_an_ellipse_has_more_points_where_it_turns_more() -> None:
    face = face_in(gp_Elips(FRAME, 200.0, 20.0))
    points = sampled(wires_of(face)[0], face, 0.02)[0]
    steps = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1)
    middles = np.abs(0.5 * (points + np.roll(points, -1, axis=0))[:, 0])
    assert steps[middles > 199.0].max() < 0.2 * steps[middles < 50.0].max()


def test_an_open_wire_is_refused() -> None:
    face = face_in(gp_Circ(FRAME, 100.0))
    corners = [gp_Pnt(0, 0, 0), gp_Pnt(10, 0, 0), gp_Pnt(10, 10, 0)]
    edges = [
        BRepBuilderAPI_MakeEdge(a, b).Edge() for a, b in zip(corners[:-1], corners[1:], strict=True)
    ]
    wire = BRepBuilderAPI_MakeWire(*edges).Wire()
    with pytest.raises(GeometryError, match="does not close"):
        sampled(wire, face, 0.02)
