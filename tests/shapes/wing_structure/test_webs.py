"""Webs as flat sheets: straight runs, planes and thicknesses against the solids' own faces."""

import math

import numpy as np
import pytest
from spar_wings import BENT, PLAIN, planned

from geomgen.kernel.plane_frame import front_of_sheet
from geomgen.kernel.sections.section import faces_in_plane
from geomgen.shapes.wing_structure.published import inner_sheets
from geomgen.shapes.wing_structure.spars import spars

WEB = {"kind": "caps and web", "chord_share": 0.3}


def runs_of(overrides, spar):
    p = planned(overrides, [spar])
    return {piece.name: piece.solid for piece in spars(p)}, inner_sheets(p)


def test_a_straight_web_is_one_sheet():
    solids, sheets = runs_of(PLAIN, WEB)
    assert list(sheets) == ["spar_main_web"]
    assert sheets["spar_main_web"].thickness == pytest.approx(3.0)
    assert sheets["spar_main_web"].part in solids


def test_a_bent_web_is_a_sheet_a_run():
    """The outer panel of the wing is swept by 15 deg, and so is the web there."""
    solids, sheets = runs_of(BENT, WEB)
    assert list(sheets) == [f"spar_main_web_run_{i}" for i in (1, 2, 3)]
    thick = [sheet.thickness for sheet in sheets.values()]
    assert thick == pytest.approx([3 * math.cos(math.radians(15)), 3.0, thick[0]], abs=0.01)
    for sheet in sheets.values():
        front = front_of_sheet(sheet)
        for at in (0.0, sheet.thickness):
            assert faces_in_plane(front.moved(at), solids[sheet.part])


def test_the_left_one_is_the_mirror_of_the_right_one():
    _, sheets = runs_of(BENT, {**WEB, "kind": "box", "start": "300 mm"})
    right = {name: sheet for name, sheet in sheets.items() if name.endswith("_right")}
    assert 2 * len(right) == len(sheets)
    for name, sheet in right.items():
        left = sheets[name.removesuffix("right") + "left"]
        assert left.part == sheet.part.removesuffix("right") + "left"
        assert np.array(left.plane.origin) == pytest.approx(
            sheet.plane.origin * np.array([1, -1, 1])
        )
        assert np.array(left.plane.normal) == pytest.approx(
            sheet.plane.normal * np.array([1, -1, 1])
        )
