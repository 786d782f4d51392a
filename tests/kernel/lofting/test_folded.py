"""A folded plate against closed forms: its volume, where its faces lie, its edges in a file."""

from math import hypot, pi

import numpy as np
import pytest
from few_cases import few
from OCP.BRep import BRep_Tool

from geomgen.errors import GeometryError
from geomgen.kernel.brep.plates import flat_face, pierced_face
from geomgen.kernel.lofting.folded import Folds, folded_plate
from geomgen.kernel.lofting.lean_edge import edge_of
from geomgen.kernel.lofting.quadrants import SideLine
from geomgen.kernel.lofting.sewing import wire_of
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.probing import Classifier, edges_in
from geomgen.kernel.solids.properties import area, bounding_box, volume
from geomgen.kernel.solids.validity import require_valid

X, Y, Z = np.eye(3)
THICK = 2.0
# Half a turn by one cubic in each quarter (k = 0.5522847498, MEMORY: the usual circle by splines).
K = 0.5522847498


def folds(*rows, origin=(0.0, 0.0, 0.0)):
    return Folds(np.array(origin), X, Y, Z, np.array(rows, dtype=float))


def round_wire(radius, centre=(0.0, 0.0)):
    quarter = np.array([[1, 0], [1, K], [K, 1], [0, 1]]) * radius
    turn = np.array([[0.0, 1.0], [-1.0, 0.0]])
    edges, knots = [], np.repeat([0.0, 1.0], 4)
    for i in range(4):
        flat = quarter @ np.linalg.matrix_power(turn, i) + centre
        edges.append(edge_of(SideLine(np.c_[flat, np.zeros(4)], knots, 3)))
    return wire_of(edges)


def ring(outer=30.0, inner=20.0):
    return pierced_face(Plane((0, 0, 0), (0, 0, 1)), round_wire(outer), [round_wire(inner)], (), 0)


@pytest.mark.parametrize(
    "rows",
    few(
        [
            [(-40, 0), (40, 8)],
            [(-40, 0), (0, 5), (40, 0)],
            [(-40, 0), (-25, 0), (-10, 6), (5, 2), (22, 2), (40, 9)],
            [(-100, 3), (-50, 3), (50, 4), (100, 4)],
        ],
        1,
        3,
    ),
    ids=["one facet", "a fold through corners", "five facets", "folds beside it"],
)
def test_a_ring_keeps_its_volume_and_follows_its_folds(rows):
    face, way = ring(), folds(*rows)
    plate = folded_plate(face, way, THICK, "ring")
    require_valid(plate, "ring", "folds")
    # Sheared upright, a plate keeps the volume of the flat one.
    assert volume(plate).value == pytest.approx(area(face).value * THICK, rel=1e-9)
    inside = Classifier(plate)
    for turn in np.linspace(0, 2 * pi, 40):
        x, y = 25 * np.cos(turn), 25 * np.sin(turn)
        top = np.interp(x, way.at[:, 0], way.at[:, 1])
        assert inside.surely_inside((x, y, top - 0.01))
        assert inside.surely_inside((x, y, top - THICK + 0.01))
        assert inside.surely_outside((x, y, top + 0.01))
        assert inside.surely_outside((x, y, top - THICK - 0.01))
    # To a thousandth of what tracing by the kernel left round a nose.
    assert max(BRep_Tool.Tolerance_s(edge) for edge in edges_in(plate)) < 1e-4


def test_area_of_two_facets_is_that_of_their_slopes():
    square = flat_face([(-10, -5, 0), (10, -5, 0), (10, 5, 0), (-10, 5, 0)])
    plate = folded_plate(square, folds((-10, 0), (0, 3), (10, 0)), THICK, "tray")
    sides = 2 * 20 * THICK + 2 * 10 * THICK
    assert area(plate).value == pytest.approx(2 * 2 * 10 * hypot(10, 3) + sides, rel=1e-9)
    box = bounding_box(plate)
    assert (box.low[2], box.high[2]) == pytest.approx((-THICK, 3.0), abs=1e-6)


def test_a_hole_ahead_of_the_first_fold_goes_on_with_its_facet():
    face = ring()
    plate = folded_plate(face, folds((10, 1), (21, 2.1), (28, 0)), THICK, "ring")
    # The first facet rises 0.1 a millimetre: at x = -30 it is 4 below where it is at 10.
    assert bounding_box(plate).low[2] == pytest.approx(1 - 4 - THICK, abs=1e-3)


def test_a_fold_that_touches_an_outline_is_refused():
    with pytest.raises(GeometryError, match=r"touches a fold|do not close"):
        folded_plate(ring(), folds((-40, 0), (20, 2), (40, 0)), THICK, "ring")


def test_a_rational_outline_is_refused():
    plane = Plane((0, 0, 0), (0, 0, 1))
    drilled = pierced_face(plane, round_wire(30.0), [], [(0.0, 0.0, 0.0)], 4.0)
    with pytest.raises(GeometryError, match="rational"):
        folded_plate(drilled, folds((-40, 0), (0, 2), (40, 0)), THICK, "ring")
