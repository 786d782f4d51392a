"""The reason of a release: what is taken, and that it stands in the STEP files it is written to."""

import pdfplumber
import pytest

from geomgen.drafting.formats.pdf.pages import write_sheet, write_tiles
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import VISIBLE, Drawing, circle, rectangle
from geomgen.errors import ParameterError
from geomgen.files.disk import sha256
from geomgen.files.step import read_step, write_step
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.solids.properties import volume
from geomgen.shops.product import ShopSheet
from geomgen.workflows.handing_off.release import LONGEST, reason_of_release, write_reason
from geomgen.workflows.handing_off.shop_files import _sheet


@pytest.mark.parametrize("words", ["", "   ", "\t\n", " -- . "])
def test_a_blank_reason_is_refused(words):
    with pytest.raises(ParameterError, match="blank") as caught:
        reason_of_release(words)
    assert caught.value.exit_code == 2


def test_an_overlong_reason_is_refused_with_what_would_do():
    assert reason_of_release("x" * LONGEST) == "x" * LONGEST
    with pytest.raises(ParameterError, match="130 characters") as caught:
        reason_of_release("x" * 130)
    assert caught.value.advice == "shorten it by 10 characters"


def test_the_longest_reason_fits_the_smallest_sheet_and_its_tiles(tmp_path):
    """Wide letters, no place to break a line, and as much beside it as a foam sheet has."""
    words = ("WM" * LONGEST)[:LONGEST]
    title = Title("Project", "foam_template_60", "B", "right", note="n" * 60, reason=words)
    drawing = Drawing("x", (rectangle((0, 0), (60, 40)),), notes=("n" * 90, "m" * 90, "o" * 90))
    assert full_size(drawing).size == "A4"
    write_sheet(tmp_path / "sheet.pdf", full_size(drawing), title)
    write_tiles(tmp_path / "tiles.pdf", drawing, title, "A4", 10.0)


def test_a_sheet_of_views_grows_where_its_title_block_has_no_room(saltmarsh, tmp_path):
    disc = Drawing("disc", (circle((0.0, 0.0), 500.0, VISIBLE),), notes=("n" * 90, "m" * 90))
    sheet = ShopSheet("disc", "pod", Sheet(disc, "A4", 20), "left", "o" * 120)
    for reason, width in (("", 297.0), (("WM" * LONGEST)[:LONGEST], 420.0)):
        rows = _sheet(tmp_path, saltmarsh, sheet, reason)
        assert [row["file"] for row in rows] == ["disc_mm.dxf", "disc.pdf"]
        with pdfplumber.open(tmp_path / "disc.pdf") as document:
            assert document.pages[0].width / 72 * 25.4 == pytest.approx(width, abs=0.1)
            told = document.pages[0].extract_text()
        assert ("RELEASED" in told) == bool(reason)


def test_the_reason_stands_in_the_header_and_the_solid_is_the_same(tmp_path):
    write_step(tmp_path, {"block": box((0, 0, 0), (30, 20, 10))}, {}, "block")
    entries = [{"file": "block_mm.step", "sha256": "former", "bytes": 1}, {"file": "block.pdf"}]
    write_reason(tmp_path, entries, "the jig's trial")
    path = tmp_path / "block_mm.step"
    text = path.read_text(encoding="ascii")
    header = " ".join(text[: text.index("DATA;")].split())
    assert "'RELEASED ALTHOUGH A CHECK FAILED: the jig''s trial'" in header
    assert entries[0] == {
        "file": "block_mm.step",
        "sha256": sha256(path),
        "bytes": path.stat().st_size,
    }
    (part,) = read_step(path)
    assert (part.name, volume(part.shape).value) == ("block", pytest.approx(6000.0))
