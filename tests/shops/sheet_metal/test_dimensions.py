"""The dimensioned drawing on its sheet: to scale, filled, written with real dimensions."""

from functools import cache

import ezdxf
import pytest
from shops.sheet_metal.example_sheet import model_of
from shops.sheet_metal.trays import CONFIG

from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.sheet import room
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import DIM
from geomgen.parameters import load
from geomgen.shops.sheet_metal.package import sheet_package

FLANGE = "handoff.sheet.flange="
RINGED = (
    "firewall.flange=60 mm",
    f"{FLANGE}angle ring",
    "handoff.sheet.rivet_pitch=10 mm",
)
CASES = {
    "example": (f"{FLANGE}tabs",),
    "leaning": ("firewall.tilt=9 deg", "firewall.flange_direction=forward"),
    "plain": ("firewall.flange=0 mm",),
    "close": ("handoff.sheet.relief_pitch=20 mm",),
    "wide": ("firewall.flange=60 mm", "handoff.sheet.inside_radius=4 mm"),
}
LONG = ("leaning", "close", "wide")


def page_of(*overrides, with_hull=True):
    return _page_of(overrides, with_hull)


@cache
def _page_of(overrides, with_hull):
    p = load(CONFIG, list(overrides))
    made = sheet_package(p, model_of(p, with_hull=with_hull))
    return next(s for s in made.sheets if s.name == "firewall_dimensions")


@pytest.fixture(
    scope="module",
    params=[pytest.param(n, marks=pytest.mark.long if n in LONG else ()) for n in CASES],
)
def page(request):
    return page_of(*CASES[request.param], with_hull=request.param == "example")


def test_nothing_is_written_over_anything(page) -> None:
    assert clashes(page.drawing) == ()


@pytest.mark.long
def test_nothing_is_written_over_the_section_of_a_ring() -> None:
    """A rivet near the edge of a wide ring: its figure is longer than what it measures."""
    page = page_of(*RINGED, with_hull=False)
    rivet = next(d for d in page.drawing.dimensions if d.name == "rivet")
    assert rivet.measured == pytest.approx(6.4)
    assert clashes(page.drawing) == ()


def test_blank_fills_its_sheet_at_a_standard_scale(page) -> None:
    width, height = (next(d.measured for d in page.drawing.dimensions if d.name == name)
                     for name in ("width", "height"))  # fmt: skip
    wide, high = (most * page.paper.over for most in room(page.paper.size))
    assert max(width / wide, height / high) >= 0.55
    assert width < wide
    assert height < high


def test_files_hold_real_dimensions_in_thin_solid_lines(page, tmp_path) -> None:
    """Written and proved; the DXF is read by another library."""
    title = Title("Demo", page.name, "B", fingerprint="a1b2c3")
    rows = write_drawing(tmp_path, page.paper, title)
    assert [row["file"].rsplit(".")[-1] for row in rows] == ["dxf", "pdf", "svg"]
    document = ezdxf.readfile(tmp_path / rows[0]["file"])
    found = document.modelspace().query("DIMENSION")
    assert len(found) == len(page.drawing.dimensions) >= 8
    layer = document.layers.get(DIM)
    assert layer.dxf.linetype.upper() == "CONTINUOUS"
    assert layer.dxf.lineweight == 18
    figures = {entity.get_geometry_block().query("TEXT")[0].dxf.text for entity in found}
    assert {"90.00", "60.00"} <= figures


def test_sheet_says_what_the_shop_has_to_know(page) -> None:
    words = "\n".join([*(label.text for label in page.drawing.labels), *page.drawing.notes])
    for each in ("stainless steel, 0.400 mm", "datum:", "seen from aft", "UP", "lean"):
        assert each in words
    if "plain blank" not in words:
        for each in ("GRAIN", "+-0.2 mm", "+0.5 -0 deg", "zone", "SECTION", "no hand"):
            assert each in words


def used(page) -> float:
    """Return the share of the sheet's room that the drawing's box takes."""
    (x0, y0), (x1, y1) = extent(drawn_out(page.drawing))
    wide, high = room(page.size)
    assert x1 - x0 <= wide * page.over
    assert y1 - y0 <= high * page.over
    return (x1 - x0) * (y1 - y0) / page.over**2 / (wide * high)


@pytest.mark.parametrize(
    "flange",
    [
        pytest.param("tabs", id="tabs"),
        pytest.param("angle ring", id="ring", marks=pytest.mark.long),
        pytest.param("joggled segments", id="joggled", marks=pytest.mark.long),
    ],
)
def test_the_example_fills_a_sheet_of_a3(flange) -> None:
    page = page_of(f"{FLANGE}{flange}").paper
    assert page.size == "A3"
    assert used(page) > 0.7
    assert clashes(page.drawing) == ()


@pytest.mark.long
def test_details_of_a_wide_flange_grow_into_the_room_of_a_larger_sheet() -> None:
    """The blank asks for A1: beside it the lap of thin sheet is drawn ten times as large."""
    page = page_of("firewall.flange=60 mm", f"{FLANGE}joggled segments").paper
    assert used(page) > 0.7
    assert any("LAP ALONG THE RIVETS (10:1)" in label.text for label in page.drawing.labels)
    assert clashes(page.drawing) == ()
