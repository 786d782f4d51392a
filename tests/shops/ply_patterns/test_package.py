"""Flat patterns against closed forms, the nest by its own outlines, files as they are read back."""

import math
from dataclasses import replace

import ezdxf
import pytest
import shapely
from ezdxf.path import make_path
from framed_pods import WALL, frame, inside, model_of, pod_of, stringer

from geomgen.drafting.formats.dxf.writing import prove_dxf, write_dxf
from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import moved
from geomgen.pages.totals import totals
from geomgen.parameters.records.shops import Handoff
from geomgen.shops.ply_patterns.nest import LaidPattern, laid, least_gap
from geomgen.shops.ply_patterns.outline import pattern
from geomgen.shops.ply_patterns.package import ply_package
from geomgen.shops.ply_patterns.stock import TURNS
from geomgen.shops.product import Package
from geomgen.workflows.handing_off.shop_files import title_of

OFF = WALL + 0.5


def asked(*rows, **ply):
    p = pod_of(*rows, taper=0.2)
    return p.model_copy(update={"handoff": Handoff.model_validate({"ply": ply})})


@pytest.fixture(scope="module")
def handed() -> tuple:
    hole = {"use": "belt fitting", "waterline": "950 mm", "buttock_line": "80 mm",
            "diameter": "30 mm"}  # fmt: skip
    ring = {"name": "ring", "station": "700 mm", "width": "60 mm"}
    p = asked(
        frame(hole, tilt="15 deg"), frame(**ring), stringer(), frame(name="aft", station="1300 mm")
    )
    model = model_of(p)
    return p, model, ply_package(p, model)


def test_all_checks_pass_and_the_parts_are_there(handed):
    _, _, package = handed
    assert [check.id for check in package.findings if check.verdict != "pass"] == []
    ids = {check.id for check in package.findings}
    assert {"ply.outline.frame_one", "ply.notch.frame_ring", "ply.nest.birch_plywood_6"} <= ids
    names = [sheet.name for sheet in package.sheets]
    assert names[:3] == ["ply_frame_one", "ply_frame_ring", "ply_frame_aft"]


def test_a_full_frame_is_drawn_as_the_larger_of_its_faces():
    """The pod is a cone of ellipses: the front face is the larger one."""
    p = pod_of(frame(gap="0.5 mm"), taper=0.0)
    model = model_of(p)
    made = pattern("frame_one", model.parts["frame_one"], model.sheets["frame_one"])
    assert made.drawn().area == pytest.approx(inside(OFF), rel=1e-4)
    assert made.bevel == ()
    tapered = model_of(pod_of(frame(), taper=0.8))
    wide = pattern("frame_one", tapered.parts["frame_one"], tapered.sheets["frame_one"])
    assert wide.whole.area > wide.least.area
    assert len(wide.bevel) == 1


def test_the_drawing_comes_back_from_its_files(handed, tmp_path):
    p, _, package = handed
    sheet = next(s for s in package.sheets if s.name == "ply_frame_one")
    title = title_of(p, sheet.name, "", sheet.note, "")
    path = write_dxf(tmp_path / "a_mm.dxf", sheet.drawing, title, sheet.paper.over)
    prove_dxf(path, sheet.drawing, title, sheet.paper.over)
    page = write_sheet(tmp_path / "a.pdf", sheet.paper, title)
    prove_sheet(page, sheet.paper, title)
    space = ezdxf.readfile(path).modelspace()
    layers = {entity.dxf.layer for entity in space}
    assert {"CUT", "REF", "TEXT"} <= layers
    circles = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "CUT" and len(e) < 12]
    (hole,) = [
        shapely.Polygon([(v.x, v.y) for v in make_path(e).flattening(0.01)]) for e in circles
    ]
    assert hole.area == pytest.approx(math.pi * 15**2, rel=2e-3)
    # Up along the sheet, from the thrust line: 150 mm of waterline on a lean of 15 deg.
    assert (hole.centroid.x, hole.centroid.y) == pytest.approx(
        (80.0, 150.0 / math.cos(math.radians(15))), abs=0.02
    )


def test_masses_add_up_to_what_the_solids_hold(handed):
    p, _, package = handed
    sheets = [item for item in package.items if "sheet" in item.material]
    parts = [item for item in sheets if item.kind == "part"]
    (total,) = totals(sheets, [])
    assert total.pieces == len(parts) == 3
    assert total.mass == pytest.approx(sum(item.mass for item in parts))
    assert total.mass == pytest.approx(total.volume * 1e-9 * p.frames[0].density)
    (bought,) = [item for item in sheets if item.kind == "buy"]
    assert bought.count == math.ceil(1.1 * int(bought.note.split()[2]))


@pytest.fixture(scope="module")
def patterns(handed):
    _, model, _ = handed
    return [pattern(name, model.parts[name], sheet) for name, sheet in model.sheets.items()]


@pytest.mark.parametrize("grain", ["up", "across", "any", "45 deg"])
def test_nothing_overlaps_in_the_nest(handed, patterns, grain):
    p, _, _ = handed
    shop = p.handoff.ply.model_copy(update={"grain": grain})
    rows = laid(patterns, shop)
    assert least_gap(rows, shop) >= shop.gap - 0.06
    assert {row.turn for row in rows} <= set(TURNS[grain])
    for row in rows:
        lines = shapely.Polygon([q for path in row.paths()[:1] for q in path.dense(0.01)])
        assert (
            lines.symmetric_difference(shapely.Polygon(row.outline().exterior)).area
            < 1e-3 * lines.area
        )


def test_wrong_nests_and_sheets_are_found(handed, patterns):
    p, model, _ = handed
    shop = p.handoff.ply
    first, *others = laid(patterns, shop)
    over = replace(others[0], sheet=first.sheet, by=(first.by[0] + 5.0, first.by[1]))
    assert least_gap([first, over], shop) == -1.0
    out = LaidPattern(first.pattern, 0, 0.0, (0.0, 0.0))
    assert least_gap([out], shop) == -1.0
    with pytest.raises(GeometryError, match=r"frame_one, .* mm, has no room on a sheet of"):
        laid(patterns, shop.model_copy(update={"sheet_width": 300.0, "grain": "any"}))
    aside = moved(model.parts["frame_aft"], (3.0, 0.0, 0.0))
    with pytest.raises(GeometryError, match=r"in its plane|pieces"):
        pattern("frame_aft", aside, model.sheets["frame_aft"])


@pytest.mark.long
def test_a_notch_that_is_too_tight_fails(handed):
    """The stringers of another file are two millimetres broader."""
    p, model, _ = handed
    broad = model_of(p.model_copy(update={"stringers": (stringer(width="22 mm"),)}))
    names = ("stringer_strip_right", "stringer_strip_left")
    wrong = replace(model, parts={**model.parts, **{n: broad.parts[n] for n in names}})
    package: Package = ply_package(p, wrong)
    failed = {check.id for check in package.findings if check.verdict == "fail"}
    assert failed == {f"ply.notch.frame_{n}" for n in ("one", "ring", "aft")}


@pytest.mark.long
def test_a_stringer_in_the_walls_of_a_notch_without_clearance_fails():
    tight = {"notch_clearance": "0 mm", "mirrored": False}
    p = asked(frame(width="60 mm"), stringer(**tight))
    broad = model_of(p.model_copy(update={"stringers": (stringer(**tight, width="22 mm"),)}))
    model, name = model_of(p), "stringer_strip"
    wrong = replace(model, parts={**model.parts, name: broad.parts[name]})
    failed = {check.id for check in ply_package(p, wrong).findings if check.verdict == "fail"}
    assert failed == {"ply.notch.frame_one"}
