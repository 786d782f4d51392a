"""Paper is proved too: pages are read back, their squares measured, all held to what was drawn."""

from collections.abc import Sequence
from pathlib import Path

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.faults import Nearness, line_fault, text_fault
from geomgen.drafting.formats.pdf.reading import PrintedPage, pages
from geomgen.drafting.lettering import shown
from geomgen.drafting.paper.frame import MEASURED, PenGroup
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.sheet import SQUARE, Sheet
from geomgen.drafting.paper.tile_pages import EDGES, FINE, crosses, tile_pages
from geomgen.drafting.paper.tiling import CROSS, PAPERS, Tiling, grid
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Drawing, Point
from geomgen.files.disk import proof_failed

# What a page, a line or a text may be off, and the width of a line [mm of paper].
READ_TO, WIDTH = 0.05, 0.005
NEAR = Nearness(READ_TO, READ_TO, 0.1, chords=True)
# The square is found by its line on a page that was scaled as well: its width within this share.
ABOUT = 0.1


def prove_sheet(path: Path, sheet: Sheet, title: Title) -> None:
    """Read a page back from the disk and hold it to its sheet, line by line and text by text.

    FileWriteError if one is lost, or off by more than 0.05 mm of paper.
    """
    with pages(path) as document:
        if len(document) != 1:
            raise proof_failed(path, f"it has {len(document)} pages")
        if sheet.full_size:
            _square(path, document[0], MEASURED)
        _page(path, document[0], sheet.paper, on_paper(sheet, title))


def prove_tiles(path: Path, drawing: Drawing, title: Title, paper: str, overlap: float) -> None:
    """Read tiles back: number, page size, square, crosses, and all that stands on each.

    `overlap` [mm] is what neighbours share. FileWriteError if something is lost, or off by more
    than 0.05 mm of paper.
    """
    due = tile_pages(drawing, title, paper, overlap)
    made = grid(drawn_out(drawing), paper, overlap)
    with pages(path) as document:
        if len(document) != len(due):
            raise proof_failed(path, f"it has {len(document)} pages, not {len(due)}")
        for number, (page, groups) in enumerate(zip(document, due, strict=True)):
            _square(path, page, FINE if number else MEASURED)
            if number:
                _crosses(path, page, made)
            _page(path, page, PAPERS[paper], groups)


def _page(path: Path, page: PrintedPage, size: Point, groups: Sequence[PenGroup]) -> None:
    if max(abs(page.width - size[0]), abs(page.height - size[1])) > READ_TO:
        raise proof_failed(
            path,
            f"its page is {page.width:.1f} x {page.height:.1f} mm, "
            f"not {size[0]:.1f} x {size[1]:.1f}",
        )
    due = [(line, group) for group in groups for line in group.paths]
    lines = [stroke.line for stroke in page.strokes]
    labels = [label for group in groups for label in group.labels]
    fault = line_fault(lines, [line for line, _ in due], NEAR) or text_fault(
        page.texts, labels, NEAR, lambda words: shown(words).rstrip()
    )
    if fault:
        raise proof_failed(path, fault)
    for stroke, (line, group) in zip(page.strokes, due, strict=True):
        if abs(stroke.width - group.width) > WIDTH:
            raise proof_failed(
                path,
                f"line {line.name or '(no name)'} of {group.name} is {stroke.width:.2f} mm wide, "
                f"not {group.width:.2f}",
            )


def _square(path: Path, page: PrintedPage, width: float) -> None:
    """Measure the square of 100 mm on a page: one closed outline of its width, both sides."""
    lines = [s.line for s in page.strokes if abs(s.width - width) <= ABOUT * width]
    sides = [_size(line.points) for line in lines if line.closed]
    if len(sides) != 1:
        raise proof_failed(path, f"{len(sides)} check squares on a page, not one")
    if max(abs(side - SQUARE) for side in sides[0]) > READ_TO:
        raise proof_failed(path, f"its square is {sides[0][0]:.2f} x {sides[0][1]:.2f} mm, not 100")


def _size(points: Sequence[Point]) -> Point:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs), max(ys) - min(ys)


def _crosses(path: Path, page: PrintedPage, made: Tiling) -> None:
    """Find every cross, both its lines, where the neighbour's will be laid on it."""
    lines = [s.line.points for s in page.strokes if abs(s.width - EDGES) <= WIDTH]
    for x, y in crosses(made):
        for dx, dy in ((CROSS, 0.0), (0.0, CROSS)):
            ends = (x - dx, y - dy, x + dx, y + dy)
            if not any(_is_line(run, ends) for run in lines):
                raise proof_failed(path, f"a tile has no cross at {x:.1f}, {y:.1f} mm")


def _is_line(run: Sequence[Point], ends: tuple[float, ...]) -> bool:
    seen = [coordinate for point in run for coordinate in point]
    return len(seen) == 4 and max(abs(a - b) for a, b in zip(seen, ends, strict=True)) <= READ_TO
