"""Closed forms of a bend, against lengths taken along the bent sheet itself."""

import math

import numpy as np
import pytest

from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.fold import rolled


def test_right_angle_by_hand() -> None:
    """Source: closed form, worked by hand for t 1.2, R 3, K 0.44."""
    bending = Bending(1.2, 3.0, 0.44)
    assert bending.allowance(90.0) == pytest.approx(math.pi / 2 * 3.528)
    assert bending.setback(90.0) == pytest.approx(4.2)
    assert bending.deduction(90.0) == pytest.approx(8.4 - 5.541769, abs=1e-6)


@pytest.mark.parametrize("angle", [37.0, 90.0, 118.0])
def test_neutral_line_keeps_its_length(angle) -> None:
    bending = Bending(1.5, 2.0, 0.4)
    flat = np.linspace(-5.0, 30.0, 20001)
    depth = bending.thickness * (1 - bending.k)
    q, h = rolled(flat, angle, bending, depth)
    assert np.hypot(np.diff(q), np.diff(h)).sum() == pytest.approx(35.0, abs=1e-5)


@pytest.mark.parametrize("angle", [37.0, 90.0, 118.0])
def test_outsides_meet_at_the_mould_line(angle) -> None:
    """The flange's outside, carried back, meets the sheet's outside a setback from the bend."""
    bending = Bending(1.5, 2.0, 0.4)
    end = bending.allowance(angle)
    (q0, q1), (h0, h1) = rolled(np.array([end, end + 10.0]), angle, bending, 0.0)
    meets = q0 - h0 * (q1 - q0) / (h1 - h0)
    assert meets == pytest.approx(bending.setback(angle), abs=1e-9)
    assert math.hypot(q0 - meets, h0) == pytest.approx(bending.setback(angle), abs=1e-9)


def test_flat_of_a_flange_folds_to_its_width() -> None:
    bending, angle = Bending(1.5, 2.0, 0.4), 97.0
    flat = bending.flat(angle, 25.0) + bending.allowance(angle) / 2
    (q,), (h,) = rolled(np.array([flat]), angle, bending, 0.0)
    assert math.hypot(q - bending.setback(angle), h) == pytest.approx(25.0, abs=1e-9)


def test_another_neutral_line_shows() -> None:
    good, wrong = Bending(2.0, 2.0, 0.4), Bending(2.0, 2.0, 0.5)
    assert wrong.allowance(90.0) - good.allowance(90.0) == pytest.approx(math.pi / 2 * 0.2)
