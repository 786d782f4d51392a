"""The joggle's closed form against its neutral line, drawn out and measured."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.ring.joggle import Joggle, joggle_of


@pytest.mark.parametrize(("step", "run", "radius"), [(0.5, 3.0, 1.2), (1.6, 9.6, 2.7), (6, 40, 5)])
def test_length_of_the_neutral_line(step, run, radius) -> None:
    """By scipy's quadrature over the slope of the curve, which ends where it should."""
    made = Joggle(step, run, radius)
    turn = math.radians(made.angle)

    def angle(s: float) -> float:
        whole = run + made.excess
        return min(s / radius, turn, (whole - s) / radius)

    arc = radius * turn
    breaks = [arc, arc + made.straight]
    whole = run + made.excess
    along = quad(lambda s: math.cos(angle(s)), 0.0, whole, points=breaks)[0]
    up = quad(lambda s: math.sin(angle(s)), 0.0, whole, points=breaks)[0]
    assert along == pytest.approx(run, abs=1e-9)
    assert up == pytest.approx(step, abs=1e-9)


def test_bends_of_a_large_radius_take_the_run_they_need() -> None:
    """Two arcs and nothing between: run^2 + step^2 = 4 radius step."""
    made = joggle_of(Bending(1.0, 30.0, 0.4))
    assert made.run == pytest.approx(math.sqrt(4 * 30.4 - 1.0))
    assert made.straight == pytest.approx(0.0, abs=1e-6)
    assert np.isfinite(made.angle)
