"""Straight parts of strips that bend, measured on solids; truths by trigonometry (DERIVED)."""

from math import hypot, radians, tan

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, mirrored
from geomgen.kernel.lofting.straight import straight_solid
from geomgen.kernel.solids.breadth import straight_parts
from geomgen.shops.bent_parts import bent_parts


def strip(places, axis=1):
    """Return a strip of 20 by 10 mm through places (s, aft, across) [mm]."""
    rows = []
    for s, aft, across in places:
        corners = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0))
        at = [(aft + a, s, across + b) if axis == 1 else (aft + a, across + b, s)
              for a, b in corners]  # fmt: skip
        rows.append(np.array(at if axis == 1 else at[::-1]))
    return straight_solid(rows, "strip")


RISE, SWEEP = 500 * tan(radians(6)), 500 * tan(radians(10))
BENT = strip([(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (900.0, SWEEP, RISE)])


def test_a_bend_up_and_aft_with_its_place_and_lengths():
    inner, outer = bent_parts(BENT, 1)
    assert (inner.across, inner.aft) == pytest.approx((6.0, 10.0), abs=1e-9)
    assert inner.end == pytest.approx((10.0, 400.0, 5.0))
    assert (inner.length, outer.length) == pytest.approx((400.0, hypot(500.0, RISE, SWEEP)))
    assert inner.area == pytest.approx(200.0)
    # Of a part that is sheared the section across it is smaller than the one across the span.
    assert outer.area == pytest.approx(200.0 * 500.0 / outer.length, rel=1e-6)
    assert inner.words("BL", 1) == "at BL 400.0 bent 6.00 deg up and 10.00 deg aft to part 2"
    assert outer.words("BL", 2) == ""
    assert inner.aslant
    assert not outer.aslant


def test_the_left_hand_bends_the_same_way():
    outer, _ = bent_parts(mirrored(BENT), 1)
    assert (outer.across, outer.aft) == pytest.approx((6.0, 10.0), abs=1e-9)
    assert outer.end[1] == pytest.approx(-400.0)


def test_bends_down_and_forward_and_of_a_fin():
    down, _ = bent_parts(strip([(0.0, 0.0, 50.0), (400.0, 50.0, 50.0), (900.0, 0.0, 0.0)]), 1)
    assert "deg down and" in down.words("BL", 1)
    assert "deg forward to part 2" in down.words("BL", 1)
    side, _ = bent_parts(strip([(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (900.0, 0.0, RISE)], 2), 2)
    assert side.words("WL", 1) == "at WL 400.0 bent 6.00 deg to the right to part 2"


def test_what_bends_less_than_the_least_is_one_part():
    little = 500 * tan(radians(0.15))
    (only,) = bent_parts(strip([(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (900.0, 0.0, little)]), 1)
    assert only.length == pytest.approx(400.0 + hypot(500.0, little))
    two = bent_parts(strip([(0.0, 0.0, 0.0), (400.0, 0.0, 0.0), (900.0, 0.0, 2 * little)]), 1)
    assert len(two) == 2


def test_what_has_no_rows_of_edges_is_told_by_none():
    assert len(straight_parts(box((0.0, 0.0, 0.0), (20.0, 900.0, 10.0)), 1)) == 1
    wedge = straight_solid(
        [np.array([(0.0, y, 0.0), (9.0, y, 0.0), (0.0, y, 9.0)]) for y in (0.0, 90.0)], "wedge"
    )
    assert straight_parts(wedge, 1) == bent_parts(wedge, 1) == []
