"""The hole that a bar makes in a moulded rod's right half, seen along the pull. Closed forms."""

import numpy as np
import pytest
import shapely

from geomgen.drafting.record import CUT
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.booleans import common
from geomgen.shops.moulds.cutouts import cut_out_sheets, passing_note
from geomgen.shops.moulds.split import MouldHalf
from geomgen.shops.passing_parts import Passing

GAP = 2.0


def right_half():
    rod = cylinder((0.0, 0.0, 500.0), (1.0, 0.0, 0.0), 100.0, 400.0)
    (solid,) = common(rod, box((-10.0, 0.0, 0.0), (500.0, 300.0, 900.0)), "rod", "half")
    return MouldHalf("right", (0.0, 1.0, 0.0), solid)


def bar(x0=60.0, x1=140.0, y1=800.0):
    solid = box((x0, -800.0, 480.0), (x1, y1, 520.0))
    return Passing("wing", GAP, {"wing": solid}, x0 - GAP, x1 + GAP)


def test_a_square_bar_leaves_a_square_hole_with_its_gap():
    (sheet,) = cut_out_sheets("pod", [(right_half(), "right")], [bar()])
    assert (sheet.name, sheet.hand) == ("cut_out_pod_right_wing", "right")
    (path,) = [p for p in sheet.drawing.paths if p.layer == CUT]
    hole = shapely.Polygon(path.dense(0.01))
    # 80 x 40 mm with a border of 2 mm, round at its corners.
    assert hole.area == pytest.approx(80 * 40 + 2 * (80 + 40) * GAP + np.pi * GAP**2, rel=1e-3)
    # Seen from the right the nose is to the right.
    assert hole.bounds == pytest.approx((-142.0, 478.0, -58.0, 522.0), abs=0.02)
    words = {label.text for label in sheet.drawing.labels}
    assert "STA 100" in words
    assert "WL 500" in words


def test_a_bar_that_does_not_reach_the_skin_leaves_none():
    assert cut_out_sheets("pod", [(right_half(), "right")], [bar(y1=50.0)]) == []
    assert cut_out_sheets("pod", [(right_half(), "right")], []) == []


def test_the_note_of_a_piece():
    assert passing_note([bar()], 0.0, 50.0) == ""
    assert passing_note([bar()], 0.0, 100.0).startswith(
        "the wing passes through it at STA 58 to 100: no hole in it"
    )
