"""Solids between polygons: closed forms, faces as few as planes, holes through what were seams."""

import math

import numpy as np
import pytest

from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.lofting.straight import straight_solid
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.properties import volume
from geomgen.kernel.solids.validity import require_valid

RADIUS, THICK = 5.6, 6.35


def web(places, slope=0.0022, depth=150.0, taper=0.01):
    """Return sections of a web that leans in plan; what is past the second place gets lower."""
    rows = []
    for s in places:
        low, x = taper * max(0.0, s - places[1]), 1780.7 + slope * s
        rows.append([(x, s, low), (x + THICK, s, low), (x + THICK, s, depth), (x, s, depth)])
    return np.array(rows)


@pytest.mark.parametrize("off", [0.0, 0.25, -2.5, RADIUS])
@pytest.mark.parametrize("slope", [0.0022, 0.0065, 1 / 3000])
def test_a_hole_through_a_section_is_whole(slope, off):
    """Source: the volume of a drilled sheet (DERIVED here)."""
    places = (1270.0, 1625.854, 4572.0)
    solid = straight_solid(list(web(places, slope)), "web")
    square = np.array([1.0, -slope, 0.0]) / math.hypot(1.0, slope)
    start = np.array([1780.7 + slope * places[1], places[1] + off, 75.0]) - 30 * square
    left = cut(solid, [cylinder(tuple(start), tuple(square), RADIUS, 60.0)], "web", "hole")
    thick = THICK / math.hypot(1.0, slope)
    gone = volume(solid).value - volume(left).value
    assert gone == pytest.approx(math.pi * RADIUS**2 * thick, rel=1e-6)


def test_sides_in_one_plane_are_one_face():
    solid = straight_solid(list(web((0.0, 400.0, 900.0, 2000.0))), "web")
    # Ends, two sides, the top; below two planes, as it gets lower past the second place.
    assert len(faces_of(solid)) == 7
    assert all(plane_of(face) for face in faces_of(solid))


def test_sides_that_bend_keep_their_edge():
    bent = web((0.0, 400.0, 900.0))
    bent[2, :, 0] += 1e-3
    solid = straight_solid(list(bent), "web")
    # The level top alone stays one.
    assert len(faces_of(solid)) == 2 + 2 + 2 + 1 + 2


@pytest.mark.parametrize("order", [1, -1])
def test_a_twisted_bar_has_the_volume_of_its_prismatoid(order):
    """Source: prismatoid formula, exact where sides are ruled: L (A0 + 4 Am + A1) / 6 (DERIVED)."""
    square = np.array([[-10.0, 0, -10], [10, 0, -10], [10, 0, 10], [-10, 0, 10]])
    turn = math.radians(20)
    turned = square @ np.array(
        [[math.cos(turn), 0, math.sin(turn)], [0, 1, 0], [-math.sin(turn), 0, math.cos(turn)]]
    )
    far = turned + np.array([0.0, 300.0, 0.0])
    solid = straight_solid([square, far][::order], "bar")
    require_valid(solid, "bar", "sections")
    middle = 400.0 * math.cos(turn / 2) ** 2
    exact = 300.0 * (400.0 + 4 * middle + 400.0) / 6
    assert volume(solid).value == pytest.approx(exact, rel=1e-9)
    assert sum(plane_of(face) is None for face in faces_of(solid)) == 4
