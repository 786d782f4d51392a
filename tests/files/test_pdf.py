"""Paper read back: sizes, squares, outlines; a print that was scaled, moved or lost is caught.

Sheet sizes from ISO 216, scales from ISO 5455.
"""

import pdfplumber
import pytest

from geomgen.drawings.page import Banner, Heading, Table, Words
from geomgen.drawings.record import CAP, Drawing, Label, Path, circle, line, rectangle
from geomgen.drawings.title import Title
from geomgen.errors import FileWriteError
from geomgen.files import pdf_lines, pdf_sheet, pdf_tiles
from geomgen.files.pdf_proof import prove_sheet, prove_tiles
from geomgen.files.pdf_sheet import layout, write_sheet
from geomgen.files.pdf_text import write_page
from geomgen.files.pdf_tiles import diagonal, grid, lines_of, printed, write_tiles

TITLE = Title("Demo", "plate", "B", hand="left", fingerprint="abc123")
WRONG = Title("Demo", "plate", "B", reason="only a trial")
MM = 72 / 25.4


def plate(width, height):
    return Drawing(
        "plate",
        (
            rectangle((-20, 5), (width - 20, height + 5)),
            circle((width / 3, height / 2), 6.0),
            line((0, 10), (40, 10)),
            Path(((0, 20), (40, 20), (40, 30), (0, 30)), layer=CAP),
        ),
        (Label((10, 12), "STA 1800"),),
    )


def words(path):
    with pdfplumber.open(path) as document:
        return " ".join(page.extract_text() for page in document.pages)


@pytest.mark.parametrize(
    ("width", "height", "sheet"),
    [(120, 100, "A4"), (250, 150, "A3"), (380, 400, "A2"), (700, 500, "A0"), (2000, 900, "one")],
)
def test_smallest_sheet_that_holds_it(tmp_path, width, height, sheet):
    drawing = plate(width, height)
    made = layout(drawing, True)
    assert made.name.startswith(sheet)
    path = write_sheet(tmp_path / "a.pdf", drawing, TITLE)
    prove_sheet(path, drawing, True)
    text = words(path)
    for expected in (
        "100 mm",
        "print at 100 %",
        "LEFT HAND",
        "revision B",
        "scale 1:1",
        "airworthiness",
    ):
        assert expected in text


def test_fitted_sheet_says_its_scale(tmp_path):
    drawing = plate(3000, 900)
    path = write_sheet(tmp_path / "a.pdf", drawing, TITLE, full_size=False)
    prove_sheet(path, drawing, False)
    assert layout(drawing, False).over == 10
    assert "scale 1:10" in words(path)


def test_reason_is_in_large_type_on_sheet_and_tiles(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", plate(100, 100), WRONG)
    with pdfplumber.open(path) as document:
        large = "".join(c["text"] for c in document.pages[0].chars if c["size"] >= 17)
    assert "RELEASEDALTHOUGHACHECKFAILED" in "".join(large.split())
    assert "onlyatrial" in "".join(large.split())
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 100), WRONG, "A4", 10.0)
    assert "only a trial" in words(tiles)
    assert "CHECK FAILED" in words(tiles)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_tiles_join_to_the_drawing(tmp_path, paper):
    drawing = plate(500, 380)
    path = write_tiles(tmp_path / "t.pdf", drawing, TITLE, paper, 10.0)
    prove_tiles(path, drawing, paper, 10.0)
    made = grid(drawing, paper, 10.0)
    assert f"{diagonal(made):.1f} mm" in words(path)
    assert made.columns * made.step[0] >= 500 - 10
    assert "A1" in words(path)


def test_empty_tiles_are_not_printed(tmp_path):
    hollow = Drawing("frame", (rectangle((0, 0), (900, 1200)),))
    made = grid(hollow, "A4", 10.0)
    assert len(printed(hollow, lines_of(hollow), made)) < made.rows * made.columns
    path = write_tiles(tmp_path / "t.pdf", hollow, TITLE, "A4", 10.0)
    prove_tiles(path, hollow, "A4", 10.0)
    assert "empty" in words(path)


def test_same_bytes(tmp_path):
    one = write_tiles(tmp_path / "1.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes()
    assert write_tiles(tmp_path / "2.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes() == one
    first = write_sheet(tmp_path / "3.pdf", plate(300, 100), TITLE).read_bytes()
    assert write_sheet(tmp_path / "4.pdf", plate(300, 100), TITLE).read_bytes() == first


def shrunk(monkeypatch, module):
    """Print everything at 97 %, as a printer that fits to the page does."""
    real = pdf_lines.new_canvas

    def canvas(title, size):
        made, buffer = real(title, size)
        made.scale(0.97, 0.97)
        return made, buffer

    monkeypatch.setattr(module, "new_canvas", canvas)


def test_scaled_sheet_is_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch, pdf_sheet)
    path = write_sheet(tmp_path / "a.pdf", plate(120, 100), TITLE)
    with pytest.raises(FileWriteError, match=r"square is 97\.00"):
        prove_sheet(path, plate(120, 100), True)


def test_scaled_tiles_are_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch, pdf_tiles)
    path = write_tiles(tmp_path / "t.pdf", plate(120, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="square"):
        prove_tiles(path, plate(120, 100), "A4", 10.0)


def test_another_outline_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", plate(121, 100), TITLE)
    with pytest.raises(FileWriteError, match="cut outlines"):
        prove_sheet(path, plate(120, 100), True)
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 101), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="proof failed"):
        prove_tiles(tiles, plate(300, 100), "A4", 10.0)


def test_damaged_file_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", plate(120, 100), TITLE)
    path.write_bytes(path.read_bytes()[:400])
    with pytest.raises(FileWriteError):
        prove_sheet(path, plate(120, 100), True)


def test_text_page_wraps_and_repeats_its_head(tmp_path):
    rows = tuple((f"check.{i}", "a long line of words " * 6, "FAIL") for i in range(150))
    blocks = [
        Banner("DO NOT CUT", loud=True), Heading("Checks"), Words("Cautions <first> & foremost"),
        Table(("check", "what", "verdict"), rows, (0.3, 0.5, 0.2)),
    ]  # fmt: skip
    path = write_page(tmp_path / "p.pdf", WRONG, blocks)
    text = words(path)
    assert text.count("verdict") >= 3
    for expected in ("DO NOT CUT", "<first> &", "check.149", "RELEASED ALTHOUGH", "airworthiness"):
        assert expected in text
    assert write_page(tmp_path / "q.pdf", WRONG, blocks).read_bytes() == path.read_bytes()
