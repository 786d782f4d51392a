"""A drawing in tiles: what is printed, what is left out, what the first page says."""

import math
from dataclasses import replace

import pdfplumber
import pytest
import shapely
from drafting.plates import TITLE, plate, words

from geomgen.drafting.formats.pdf.pages import write_sheet, write_tiles
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet, prove_tiles
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.tiling import grid, lines_of, printed
from geomgen.drafting.record import (
    REF,
    Drawing,
    Label,
    circle,
    line,
    rectangle,
)
from geomgen.errors import FileWriteError

MM = 72 / 25.4


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_tiles_join_to_the_drawing(tmp_path, paper):
    drawing = plate(500, 380)
    path = write_tiles(tmp_path / "t.pdf", drawing, TITLE, paper, 10.0)
    prove_tiles(path, drawing, TITLE, paper, 10.0)
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
    prove_tiles(path, hollow, TITLE, "A4", 10.0)
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
    prove_tiles(path, drawing, TITLE, "A4", 10.0)
    note = f"{made.rows * made.columns - len(kept)} left out, which hold nothing to cut"
    assert note in words(path).replace("\n", " ")
    # A word that is no name of the grid is read somewhere, and so is a line of no grid.
    for more in (Label((1300, 1250), "TURN OVER"), line((1300, 1250), (1340, 1250), REF, "up")):
        labels = (*tags, more) if isinstance(more, Label) else tuple(tags)
        paths = drawing.paths if isinstance(more, Label) else (*drawing.paths, more)
        other = replace(drawing, paths=paths, labels=labels)
        assert len(printed(other, lines_of(other), made)) == len(kept) + 1


def test_text_stays_on_the_sheet_and_runs_on_to_the_next_tile(tmp_path):
    tag = Label((150, 50), "a text that begins inside and runs out of the outline far away", 5.0)
    drawing = Drawing("d", (rectangle((0, 0), (160, 100)),), (tag, Label((5, 2), "under", 4, -90)))
    path = write_sheet(tmp_path / "s.pdf", full_size(drawing), TITLE)
    prove_sheet(path, full_size(drawing), TITLE)
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


def test_nothing_to_tile_is_refused(tmp_path):
    with pytest.raises(FileWriteError, match="nothing on the drawing"):
        write_tiles(tmp_path / "t.pdf", Drawing("empty"), TITLE, "A4", 10.0)
