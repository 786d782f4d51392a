"""The sheet as PDF, read by another parser: size, scale, lines, letters."""

import math

import pdfplumber
import pytest
from drafting.formats.sheets import DRAWING, SHEET, TITLE

from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.paper.on_paper import spot
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.record import VISIBLE, Drawing, line
from geomgen.errors import FileWriteError

MM = 72 / 25.4
# ISO 216, long side across [mm]. PUBLISHED.
SIZES = {"A4": (297, 210), "A3": (420, 297), "A2": (594, 420), "A1": (841, 594), "A0": (1189, 841)}


@pytest.mark.parametrize(
    ("size", "over"), [("A4", 20), ("A3", 10), ("A2", 10), ("A1", 5), ("A0", 5)]
)
def test_page_is_one_sheet_and_the_scale_is_true(tmp_path, size, over):
    bar = Drawing("bar", (line((0, 0), (1000.0, 0.0), VISIBLE),))
    sheet = Sheet(bar, size, over)
    path = write_sheet(tmp_path / "a.pdf", sheet, TITLE)
    with pdfplumber.open(path) as document:
        assert len(document.pages) == 1
        page = document.pages[0]
        assert (page.width / MM, page.height / MM) == pytest.approx(SIZES[size], abs=0.01)
        # Closed form: 1000 mm at 1:over.
        found = [x for x in page.lines if x["linewidth"] == pytest.approx(0.35 * MM, abs=1e-3)]
        assert [bar["width"] / MM for bar in found] == pytest.approx([1000 / over], abs=0.01)


def test_frame_title_block_and_texts(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, TITLE)
    with pdfplumber.open(path) as document:
        page = document.pages[0]
        words = page.extract_text()
        thick = [r for r in page.rects if r["linewidth"] == pytest.approx(0.7 * MM, abs=1e-3)]
        assert (thick[0]["x0"] / MM, thick[0]["x1"] / MM) == pytest.approx((10, 410), abs=0.01)
        heights = {round(c["size"] / MM * 0.718, 2) for c in page.chars if c["matrix"][1] == 0}
        fonts = {c["fontname"] for c in page.chars}
    for due in ("Demo pusher", "side view", "1:10", "first angle", "length 2900.0", "gap 20.2",
                "Stations from the datum.", "airworthiness", "A3, 420 x 297"):  # fmt: skip
        assert due in words
    # ISO 3098-1: heights of letters in steps of the square root of two. PUBLISHED.
    assert heights <= {1.8, 2.5, 3.5, 5.0}
    assert fonts == {"Helvetica"}


def test_turned_text_stands_where_it_should(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, TITLE)
    at = spot(SHEET).place(DRAWING.labels[1].at)
    with pdfplumber.open(path) as document:
        turned = [c for c in document.pages[0].chars if not c["upright"] and c["text"] == "W"]
    matrix = turned[0]["matrix"]
    assert (matrix[4] / MM, matrix[5] / MM) == pytest.approx(at, abs=0.01)
    assert math.atan2(matrix[1], matrix[0]) == pytest.approx(math.pi / 2)


def test_same_bytes(tmp_path):
    one = write_sheet(tmp_path / "1.pdf", SHEET, TITLE).read_bytes()
    assert write_sheet(tmp_path / "2.pdf", SHEET, TITLE).read_bytes() == one


def test_sheet_that_is_too_small(tmp_path):
    with pytest.raises(FileWriteError, match="choose a larger sheet"):
        write_sheet(tmp_path / "a.pdf", Sheet(DRAWING, "A4", 5), TITLE)
    assert not (tmp_path / "a.pdf").exists()
