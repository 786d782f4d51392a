"""Dense lines as few edges, against circle and rectangle."""

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.lean_edge import edge_of, lean, smooth_wire
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.properties import area


def ring(count, radius=200.0):
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.stack([radius * np.cos(turn), radius * np.sin(turn), 0 * turn], axis=-1)


def test_a_dense_circle_becomes_a_few_splines():
    wire = smooth_wire(ring(300))
    made = area(BRepBuilderAPI_MakeFace(wire, True).Face()).value
    assert len(edges_in(wire)) == 2
    assert made == pytest.approx(np.pi * 200.0**2, rel=2e-5)


def test_a_slot_keeps_its_straight_sides():
    turn = np.linspace(-np.pi / 2, np.pi / 2, 100)
    right = np.stack([300.0 + 50.0 * np.cos(turn), 50.0 * np.sin(turn), 0 * turn], axis=-1)
    left = right * [-1.0, -1.0, 1.0]
    wire = smooth_wire(np.vstack([right, left]))
    found = area(BRepBuilderAPI_MakeFace(wire, True).Face()).value
    assert len(edges_in(wire)) == 4
    assert found == pytest.approx(np.pi * 50.0**2 + 600.0 * 100.0, rel=1e-4)


def test_a_point_twice_is_refused():
    with pytest.raises(GeometryError, match="twice"):
        smooth_wire(np.vstack([ring(30), ring(30)[-1:]]))


def test_a_lean_line_keeps_to_its_points_and_ends():
    x = np.linspace(0.0, 1000.0, 400)
    points = np.stack([x, 40 * np.sin(x / 150), 0 * x], axis=-1)
    line = lean(points)
    fine = line.at(np.linspace(line.knots[0], line.knots[-1], 4000))
    assert len(line.poles) < 60
    assert np.abs(fine[:, 1] - 40 * np.sin(fine[:, 0] / 150)).max() < 0.04
    assert np.array_equal(line.poles[[0, -1]], points[[0, -1]])
    assert len(edges_in(edge_of(line))) == 1
