"""Surfaces in bands: whatever cuts are asked for, none is too narrow and all join up."""

import numpy as np
import pytest

from geomgen.kernel.lofting.surfaces import LEAST_BAND, bands, bezier_knots, bspline_surface
from geomgen.kernel.solids.properties import face_area

LONG, BROAD = 200.0, 30.0


@pytest.fixture
def strip():
    """Return a plane strip, 200 mm along v."""
    x, y = np.meshgrid([0.0, LONG], [0.0, BROAD])
    poles = np.stack([x, y, 0 * x], axis=-1)
    return bspline_surface(poles, bezier_knots(1), bezier_knots(1), (1, 1), np.ones((2, 2)))


@pytest.mark.parametrize(
    ("inner", "count"),
    [
        ([], 1),
        ([0.5], 2),
        ([0.5, 0.5], 2),
        ([0.5, 0.5 + 1e-9, 0.5 + 4e-3], 2),
        ([0.7, 0.3], 3),
        ([0.0, 1e-12, 1.0 - 1e-12, 1.0], 1),
        ([-0.5, 1.5], 1),
        ([0.5, 0.5 + 6e-3], 3),
    ],
)
def test_no_band_is_too_narrow(strip, inner, count) -> None:
    found = [face_area(face, 1e-9).value for face in bands(strip, [0.0, *inner, 1.0])]
    assert len(found) == count
    assert min(found) >= LEAST_BAND * BROAD * (1 - 1e-9)
    assert sum(found) == pytest.approx(LONG * BROAD)
