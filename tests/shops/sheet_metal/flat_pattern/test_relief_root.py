"""Roots of relief cuts: as round as the sheet is thick, the gap measured where the flange bends."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shops.sheet_metal.trays import half_turn, pattern_of, tray

from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.fold import folded, gap_at_bends
from geomgen.shops.sheet_metal.flat_pattern.fold_findings import fold_findings, root_radii
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs

THICK = Bending(1.5, 2.0, 0.42)
NARROW = Reliefs(1.6, 40.0, 0.3)


@pytest.fixture(scope="module")
def narrow():
    return pattern_of(tray(sheet=1.5), THICK, NARROW)


def test_narrow_slit_ends_in_a_hole_as_round_as_the_sheet_is_thick(narrow) -> None:
    assert root_radii(narrow) == pytest.approx([1.5] * len(narrow.tabs), abs=1e-9)
    shape = shapely.Polygon(narrow.cut.dense(0.002))
    assert shape.is_valid
    assert shape.area == pytest.approx(narrow.cut.area(), abs=0.002 * narrow.cut.length())


def test_hole_stands_where_the_bends_begin(narrow) -> None:
    """Closed form of a cylinder: its centre lies on the corner of the bends' beginnings."""
    many = len(narrow.tabs)
    reach = 150.0 * math.cos(half_turn(150.0, many, NARROW.width)) + 0.15
    begin = (reach - THICK.setback(90.0)) / math.cos(math.pi / many)
    points = np.array(narrow.cut.dense(0.002)) - [0.0, 700.0]
    assert np.hypot(*points.T).min() == pytest.approx(begin - 1.5, abs=0.01)


def test_bend_lines_end_where_the_hole_begins(narrow) -> None:
    edge = shapely.Polygon(narrow.cut.dense(0.0005)).exterior
    for bend in narrow.bends:
        for end in bend.points:
            assert edge.distance(shapely.Point(end)) < 2e-3


def test_gap_at_the_bend_is_that_of_the_hole(narrow) -> None:
    """Closed form: at the bends' beginning, a diameter; a plain slit stays as wide as asked."""
    many = len(narrow.tabs)
    widest, _ = gap_at_bends(folded(narrow))
    assert 3.0 * math.cos(math.pi / many) - 0.02 <= widest <= 3.0 + 0.02
    plain = pattern_of(tray(), Bending(1.0, 1.5, 0.42))
    widest, _ = gap_at_bends(folded(plain))
    assert widest == pytest.approx(3.0, abs=0.4)


def test_findings_of_narrow_slits_pass_and_sharp_ones_are_found(narrow) -> None:
    solid = tray(sheet=1.5)
    rows = {f.id: f for f in fold_findings(narrow, solid, None, NARROW)}
    assert rows["sheet.relief_root"].verdict == rows["sheet.relief_gap"].verdict == "pass"
    assert rows["sheet.slit"].verdict == "pass"
    assert rows["sheet.fit"].measured < 1e-3
    thin = pattern_of(tray(), Bending(1.0, 1.5, 0.42))
    thicker = type(thin)(
        thin.sheet, Bending(2.5, 1.5, 0.42), thin.cut, thin.holes, thin.bends, thin.outline,
        thin.tabs, thin.plans,
    )  # fmt: skip
    row = {f.id: f for f in fold_findings(thicker, solid, None, NARROW)}["sheet.relief_root"]
    assert row.verdict == "fail"
    assert row.measured == pytest.approx(root_radii(thin).min())


def test_holes_larger_than_slit_and_sheet_ask_for_are_found(narrow) -> None:
    """Holes for 1.5 mm in a sheet that is said to be 0.5 mm thick: 3 mm open, not 1.6."""
    said = replace(narrow, bending=Bending(0.5, 2.0, 0.42))
    row = {f.id: f for f in fold_findings(said, tray(sheet=1.5), None, NARROW)}["sheet.relief_gap"]
    assert row.verdict == "warn"
    assert row.measured == pytest.approx(3.0, abs=0.5)
