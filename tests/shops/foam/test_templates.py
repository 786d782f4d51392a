"""Templates that stay in a stack: rows, sheets, one outline to each joint; closed forms."""

import numpy as np
import pytest
from shops.foam.rings import ring, section, slab

from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.foam.cutouts import slab_cuts
from geomgen.shops.foam.nests import items
from geomgen.shops.foam.sheet import outline_path
from geomgen.shops.foam.templates import (
    JointTemplate,
    joints_of,
    template_finding,
    template_items,
    template_sheets,
)

THICK = 6.35
SHARE = 200 / (2 * np.pi) * np.sin(2 * np.pi / 200)


def foam(half=True):
    return FoamStations(slab="50 mm", template_thickness="1/4 in", split_at_centre=half)


def radius(station):
    """A cone that narrows by 1 mm in 10."""
    return 200.0 - station / 10


def stack():
    made = []
    for i in range(3):
        a = i * (50.0 + THICK)
        rings = [ring(radius(x)) for x in (a, a + 25.0, a + 50.0)]
        made.append(slab(i + 1, a, a + 50.0, rings))
    return made


def joints(half=True):
    found = []
    for n, (a, b) in enumerate(zip(stack()[:-1], stack()[1:], strict=True), start=1):
        cut = section(ring(radius(0.5 * (a.aft + b.front))))
        found.append(JointTemplate(n, a.aft, b.front, cut, outline_path(cut[0], half, "face")))
    return found


def test_each_template_has_a_row_with_its_size_and_its_file():
    rows = template_items(joints(), foam())
    assert [row.name for row in rows] == ["foam template 1", "foam template 2"]
    middle = radius(50.0 + THICK / 2)
    assert rows[0].size == pytest.approx((THICK, middle, 2 * middle), abs=0.05)
    assert rows[0].count == 2
    assert rows[0].volume == pytest.approx(np.pi * middle**2 * SHARE * THICK, rel=1e-6)
    assert rows[0].files == ("foam_template_01",)
    assert template_items(joints(False), foam(False))[0].count == 1


def test_each_template_has_a_sheet_that_says_where_it_goes():
    sheets = template_sheets(joints(), [(), ()], foam(), 500.0, "outlines are the loft's")
    assert [sheet.name for sheet in sheets] == ["foam_template_01", "foam_template_02"]
    words = " ".join(label.text for label in sheets[1].drawing.labels)
    for expected in ("TEMPLATE 2", "between slabs 2 and 3", "STAYS IN THE STACK", "STA 109.53"):
        assert expected in words
    assert "6.35 mm thick" in sheets[1].drawing.notes[0]
    assert any("template sheet" in note for note in sheets[1].drawing.notes)


def test_the_edge_leaves_the_body_by_the_slope_over_half_the_thickness():
    (told,) = template_finding(joints(), stack())
    assert told.measured == pytest.approx(THICK / 2 / 10, rel=0.02)
    assert told.verdict == "pass"
    assert template_finding([], stack()) == []


def test_slabs_that_lie_on_one_another_have_none():
    close = [slab(1, 0.0, 50.0, [ring(90)] * 3), slab(2, 50.0, 100.0, [ring(90)] * 3)]
    assert joints_of([], close, True) == []


def test_the_cores_row_counts_what_it_is_given():
    *_, core = items(foam(), slab_cuts([], stack()), 1.0e6, 1, "two plies")
    assert core.mass == pytest.approx(1.0e6 * 1e-9 * 32.0)
