"""Pages that were printed wrong on purpose do not prove right: sheets, full size, tiles."""

import math
from dataclasses import replace

import pdfplumber
import pytest
from drafting.formats.sheets import DRAWING, SHEET
from drafting.formats.sheets import TITLE as VIEW_TITLE
from drafting.plates import TITLE, WRONG, plate, words

from geomgen.drafting.formats.pdf import lines, pages
from geomgen.drafting.formats.pdf.pages import write_sheet, write_tiles
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet, prove_tiles
from geomgen.drafting.paper import tile_pages
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.record import (
    CAP,
    REF,
    Dimension,
    Drawing,
    Path,
    circle,
    rectangle,
)
from geomgen.errors import FileWriteError

MM = 72 / 25.4


def test_sound_page_proves_right(tmp_path):
    prove_sheet(write_sheet(tmp_path / "a.pdf", SHEET, VIEW_TITLE), SHEET, VIEW_TITLE)


def changed(**parts):
    return replace(SHEET, drawing=replace(DRAWING, **parts))


def first_path(points):
    return (replace(DRAWING.paths[7], points=points), *DRAWING.paths[8:])


FORMER = DRAWING.paths[7].points
OTHERS = {
    "a line lost": changed(paths=DRAWING.paths[:7] + DRAWING.paths[8:]),
    "a line more": changed(paths=(*DRAWING.paths, DRAWING.paths[7])),
    "a corner off by 1 mm": changed(
        paths=(*DRAWING.paths[:7], *first_path(((2001, 100), *FORMER[1:])))
    ),
    "an arc of another height": changed(
        paths=(DRAWING.paths[0], replace(DRAWING.paths[1], bulges=(-0.41, 0)), *DRAWING.paths[2:])
    ),
    "an arc to the other side": changed(
        paths=(DRAWING.paths[0], replace(DRAWING.paths[1], bulges=(0.4, 0)), *DRAWING.paths[2:])
    ),
    "another layer": changed(
        paths=(*DRAWING.paths[:7], replace(DRAWING.paths[7], layer="NEW"), *DRAWING.paths[8:])
    ),
    "a text lost": changed(labels=DRAWING.labels[1:]),
    "another text": changed(
        labels=(replace(DRAWING.labels[0], text="STA 1501"), *DRAWING.labels[1:])
    ),
    "a text moved": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], at=(250, 152)), DRAWING.labels[2])
    ),
    "a text turned": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], angle=89.0), DRAWING.labels[2])
    ),
    "a text of another size": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], height=26.0), DRAWING.labels[2])
    ),
    "another dimension": changed(
        dimensions=(
            Dimension((0, 0), (2899, 700), (1000, -250), 0.0, 25.0, "length "),
            *DRAWING.dimensions[1:],
        )
    ),
    "a larger sheet": replace(SHEET, size="A2"),
    "a smaller scale": replace(SHEET, over=20),
    "the other projection": replace(SHEET, projection="third angle"),
}


@pytest.mark.parametrize("other", OTHERS)
def test_page_of_another_drawing_is_caught(tmp_path, other):
    path = write_sheet(tmp_path / "a.pdf", OTHERS[other], VIEW_TITLE)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_sheet(path, SHEET, VIEW_TITLE)


def test_another_title_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, replace(VIEW_TITLE, fingerprint="ffffff"))
    with pytest.raises(FileWriteError, match="reads 'ffffff'"):
        prove_sheet(path, SHEET, VIEW_TITLE)


@pytest.mark.parametrize("factor", [0.999, 0.97, 1.01])
def test_page_that_was_scaled_is_caught(tmp_path, monkeypatch, factor):
    real = pages.new_canvas

    def scaled(*args):
        canvas, buffer = real(*args)
        canvas.scale(factor, factor)
        return canvas, buffer

    monkeypatch.setattr(pages, "new_canvas", scaled)
    path = write_sheet(tmp_path / "a.pdf", SHEET, VIEW_TITLE)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_sheet(path, SHEET, VIEW_TITLE)


def test_file_that_is_cut_off(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, VIEW_TITLE)
    path.write_bytes(path.read_bytes()[:300])
    with pytest.raises(FileWriteError, match="can't be read back"):
        prove_sheet(path, SHEET, VIEW_TITLE)


def crowded(shift=0.0):
    """Return a sheet with a line whose points fall together in the digits of a page."""
    points = (*tuple((100.0 + 0.001 * i, 500.0 + shift) for i in range(40)), (400.0, 500.0))
    fine = Path(points, (), False, "FORMER", "fine")
    return replace(SHEET, drawing=replace(DRAWING, paths=(*DRAWING.paths, fine)))


def test_points_that_fall_together_prove_right_and_a_shift_does_not(tmp_path):
    page = write_sheet(tmp_path / "a.pdf", crowded(), VIEW_TITLE)
    prove_sheet(page, crowded(), VIEW_TITLE)
    with pytest.raises(FileWriteError, match="fine"):
        prove_sheet(page, crowded(shift=5.0), VIEW_TITLE)


def test_reason_is_in_large_type_on_sheet_and_tiles(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", full_size(plate(100, 100)), WRONG)
    with pdfplumber.open(path) as document:
        large = "".join(c["text"] for c in document.pages[0].chars if c["size"] >= 17)
    assert "RELEASEDALTHOUGHACHECKFAILED" in "".join(large.split())
    assert "onlyatrial" in "".join(large.split())
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 100), WRONG, "A4", 10.0)
    assert "only a trial" in words(tiles)
    assert "CHECK FAILED" in words(tiles)


def test_same_bytes(tmp_path):
    one = write_tiles(tmp_path / "1.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes()
    assert write_tiles(tmp_path / "2.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes() == one
    first = write_sheet(tmp_path / "3.pdf", full_size(plate(300, 100)), TITLE).read_bytes()
    assert write_sheet(tmp_path / "4.pdf", full_size(plate(300, 100)), TITLE).read_bytes() == first


def shrunk(monkeypatch):
    """Print everything at 97 %, as a printer that fits to the page does."""
    real = lines.new_canvas

    def canvas(title, size):
        made, buffer = real(title, size)
        made.scale(0.97, 0.97)
        return made, buffer

    monkeypatch.setattr(pages, "new_canvas", canvas)


def test_scaled_sheet_is_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch)
    path = write_sheet(tmp_path / "a.pdf", full_size(plate(120, 100)), TITLE)
    with pytest.raises(FileWriteError, match=r"square is 97\.00"):
        prove_sheet(path, full_size(plate(120, 100)), TITLE)


def test_scaled_tiles_are_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch)
    path = write_tiles(tmp_path / "t.pdf", plate(120, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="square"):
        prove_tiles(path, plate(120, 100), TITLE, "A4", 10.0)


def test_tiles_scaled_behind_a_true_index_are_caught(tmp_path, monkeypatch):
    real = pages._draw

    def smaller(canvas, group):
        factor = 0.97 if group.name in ("CUT", "REF", "dotted square", "crosses") else 1.0
        canvas.saveState()
        canvas.scale(factor, factor)
        real(canvas, group)
        canvas.restoreState()

    monkeypatch.setattr(pages, "_draw", smaller)
    path = write_tiles(tmp_path / "t.pdf", plate(120, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match=r"square is 97\.00"):
        prove_tiles(path, plate(120, 100), TITLE, "A4", 10.0)


def test_another_reader_finds_a_square_of_100_mm_on_every_page(tmp_path):
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 100), TITLE, "A4", 10.0)
    sheet = write_sheet(tmp_path / "s.pdf", full_size(plate(300, 100)), TITLE)
    for path in (tiles, sheet):
        with pdfplumber.open(path) as document:
            for page in document.pages:
                sides = [(r["width"] / MM, r["height"] / MM) for r in page.rects]
                assert sum(s == pytest.approx((100, 100), abs=0.05) for s in sides) == 1
                assert "100 mm" in page.extract_text()
                assert "print at 100 %" in page.extract_text()


def test_misplaced_crosses_are_caught(tmp_path, monkeypatch):
    real = tile_pages._crosses
    monkeypatch.setattr(
        tile_pages, "_crosses", lambda made: real(replace(made, step=(175.0, made.step[1])))
    )
    path = write_tiles(tmp_path / "t.pdf", plate(300, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="no cross at 190"):
        prove_tiles(path, plate(300, 100), TITLE, "A4", 10.0)


OUTER, HOLE, TROUGH = (
    Path(((0, 0), (150, 0), (150, 60), (40, 100), (0, 100))),
    circle((40, 50), 8.0),
    rectangle((60, 20), (90, 60), CAP),
)
MIRRORED = Path(tuple((150 - x, y) for x, y in OUTER.points))


@pytest.mark.parametrize(
    "paths",
    [
        (OUTER, TROUGH),
        (OUTER, HOLE),
        (OUTER, circle((44, 50), 8.0), TROUGH),
        (OUTER, circle((40, 50), 8.5), TROUGH),
        (MIRRORED, HOLE, TROUGH),
        (OUTER, HOLE, replace(TROUGH, layer=REF)),
    ],
    ids=["hole lost", "trough lost", "hole moved", "hole too large", "mirrored", "other layer"],
)
def test_each_line_is_proved(tmp_path, paths):
    right, wrong = Drawing("d", (OUTER, HOLE, TROUGH)), Drawing("d", paths)
    assert wrong.box() == right.box()
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_sheet(
            write_sheet(tmp_path / "s.pdf", full_size(wrong), TITLE), full_size(right), TITLE
        )
    written = write_tiles(tmp_path / "t.pdf", wrong, TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_tiles(written, right, TITLE, "A4", 10.0)


LONG = "the mould maker has agreed by letter to pull the part with a flexible mould; " * 3


@pytest.mark.parametrize("framed", [True, False])
def test_nothing_is_dropped_from_a_full_title_block(tmp_path, framed):
    title = replace(TITLE, reason=LONG, note="kerf 1.2 mm", part="tail_fairing_left_" * 4)
    drawing = replace(plate(120, 100), notes=("washout positive: tip nose-down",))
    sheet = Sheet(drawing, "A3", 1) if framed else full_size(drawing)
    path = write_sheet(tmp_path / "s.pdf", sheet, title)
    tiles = write_tiles(tmp_path / "t.pdf", drawing, title, "A4", 10.0)
    for file in (path, tiles):
        with pdfplumber.open(file) as document:
            page = document.pages[0]
            text = " ".join(page.extract_text().split())
            assert all(c["x0"] > 0 and c["x1"] < page.width for c in page.chars)
        for expected in ("licensed practice come first.", "kerf 1.2 mm", "nose-down", "abc123"):
            assert expected in text
    # Closed form: the diagonal of one tile's step on A4 with margins and overlap of 10 mm.
    assert f"{math.hypot(180, 267):.1f} mm each" in words(tiles).replace("\n", " ")


def test_title_block_that_can_not_hold_all_is_refused(tmp_path):
    with pytest.raises(FileWriteError, match="title block"):
        write_sheet(
            tmp_path / "s.pdf", full_size(plate(120, 100)), replace(TITLE, reason=LONG * 30)
        )


def test_another_outline_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", full_size(plate(121, 100)), TITLE)
    with pytest.raises(FileWriteError, match=r"of CUT is not the one drawn: 0\.5"):
        prove_sheet(path, full_size(plate(120, 100)), TITLE)
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 101), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_tiles(tiles, plate(300, 100), TITLE, "A4", 10.0)


def test_damaged_file_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", full_size(plate(120, 100)), TITLE)
    path.write_bytes(path.read_bytes()[:400])
    with pytest.raises(FileWriteError):
        prove_sheet(path, full_size(plate(120, 100)), TITLE)


def test_dimensions_are_proved_with_the_reference_lines(tmp_path):
    row = Dimension((0, 0), (90, 0), (0, -20))
    drawing = replace(plate(120, 100), dimensions=(row,))
    path = write_sheet(tmp_path / "a.pdf", full_size(drawing), TITLE)
    prove_sheet(path, full_size(drawing), TITLE)
    assert "90.0" in words(path)
    other = replace(drawing, dimensions=(replace(row, b=(80, 0)),))
    with pytest.raises(FileWriteError, match="of DIM is not the one drawn"):
        prove_sheet(path, full_size(other), TITLE)
