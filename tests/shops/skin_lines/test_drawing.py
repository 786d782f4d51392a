"""The sheets of a half with lines: where they are drawn, on which side, what is said."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import LENGTH, RADIUS, cylinder_pod, with_mould

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import HIDDEN, OPEN, REF, SECTION
from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.package import WantedLines, line_sheets, mould_lines

FIREWALL = tilted(box((300.0, -90.0, -90.0), (306.0, 90.0, 90.0)), (300.0, 0.0, 0.0), 10.0)
ROD = box((100.0, 60.0, -6.0), (700.0, 72.0, 6.0))
STRINGERS = {
    "stringer_a": ROD,
    "stringer_b": cylinder((100.0, 0.0, -60.0), (1.0, 0.0, 0.0), 8.0, 500.0),
    # So deep inside that it is no stringer of this skin.
    "stringer_c": box((100.0, 10.0, -6.0), (700.0, 22.0, 6.0)),
}


@pytest.fixture(scope="module")
def sheets(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    model = Model(
        parts={"firewall": FIREWALL, **STRINGERS},
        families={"firewall": "firewall", **dict.fromkeys(STRINGERS, "stringer")},
    )
    wanted = WantedLines("pod", 0.0, glass=Glass(100.0, 250.0, 20.0, 60.0), remarks=("remark",))
    sides = sides_of([moulded(q, Bounds()) for q in halves(p, mould, 0.0)])
    found = line_sheets(wanted, mould_lines(model, wanted, sides), ["right", "left"])
    return {sheet.name: sheet for sheet in found}


def named(sheet, name):
    return [path for path in sheet.drawing.paths if path.name == name]


def test_a_sheet_in_the_pod_is_no_line_on_a_scoop_or_a_wing_tip(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    sides = sides_of([moulded(q, Bounds()) for q in halves(p, mould, 0.0)][:1])
    model = Model(parts={"firewall": FIREWALL}, families={"firewall": "firewall"})
    counts = {
        part: len(mould_lines(model, WantedLines(part, 0.0), sides)[0].lines)
        for part in ("exit", "scoop_cheek", "wing_tip")
    }
    assert counts == {"exit": 2, "scoop_cheek": 0, "wing_tip": 0}


def points(paths):
    return np.concatenate([path.points for path in paths])


def test_each_half_has_two_sheets_without_clashes(sheets, tmp_path):
    assert set(sheets) == {
        f"lines_pod_{half}{more}" for half in ("right", "left") for more in ("", "_full_size")
    }
    for name, sheet in sheets.items():
        assert sheet.hand in name
        assert sheet.full_size == name.endswith("full_size")
        assert not clashes(sheet.drawing)
        write_dxf(tmp_path / f"{name}.dxf", sheet.drawing, Title("a", "pod", "A"))
        assert "remark" in sheet.drawing.notes


def test_at_full_size_the_right_half_has_its_nose_to_the_right(sheets):
    for half, way in (("right", -1.0), ("left", 1.0)):
        sheet = sheets[f"lines_pod_{half}_full_size"]
        sill = points(named(sheet, "canopy, sill"))
        assert {path.layer for path in named(sheet, "canopy, sill")} == {REF}
        stations = way * sill[:, 0]
        assert sill[:, 1] == pytest.approx(20 + 40 * (stations - 100) / 150, abs=1e-6)
        wall = named(sheet, "firewall, front face")
        assert {path.layer for path in wall} == {REF}
        at = points(wall)
        assert way * at[:, 0] == pytest.approx(
            300.0 + np.tan(np.radians(10.0)) * at[:, 1], abs=1e-3
        )
        outline = points(named(sheet, "outline"))
        assert np.ptp(outline, axis=0) == pytest.approx((LENGTH, 2 * RADIUS), abs=0.5)


def test_from_above_what_lies_below_is_dashed(sheets):
    sheet = sheets["lines_pod_right"]
    wall = named(sheet, "firewall, aft face")
    layers = {path.layer for path in wall}
    assert layers == {SECTION, HIDDEN}
    assert {path.layer for path in named(sheet, "canopy, fore end")} == {OPEN}


def test_the_table_says_where_each_line_runs_and_what_has_none(sheets):
    words = " ".join(label.text for label in sheets["lines_pod_right"].drawing.labels)
    assert "canopy, sill: STA 100 to 250" in words
    assert "WL 20 to 60" in words
    assert "stringer_a, outer edges: STA 100 to 700" in words
    assert "no line found: stringer_b, no flat sheet" in words
    assert "no line found: stringer_c, nowhere square below the skin" in words
    left = " ".join(label.text for label in sheets["lines_pod_left"].drawing.labels)
    assert "stringer_a" not in left
