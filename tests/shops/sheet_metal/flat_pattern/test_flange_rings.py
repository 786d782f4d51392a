"""Sections of the flange by lengths along the outline, on a round sheet."""

import math

import numpy as np
import pytest
from shops.sheet_metal.trays import measured, tray

from geomgen.shops.sheet_metal.flat_pattern.flange_rings import rings_of


def test_rings_of_a_cone_lie_over_each_other() -> None:
    """Closed form: a generator of the cone keeps its angle, its radius falls by h tan 8 deg."""
    narrow = math.tan(math.radians(8.0))
    rings = rings_of(measured(tray(half_angle=8.0)))
    radius = 150.0 - 0.5 * narrow
    assert rings[0].total == pytest.approx(2 * math.pi * radius, rel=1e-4)
    lengths = np.array([0.0, 100.0, 400.0])
    turns = math.pi / 2 + lengths / radius
    for ring in rings:
        u, v, h = ring.at(lengths).T
        assert h == pytest.approx(ring.h)
        assert np.hypot(u, v - 700.0) == pytest.approx(radius - ring.h * narrow, abs=5e-3)
        assert np.mod(np.arctan2(v - 700.0, u), 2 * math.pi) == pytest.approx(turns, abs=1e-3)
