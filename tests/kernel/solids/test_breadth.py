"""How far solids reach to either side, in closed form."""

import math
from math import cos, radians, sin

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder, moved, revolved
from geomgen.kernel.lofting.straight import straight_solid
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.breadth import broadest, lengthwise

X = (1.0, 0.0, 0.0)


@pytest.mark.parametrize("off", [0.0, 17.3, -400.0])
def test_a_body_of_revolution_is_as_broad_as_its_widest_ring(off):
    """Ogive of straight pieces: radius 311.76 at STA 1257.71, anywhere across."""
    rows = [(0.0, 0.0), (1257.71, 311.76), (3300.0, 120.0), (3300.0, 0.0)]
    solid = moved(revolved(rows, Axis((0.0, 0.0, 800.0), X)), (0.0, off, 0.0))
    left, right = broadest(solid)
    assert right[1] - left[1] == pytest.approx(2 * 311.76, abs=1e-6)
    assert (left[1] + right[1]) / 2 == pytest.approx(off, abs=1e-6)
    assert [left[0], right[0]] == pytest.approx([1257.71] * 2, abs=1e-3)


@pytest.mark.parametrize("turn", [0.0, 25.0, 80.0])
def test_a_slanting_rod_reaches_as_far_as_its_end_discs(turn):
    """Of length L and radius R at an angle: L sin + 2 R cos."""
    a = radians(turn)
    rod = cylinder((0.0, 0.0, 0.0), (cos(a), sin(a), 0.0), 40.0, 500.0)
    left, right = broadest(rod)
    assert right[1] - left[1] == pytest.approx(500 * sin(a) + 80 * cos(a), abs=1e-6)


def test_what_is_cut_out_of_one_side_shows_there_only():
    rod = cylinder((0.0, 0.0, 0.0), X, 300.0, 800.0)
    slot = box((-1.0, 200.0, -400.0), (801.0, 400.0, 400.0))
    left, right = broadest(cut(rod, [slot], "pod", "bench"))
    assert (left[1], right[1]) == pytest.approx((-300.0, 200.0), abs=1e-6)


SECTION = np.array([[0.0, 0, 0], [20, 0, 0], [20, 0, 12], [0, 0, 12]])


def test_a_bent_and_tapered_strip():
    """Two straight runs; its middle line is that of the rectangle's middle."""
    sections = [
        SECTION,
        SECTION + np.array([0.0, 300, 0]),
        SECTION * np.array([0.5, 1, 1]) + np.array([5.0, 700, 30]),
    ]
    solid = straight_solid(sections, "strip")
    ends = [math.dist(a, b) for a, b in zip(sections[1], sections[2], strict=True)]
    assert lengthwise(solid, 1) == pytest.approx(300.0 + sum(ends) / 4, abs=1e-6)


def test_what_is_no_strip():
    assert lengthwise(moved(box((0, 0, 0), (10, 500, 20)), (0.0, 3.0, 0.0)), 1) == pytest.approx(
        500
    )
    wedge = straight_solid([SECTION[:3], SECTION[:3] + np.array([0.0, 300, 0])], "wedge")
    assert lengthwise(wedge, 1) is None
