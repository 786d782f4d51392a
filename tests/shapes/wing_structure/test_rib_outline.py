"""Notches of flat ribs, by hand: how wide they are for spars that stand square and aslant."""

from math import hypot

import numpy as np
import pytest
import shapely

from geomgen.shapes.wing_structure.rib_outline import WIDER, notched

SHEET, SPAR, GAP, THICK = (-300.0, -20.0, 300.0, 20.0), 30.0, 0.5, 4.0


@pytest.mark.parametrize("aslant", [0.0, 0.5, -1.0])
def test_a_gap_counts_square_to_the_spar(aslant):
    """Corners shift from one face of the rib to the other; the sheet's plane sees a wider gap."""
    near = np.array([(0.0, -18.0), (SPAR, -18.0), (SPAR, 18.0), (0.0, 18.0)])
    corners = np.stack([near, np.add(near, (aslant * THICK, 0.0))])
    fore, aft = notched(shapely.box(*SHEET), [corners], GAP, THICK)
    wide = SPAR + abs(aslant) * THICK + 2 * (GAP * hypot(1.0, aslant) + WIDER)
    assert fore.distance(aft) == pytest.approx(wide, abs=1e-6)
