"""Paper is proved too: the PDF is read back, its square measured, its outlines held to the drawing.

Lines are told apart by their width, which each layer has of its own.
"""

import math
from pathlib import Path
from typing import Any

from geomgen.drawings.record import CUT, Drawing
from geomgen.errors import FileWriteError
from geomgen.files.pdf_lines import CHECK_WIDTH, FRAME_WIDTH, MARGIN, SQUARE, STYLES
from geomgen.files.pdf_reading import Page, pages
from geomgen.files.pdf_sheet import layout
from geomgen.files.pdf_tiles import Grid, Tile, grid, lines_of, printed, runs_on

SAME = 0.2
SQUARE_NAME = "check square"
Box = tuple[float, float, float, float]


def prove_sheet(path: Path, drawing: Drawing, full_size: bool) -> None:
    """Read a sheet back: page size, check square, extent of all CUT lines; FileWriteError if not.

    Sizes hold within 0.2 mm.
    """
    made = layout(drawing, full_size)
    with pages(path) as document:
        if len(document) != 1:
            raise _failed(path, f"it has {len(document)} pages")
        page = document[0]
        _page_size(path, page, made.size)
        lines = [(stroke.width, stroke.box()) for stroke in page.strokes]
        if full_size:
            _square(path, lines)
        drawn = [path_.dense(0.1) for path_ in drawing.paths if path_.layer == CUT]
        if not drawn:
            return
        seen = _union(path, [box for width, box in lines if _is(width, CUT)])
        xs = [x for run in drawn for x, _ in run]
        ys = [y for run in drawn for _, y in run]
        (x0, y0), _ = drawing.box()
        scale, (cx, cy) = 1.0 / made.over, made.corner
        due = (
            cx + (min(xs) - x0) * scale,
            cy + (min(ys) - y0) * scale,
            cx + (max(xs) - x0) * scale,
            cy + (max(ys) - y0) * scale,
        )
        _alike(path, seen, due, "the cut outlines")


def prove_tiles(path: Path, drawing: Drawing, paper: str, overlap: float) -> None:
    """Read tiles back: number, page size, check square and bars, and the outlines joined again."""
    made = grid(drawing, paper, overlap)
    every = lines_of(drawing)
    tiles = printed(drawing, every, made)
    outlines = [line for layer, line in every if layer == CUT]
    with pages(path) as document:
        if len(document) != len(tiles) + 1:
            raise _failed(path, f"it has {len(document)} pages, not {len(tiles) + 1}")
        for number, page in enumerate(document):
            _page_size(path, page, made.paper)
            lines = [(stroke.width, stroke.box()) for stroke in page.strokes]
            if number == 0:
                _square(path, lines)
                continue
            _bars(path, lines)
            _joined(path, page, outlines, made, tiles[number - 1])


def _joined(path: Path, page: Page, outlines: list[Any], made: Grid, tile: Tile) -> None:
    """Hold the CUT lines of a tile, put back into the drawing, to the drawing's own lines."""
    from shapely import LineString, MultiLineString, distance, points

    due = [run for _, run in runs_on([(CUT, line) for line in outlines], made, tile)]
    seen = _runs(page, tile)
    if not due and not seen:
        return
    if not due or not seen:
        raise _failed(path, f"tile {tile.name} does not show the cut outlines that it should")
    every = [point for run in seen for point in run]
    off = float(distance(points(every), MultiLineString(outlines)).max())
    if off > SAME:
        raise _failed(path, f"the cut outlines on tile {tile.name} are {off:.2f} mm off")
    drawn, wanted = (sum(LineString(run).length for run in runs) for runs in (seen, due))
    if abs(drawn - wanted) > SAME:
        raise _failed(path, f"tile {tile.name} shows {drawn:.1f} mm of outline, not {wanted:.1f}")


def _runs(page: Page, tile: Tile) -> list[list[tuple[float, float]]]:
    """Return the points of every CUT line of a tile, in the drawing's own place [mm]."""
    dx, dy = tile.corner[0] - MARGIN, tile.corner[1] - MARGIN
    return [
        [(x + dx, y + dy) for x, y in stroke.points]
        for stroke in page.strokes
        if _is(stroke.width, CUT)
    ]


def _kind(width: float) -> str:
    """Return what a line of this width [mm] stands for: the nearest of the widths in use."""
    widths = {name: row[0] for name, row in STYLES.items()}
    widths |= {SQUARE_NAME: CHECK_WIDTH, "frame": FRAME_WIDTH}
    return min(widths, key=lambda name: abs(widths[name] - width))


def _is(width: float, kind: str) -> bool:
    return _kind(width) == kind


def _page_size(path: Path, page: Page, size: tuple[float, float]) -> None:
    width, height = page.width, page.height
    if abs(width - size[0]) > SAME or abs(height - size[1]) > SAME:
        raise _failed(
            path, f"its page is {width:.1f} x {height:.1f} mm, not {size[0]:.1f} x {size[1]:.1f}"
        )


def _square(path: Path, lines: list[tuple[float, Box]]) -> None:
    boxes = [box for width, box in lines if _is(width, SQUARE_NAME)]
    sides = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes]
    if len(sides) != 1:
        raise _failed(path, f"{len(sides)} check squares, not one")
    if max(abs(side - SQUARE) for side in sides[0]) > SAME:
        raise _failed(path, f"its square is {sides[0][0]:.2f} x {sides[0][1]:.2f} mm, not 100")


def _bars(path: Path, lines: list[tuple[float, Box]]) -> None:
    boxes = [box for width, box in lines if _is(width, SQUARE_NAME)]
    lengths = sorted(math.hypot(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes)
    if len(lengths) != 2 or max(abs(length - SQUARE) for length in lengths) > SAME:
        raise _failed(path, f"its bars are {lengths} mm, not 100 each")


def _union(path: Path, boxes: list[Box]) -> Box:
    if not boxes:
        raise _failed(path, "it holds no cut outline")
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _alike(path: Path, seen: Box, due: Box, what: str) -> None:
    worst = max(abs(a - b) for a, b in zip(seen, due, strict=True))
    if worst > SAME:
        raise _failed(path, f"{what} are {worst:.2f} mm off")


def _failed(path: Path, what: str) -> FileWriteError:
    return FileWriteError(
        f"proof failed: {what}",
        path=path.name,
        advice="this is a fault of the program: keep the parameter file and report it",
    )
