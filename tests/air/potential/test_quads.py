"""Areas, centres and moments of quadrilaterals against closed forms."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.potential.quads import Quads


@settings(max_examples=8, deadline=None)
@given(st.floats(0.1, 50.0), st.floats(0.1, 50.0), st.floats(-3.0, 3.0))
def test_a_rectangle_anywhere(a, b, turn) -> None:
    """b a^3 / 12 about the middle; turned round the upright axis."""
    flat = np.array([[0.0, 0, 0], [a, 0, 0], [a, b, 0], [0, b, 0]]) + np.array([3.0, -2.0, 7.0])
    c, s = np.cos(turn), np.sin(turn)
    quad = Quads((flat @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]))[None])
    assert quad.areas[0] == pytest.approx(a * b)
    assert quad.normals[0] == pytest.approx([0, 0, 1], abs=1e-12)
    xx, yy, zz, xy, *_ = quad.moments[:, 0]
    assert xx + yy == pytest.approx(a * b * (a * a + b * b) / 12)
    assert xx * yy - xy * xy == pytest.approx((a * b) ** 4 / 144, rel=1e-6)
    assert zz == pytest.approx(0, abs=1e-9)
    assert quad.diameters[0] == pytest.approx(np.hypot(a, b))


def test_a_triangle() -> None:
    """Legs 3 and 6: the centre at a third, moments a b^3 / 36."""
    quad = Quads(np.array([[[0.0, 0, 0], [3, 0, 0], [0, 6, 0], [0, 6, 0]]]))
    assert quad.areas[0] == pytest.approx(9.0)
    assert quad.centres[0] == pytest.approx([1.0, 2.0, 0.0])
    assert quad.moments[:2, 0] == pytest.approx([6 * 27 / 36, 3 * 216 / 36])


def test_a_twisted_one_is_laid_flat() -> None:
    quad = Quads(np.array([[[0.0, 0, 0.1], [1, 0, -0.1], [1, 1, 0.1], [0, 1, -0.1]]]))
    over = (quad.flat[0] - quad.centres[0]) @ quad.normals[0]
    assert over == pytest.approx(np.zeros(4), abs=1e-12)
