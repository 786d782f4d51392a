"""Undercut beside the split of a rod that is parted off its middle: closed forms.

A rod of radius R whose middle lies c above the split leans back below its middle, hidden by
R - sqrt(R^2 - c^2) behind its breadth.
"""

from math import sqrt

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.shops.draft.overhang import overhangs
from geomgen.shops.draft.report import half_findings, side_of
from geomgen.shops.draft.undercut import draft_of

RADIUS, LENGTH = 200.0, 600.0
OUT = (0.0, 1.0, 0.0)


SIDE = side_of(OUT, np.zeros(3))


def parted(above: float):
    rod = cylinder((0.0, above, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH)
    return draft_of(rod, OUT, 3.0, SIDE)


@pytest.mark.parametrize("above", [5.0, pytest.param(20.0, marks=pytest.mark.long)])
def test_width_across_the_pull(above):
    found = parted(above)
    hidden = RADIUS - sqrt(RADIUS**2 - above**2)
    assert found.undercut == pytest.approx(2 * above * LENGTH, rel=0.02)
    assert overhangs(found, 0.9 * hidden, SIDE)
    # The mesh follows the rod within some hundredths.
    assert not overhangs(found, 1.05 * hidden + 0.015, SIDE)


def test_a_hair_beside_the_split_is_no_warning_and_a_lip_is_one():
    # 0.004 mm deep over a strip of 1.26 mm: 1500 mm2 that hold nothing.
    hair = parted(sqrt(2 * RADIUS * 0.004))
    assert hair.undercut > 1000.0
    _, told = half_findings("rod", "right", hair, SIDE)
    assert told.verdict == "pass"
    assert "0.05 mm" in told.where
    _, told = half_findings("rod", "right", parted(20.0), SIDE)
    assert told.verdict == "warn"


def test_nothing_held_hangs_over_nothing():
    found = draft_of(box((0.0, 0.0, 0.0), (30.0, 20.0, 10.0)), (0.0, 0.0, 1.0), 3.0)
    assert not overhangs(found, 0.001)
