"""Drawings of the nests and rows of the parts list. Closed forms."""

import numpy as np
import pytest
from shops.foam.rings import ring, slab

from geomgen.drafting.record import CUT
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.foam.cutouts import slab_cuts
from geomgen.shops.foam.nests import items, nest_sheets, outline_boxes
from geomgen.shops.nesting import nested

# A polygon of 200 sides has this share of its circle's area (closed form).
SHARE = 200 / (2 * np.pi) * np.sin(2 * np.pi / 200)


def foam(half=True):
    return FoamStations(
        slab="50 mm",
        template_thickness="0 mm",
        split_at_centre=half,
        margin="10 mm",
        density="32 kg/m^3",
    )


def cone(count=1):
    made = [slab(i + 1, 50.0 * i, 50.0 * i + 50, (ring(100), ring(95), ring(90)))
            for i in range(count)]  # fmt: skip
    return made


def test_boxes_of_halves_and_of_whole_slabs():
    half = outline_boxes(cone(), foam())
    assert [(b.name, b.width, b.height) for b in half] == [("1R", 100, 200), ("1L", 100, 200)]
    (whole,) = outline_boxes(cone(), foam(False))
    assert (whole.name, whole.width, whole.height) == ("1", 200, 200)


def test_blanks_on_the_drawing_hold_half_a_margin_and_do_not_overlap():
    asked = foam()
    laid, left = nested(outline_boxes(cone(9), asked), 1250.0, 600.0, asked.margin)
    assert not left
    (sheet,) = nest_sheets(laid, asked)
    cut = [path for path in sheet.drawing.paths if path.layer == CUT]
    assert len(cut) == 18
    assert all(path.area() == pytest.approx(110 * 210) for path in cut)
    assert not sheet.full_size
    names = {label.text for label in sheet.drawing.labels}
    assert {"1R", "9L", "foam sheet 1"} <= names


def test_many_sheets_share_few_drawings():
    asked = foam()
    # Eleven halves lie side by side, two rows of them: twenty-two to a sheet.
    laid, _ = nested(outline_boxes(cone(80), asked), 1250.0, 600.0, asked.margin)
    count = len({row.sheet for row in laid})
    drawings = nest_sheets(laid, asked)
    assert len(drawings) == -(-count // 6)
    named = [t.text for d in drawings for t in d.drawing.labels if t.text.endswith(("R", "L"))]
    assert sorted(named) == sorted(row.blank.name for row in laid)


def test_masses_and_blank_sizes():
    row, sheets, core = items(foam(), slab_cuts([], cone()), 1.0e6, 3, "two plies")
    assert row.size == (50.0, 110.0, 210.0)
    assert row.count == 2
    frustum = 50 * np.pi * (100**2 + 100 * 90 + 90**2) / 3 * SHARE
    assert row.volume == pytest.approx(frustum)
    assert row.mass == pytest.approx(frustum * 32e-9)
    assert f"{np.pi * 100**2 * 50 * SHARE * 32e-9:.3f} kg" in row.note
    assert (sheets.count, sheets.mass) == (3, pytest.approx(3 * 1250 * 600 * 50 * 32e-9))
    assert core.mass == pytest.approx(0.032)
    assert "two plies" in core.note
