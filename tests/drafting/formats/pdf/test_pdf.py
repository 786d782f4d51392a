"""Paper read back: sizes, squares, outlines; a print that was scaled, moved or lost is caught.

Sheet sizes from ISO 216, scales from ISO 5455.
"""

import math
from dataclasses import replace

import pdfplumber
import pytest
import shapely
from shapely import box

from geomgen.drafting.formats.pdf import lines, shop_sheet
from geomgen.drafting.formats.pdf import tiles as pdf_tiles
from geomgen.drafting.formats.pdf.lines import text_box
from geomgen.drafting.formats.pdf.shop_proof import prove_sheet, prove_tiles
from geomgen.drafting.formats.pdf.shop_sheet import CLEAR, MARGIN, ROLLS, STRIP, layout, write_sheet
from geomgen.drafting.formats.pdf.tiles import write_tiles
from geomgen.drafting.formats.pdf.tiling import diagonals, grid, lines_of, printed
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import (
    CAP,
    REF,
    Dimension,
    Drawing,
    Label,
    Path,
    circle,
    line,
    rectangle,
)
from geomgen.errors import FileWriteError

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
    [
        (120, 100, "A4"),
        (250, 150, "A3"),
        (380, 400, "A2"),
        (780, 400, "A1"),
        (700, 500, "762 mm roll"),
        (2000, 900, "1067 mm roll"),
        (2000, 1200, "one"),
    ],
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


@pytest.mark.parametrize(
    ("width", "height"), [(562, 763), (672, 97), (610, 800), (900, 300), (700, 500), (1100, 650)]
)
def test_paper_is_not_empty_for_the_most_part(width, height):
    """A template just over A1 takes a length off a roll; a sheet is kept where it is well filled.

    Nothing smaller among the sheets of ISO 216 and the rolls would do: tried one by one.
    """
    made = layout(plate(width, height), True)
    need = (width + 2 * CLEAR + 2 * MARGIN, height + 2 * CLEAR + STRIP + 2 * MARGIN)
    assert made.size[0] >= need[0]
    assert made.size[1] >= need[1]
    area = made.size[0] * made.size[1]
    assert need[0] * need[1] >= 0.6 * area
    if "roll" in made.name:
        assert min(made.size[0] % 10, made.size[1] % 10) < 1e-9
        for roll in ROLLS:
            for short, long in (need, need[::-1]):
                assert roll < short or roll * long >= area - 10.0 * roll


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
    # Closed form: Pythagoras over the steps of the grid.
    long = math.hypot(made.columns * made.step[0], made.rows * made.step[1])
    assert f"{long:.1f} mm each" in words(path).replace("\n", " ")
    assert made.columns * made.step[0] >= 500 - 10
    assert "A1" in words(path)


def test_empty_tiles_are_not_printed(tmp_path):
    hollow = Drawing("frame", (rectangle((0, 0), (900, 1200)),))
    made = grid(hollow, "A4", 10.0)
    assert len(printed(hollow, lines_of(hollow), made)) < made.rows * made.columns
    path = write_tiles(tmp_path / "t.pdf", hollow, TITLE, "A4", 10.0)
    prove_tiles(path, hollow, "A4", 10.0)
    assert "left out" in words(path)


def test_tiles_with_nothing_but_the_grid_are_left_out(tmp_path):
    # A square of 600 mm in the lower left, a hole far off, and the grid that runs on past both.
    grid_lines = [line((0, y), (3000, y), REF, f"WL {y}") for y in range(0, 3000, 100)]
    tags = [Label((1400, y + 2), f"WL {y}") for y in range(0, 3000, 100)]
    outlines = (rectangle((0, 0), (600, 600)), circle((1500, 1500), 5.0))
    drawing = Drawing("d", (*outlines, *grid_lines), tuple(tags))
    made = grid(drawing, "A4", 10.0)
    kept = printed(drawing, lines_of(drawing), made)
    with_square = [t for t in made.tiles() if made.box(t).intersects(lines_of(drawing)[0][1])]
    # The grid alone asks for no paper: 1505 mm are nine columns of 180 mm, six rows of 267.
    assert (made.rows, made.columns) == (6, 9)
    assert 1 < len(kept) <= len(with_square) + 1 < made.rows * made.columns
    # What is to be cut is all there.
    shown = shapely.union_all([made.box(tile) for tile in kept])
    assert all(shown.covers(run) for _, run in lines_of(drawing)[:2])
    path = write_tiles(tmp_path / "t.pdf", drawing, TITLE, "A4", 10.0)
    prove_tiles(path, drawing, "A4", 10.0)
    note = f"{made.rows * made.columns - len(kept)} left out, which hold nothing to cut"
    assert note in words(path).replace("\n", " ")
    # A word that is no name of the grid is read somewhere, and so is a line of no grid.
    for more in (Label((1300, 1250), "TURN OVER"), line((1300, 1250), (1340, 1250), REF, "up")):
        labels = (*tags, more) if isinstance(more, Label) else tuple(tags)
        paths = drawing.paths if isinstance(more, Label) else (*drawing.paths, more)
        other = replace(drawing, paths=paths, labels=labels)
        assert len(printed(other, lines_of(other), made)) == len(kept) + 1


def test_a_tile_is_not_printed_for_the_strip_that_its_neighbour_repeats():
    made = grid(Drawing("d", (rectangle((0, 0), (500, 100)),)), "A4", 10.0)
    first, second, *_ = made.tiles()
    # A stroke in the 10 mm which both tiles show.
    x, y = second.corner[0] + 5.0, second.corner[1] + 50.0
    stroke = Drawing("d", (line((x, y), (x + 2.0, y)),))
    both = [t for t in made.tiles() if made.box(t).intersects(lines_of(stroke)[0][1])]
    assert both == [first, second]
    assert printed(stroke, lines_of(stroke), made) == [second]


def test_same_bytes(tmp_path):
    one = write_tiles(tmp_path / "1.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes()
    assert write_tiles(tmp_path / "2.pdf", plate(300, 100), TITLE, "A4", 10.0).read_bytes() == one
    first = write_sheet(tmp_path / "3.pdf", plate(300, 100), TITLE).read_bytes()
    assert write_sheet(tmp_path / "4.pdf", plate(300, 100), TITLE).read_bytes() == first


def shrunk(monkeypatch, module):
    """Print everything at 97 %, as a printer that fits to the page does."""
    real = lines.new_canvas

    def canvas(title, size):
        made, buffer = real(title, size)
        made.scale(0.97, 0.97)
        return made, buffer

    monkeypatch.setattr(module, "new_canvas", canvas)


def test_scaled_sheet_is_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch, shop_sheet)
    path = write_sheet(tmp_path / "a.pdf", plate(120, 100), TITLE)
    with pytest.raises(FileWriteError, match=r"square is 97\.00"):
        prove_sheet(path, plate(120, 100), True)


def test_scaled_tiles_are_caught(tmp_path, monkeypatch):
    shrunk(monkeypatch, pdf_tiles)
    path = write_tiles(tmp_path / "t.pdf", plate(120, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="square"):
        prove_tiles(path, plate(120, 100), "A4", 10.0)


def test_tiles_scaled_behind_a_true_index_are_caught(tmp_path, monkeypatch):
    real = pdf_tiles._tile

    def smaller(canvas, *rest):
        canvas.scale(0.97, 0.97)
        real(canvas, *rest)

    monkeypatch.setattr(pdf_tiles, "_tile", smaller)
    path = write_tiles(tmp_path / "t.pdf", plate(120, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match=r"square is 97\.00"):
        prove_tiles(path, plate(120, 100), "A4", 10.0)


def test_another_reader_finds_a_square_of_100_mm_on_every_page(tmp_path):
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 100), TITLE, "A4", 10.0)
    sheet = write_sheet(tmp_path / "s.pdf", plate(300, 100), TITLE)
    for path in (tiles, sheet):
        with pdfplumber.open(path) as document:
            for page in document.pages:
                sides = [(r["width"] / MM, r["height"] / MM) for r in page.rects]
                assert sum(s == pytest.approx((100, 100), abs=0.05) for s in sides) == 1
                assert "100 mm" in page.extract_text()
                assert "print at 100 %" in page.extract_text()


def test_misplaced_crosses_are_caught(tmp_path, monkeypatch):
    real = pdf_tiles._crosses
    monkeypatch.setattr(
        pdf_tiles, "_crosses", lambda c, made: real(c, replace(made, step=(175.0, made.step[1])))
    )
    path = write_tiles(tmp_path / "t.pdf", plate(300, 100), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="no cross at 190"):
        prove_tiles(path, plate(300, 100), "A4", 10.0)


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
        prove_sheet(write_sheet(tmp_path / "s.pdf", wrong, TITLE), right, True)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_tiles(write_tiles(tmp_path / "t.pdf", wrong, TITLE, "A4", 10.0), right, "A4", 10.0)


LONG = "the mould maker has agreed by letter to pull the part with a flexible mould; " * 3


@pytest.mark.parametrize("full_size", [True, False])
def test_nothing_is_dropped_from_a_full_title_block(tmp_path, full_size):
    title = replace(TITLE, reason=LONG, note="kerf 1.2 mm", part="tail_fairing_left_" * 4)
    drawing = replace(plate(120, 100), notes=("washout positive: tip nose-down",))
    path = write_sheet(tmp_path / "s.pdf", drawing, title, full_size)
    tiles = write_tiles(tmp_path / "t.pdf", drawing, title, "A4", 10.0)
    for file in (path, tiles):
        with pdfplumber.open(file) as document:
            page = document.pages[0]
            text = " ".join(page.extract_text().split())
            assert all(c["x0"] > 0 and c["x1"] < page.width for c in page.chars)
        for expected in ("licensed practice come first.", "kerf 1.2 mm", "nose-down", "revision B"):
            assert expected in text
    # Closed form: the diagonal of one tile's step on A4 with margins and overlap of 10 mm.
    assert f"{math.hypot(180, 267):.1f} mm each" in words(tiles).replace("\n", " ")


def test_title_block_that_can_not_hold_all_is_refused(tmp_path):
    with pytest.raises(FileWriteError, match="title block"):
        write_sheet(tmp_path / "s.pdf", plate(120, 100), replace(TITLE, reason=LONG * 30))


def test_diagonals_run_between_crosses_that_are_printed():
    made = grid(Drawing("d", (rectangle((0, 0), (500, 700)),)), "A4", 10.0)
    every = list(made.tiles())
    assert (made.rows, made.columns) == (3, 3)
    assert diagonals(made, every).length == pytest.approx(math.hypot(3 * 180, 3 * 267))
    left = [tile for tile in every if tile.name != "C3"]
    # Closed form: without the upper right corner the largest rectangle is 2 columns by 3 rows.
    assert diagonals(made, left).length == pytest.approx(math.hypot(2 * 180, 3 * 267))
    assert "C3" not in diagonals(made, left).words()


def test_text_stays_on_the_sheet_and_runs_on_to_the_next_tile(tmp_path):
    tag = Label((150, 50), "a text that begins inside and runs out of the outline far away", 5.0)
    drawing = Drawing("d", (rectangle((0, 0), (160, 100)),), (tag, Label((5, 2), "under", 4, -90)))
    path = write_sheet(tmp_path / "s.pdf", drawing, TITLE)
    prove_sheet(path, drawing, True)
    with pdfplumber.open(path) as document:
        page = document.pages[0]
        assert max(c["x1"] for c in page.chars) < page.width - 10 * MM
        assert "far away" in page.extract_text()
    made = grid(drawing, "A4", 10.0)
    assert made.columns == 2
    # The second tile shows nothing but text, and is printed for it.
    ring = [run for _, run in lines_of(drawing)]
    assert not made.box(list(made.tiles())[1]).intersects(ring[0])
    assert len(printed(drawing, lines_of(drawing), made)) == 2


def test_text_box_turns_with_the_text():
    flat, upright = (text_box(Label((10, 20), "WL 820", 6.0, angle)) for angle in (0, 90))
    assert flat[2] - flat[0] == pytest.approx(upright[3] - upright[1])
    assert upright[0] == pytest.approx(10 - 6.0)
    middle = text_box(Label((10, 20), "WL 820", 6.0, 0, "middle"))
    assert box(*middle).centroid.x == pytest.approx(10)


def test_page_longer_than_readers_take_is_refused(tmp_path):
    with pytest.raises(FileWriteError, match="readers take 5080"):
        write_sheet(tmp_path / "s.pdf", plate(5200, 100), TITLE)
    with pytest.raises(FileWriteError, match="nothing on the drawing"):
        write_tiles(tmp_path / "t.pdf", Drawing("empty"), TITLE, "A4", 10.0)


def test_another_outline_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", plate(121, 100), TITLE)
    with pytest.raises(FileWriteError, match=r"121\.00 x 100\.00 mm, not 120\.00"):
        prove_sheet(path, plate(120, 100), True)
    tiles = write_tiles(tmp_path / "t.pdf", plate(300, 101), TITLE, "A4", 10.0)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_tiles(tiles, plate(300, 100), "A4", 10.0)


def test_damaged_file_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", plate(120, 100), TITLE)
    path.write_bytes(path.read_bytes()[:400])
    with pytest.raises(FileWriteError):
        prove_sheet(path, plate(120, 100), True)


def test_lines_of_views_are_not_proved_as_a_shop_s(tmp_path):
    drawing = plate(120, 100)
    drawing = replace(drawing, paths=(*drawing.paths, line((0, 0), (9, 9), "VISIBLE")))
    path = write_sheet(tmp_path / "a.pdf", drawing, TITLE)
    with pytest.raises(FileWriteError, match="as a drawing of views"):
        prove_sheet(path, drawing, True)


def test_dimensions_are_proved_with_the_reference_lines(tmp_path):
    row = Dimension((0, 0), (90, 0), (0, -20))
    drawing = replace(plate(120, 100), dimensions=(row,))
    path = write_sheet(tmp_path / "a.pdf", drawing, TITLE)
    prove_sheet(path, drawing, True)
    assert "90.0" in words(path)
    other = replace(drawing, dimensions=(replace(row, b=(80, 0)),))
    with pytest.raises(FileWriteError, match="layer REF"):
        prove_sheet(path, other, True)
