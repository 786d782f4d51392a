"""A full-size drawing in tiles for a plain printer, with what is needed to join them truly.

The first page shows which tile goes where, the check square and the two diagonals to measure once
the tiles are taped. Every tile has the check square too, finely dotted so that nobody cuts it.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.formats.pdf.lines import (
    BOLD,
    FINE_WIDTH,
    FRAME_WIDTH,
    MARGIN,
    MM,
    SQUARE,
    STYLES,
    check_square,
    draw,
    narrowed,
    new_canvas,
    save,
    stroke,
    style,
    text,
    text_box,
    width_of,
)
from geomgen.drafting.formats.pdf.tiling import (
    CROSS,
    Grid,
    Lines,
    Tile,
    diagonals,
    grid,
    lines_of,
    name_of,
    printed,
    runs_on,
    without_grid,
)
from geomgen.drafting.formats.pdf.title_block import title_block
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import Drawing, Point
from geomgen.errors import FileWriteError

# How light the places of tiles that are left out are on the first page.
LEFT_OUT = 0.85
# Letters [mm] of a release's reason on a tile, where there is room for them.
WARNED = 2.3


def write_tiles(path: Path, drawing: Drawing, title: Title, paper: str, overlap: float) -> Path:
    """Write the tiles of a drawing [mm] on A4 or Letter; FileWriteError when that fails."""
    drawing = drawn_out(drawing)
    made = grid(drawing, paper, overlap)
    lines = lines_of(drawing)
    tiles = printed(drawing, lines, made)
    if not tiles:
        raise FileWriteError("there is nothing on the drawing", path=path.name)
    canvas, buffer = new_canvas(title, made.paper)
    _index(canvas, drawing, title, made, tiles)
    names = {tile.name for tile in tiles}
    for tile in tiles:
        _tile(canvas, drawing, lines, made, tile)
        _margin_text(canvas, title, made, tile, names)
        canvas.showPage()
    return save(canvas, buffer, path)


def _index(c: Any, drawing: Drawing, title: Title, made: Grid, tiles: list[Tile]) -> None:
    """Draw the first page: title, check square, the tiles' places, the diagonals."""
    width, height = made.paper
    check_square(c, (MARGIN, MARGIN + 2.0))
    title_block(
        c,
        title,
        (*_joining(made, tiles), *drawing.notes),
        (MARGIN + SQUARE + 4.0, MARGIN + 2.0),
        (width - MARGIN, MARGIN + 2.0 + SQUARE),
    )
    low = MARGIN + SQUARE + 10.0
    room = (width - 2 * MARGIN, height - MARGIN - 8.0 - low)
    reach = (made.columns * made.step[0], made.rows * made.step[1])
    scale = min(room[0] / reach[0], room[1] / reach[1])
    text(c, (MARGIN, height - MARGIN - 4.0), "Which tile goes where", 4.0, font=BOLD)

    def place(point: Point) -> Point:
        x = MARGIN + (point[0] - made.start[0]) * scale
        return (x, low + (point[1] - made.start[1]) * scale)

    style(c, FRAME_WIDTH)
    names = {tile.name for tile in tiles}
    w, h = made.step[0] * scale, made.step[1] * scale
    for tile in made.tiles():
        x, y = place(tile.corner)
        c.setFillGray(1.0 if tile.name in names else LEFT_OUT)
        c.rect(x * MM, y * MM, w * MM, h * MM, stroke=1, fill=1)
    c.setFillGray(0)
    for path in without_grid(drawing).paths:
        stroke(c, [place(point) for point in path.dense(0.1 / scale)])
    for tile in made.tiles():
        x, y = place(tile.corner)
        words = tile.name if tile.name in names else f"{tile.name} left out"
        _name_on(c, (x + w / 2, y + h / 2), words, w)
    c.showPage()


def _name_on(canvas: Any, at: Point, words: str, width: float) -> None:
    """Write a tile's name on white, so that no line runs through it."""
    size = narrowed(words, 4.0, 0.7 * width, BOLD)
    half = width_of(words, size, BOLD) / 2 + 0.3 * size
    canvas.setFillGray(1)
    canvas.rect(
        (at[0] - half) * MM, (at[1] - size * 0.4) * MM, 2 * half * MM, 1.8 * size * MM, 0, 1
    )
    canvas.setFillGray(0)
    text(canvas, at, words, size, anchor="middle", font=BOLD)


def _joining(made: Grid, tiles: Sequence[Tile]) -> tuple[str, ...]:
    whole = f"{made.rows} by {made.columns} places: row A is the lowest, column 1 the left one"
    out = made.rows * made.columns - len(tiles)
    less = f"; {out} left out, which hold nothing to cut or to read" if out else ""
    return (
        f"tiles printed: {len(tiles)}, of {whole}{less}",
        "Print at 100 %. Measure the dotted square of 100 mm on each tile. Cut the left and lower "
        "border off, lay cross on cross, tape.",
        f"Then measure both diagonals {diagonals(made, tiles).words()}. If they differ, the sheet "
        "is not square.",
    )


def _tile(c: Any, drawing: Drawing, lines: Lines, made: Grid, tile: Tile) -> None:
    from shapely import box, intersects

    (x0, y0), (w, h) = tile.corner, made.net

    def place(point: Point) -> Point:
        return (MARGIN + point[0] - x0, MARGIN + point[1] - y0)

    shown = made.box(tile)
    near = tuple(t for t in drawing.labels if intersects(shown, box(*text_box(t))))
    c.saveState()
    clip = c.beginPath()
    clip.rect(MARGIN * MM, MARGIN * MM, w * MM, h * MM)
    c.clipPath(clip, stroke=0, fill=0)
    draw(c, Drawing(drawing.name, (), near), place)
    c.restoreState()
    c.setStrokeGray(0)
    for layer, points in runs_on(lines, made, tile):
        style(c, *STYLES[layer])
        stroke(c, [place(point) for point in points])
    style(c, FRAME_WIDTH, (1.0, 1.0))
    c.rect(MARGIN * MM, MARGIN * MM, w * MM, h * MM, stroke=1, fill=0)
    style(c, FINE_WIDTH, (0.3, 1.7))
    c.rect(MARGIN * MM, MARGIN * MM, SQUARE * MM, SQUARE * MM, stroke=1, fill=0)
    _crosses(c, made)
    _overlap_marks(c, made, tile)


def crosses(made: Grid) -> list[Point]:
    """Return where the crosses stand on a tile [mm]: the corners of the step."""
    return [
        (x, y) for x in (MARGIN, MARGIN + made.step[0]) for y in (MARGIN, MARGIN + made.step[1])
    ]


def _crosses(c: Any, made: Grid) -> None:
    """Draw the crosses on which neighbouring tiles are laid."""
    style(c, FRAME_WIDTH)
    for x, y in crosses(made):
        c.line((x - CROSS) * MM, y * MM, (x + CROSS) * MM, y * MM)
        c.line(x * MM, (y - CROSS) * MM, x * MM, (y + CROSS) * MM)


def _overlap_marks(c: Any, made: Grid, tile: Tile) -> None:
    """Draw ticks outside the border where the neighbours' borders will lie."""
    style(c, FRAME_WIDTH)
    right, top = MARGIN + made.net[0], MARGIN + made.net[1]
    if tile.column + 1 < made.columns:
        x = MARGIN + made.step[0]
        c.line(x * MM, top * MM, x * MM, (top + 3.0) * MM)
    if tile.row + 1 < made.rows:
        y = MARGIN + made.step[1]
        c.line(right * MM, y * MM, (right + 3.0) * MM, y * MM)


def _margin_text(c: Any, title: Title, made: Grid, tile: Tile, names: set[str]) -> None:
    """Write into the margins what tile this is, its neighbours and what the square is for."""
    width, height = made.paper
    text(c, (MARGIN, height - 8.5), tile.name, 3.5, font=BOLD)
    left, right = MARGIN + 14.0, width - MARGIN
    if title.reason:
        warning, room = f"{RELEASED}: {title.reason}", right - left
        high = min(WARNED, WARNED * room / width_of(warning, WARNED, BOLD))
        c.setFillColorRGB(0.75, 0, 0)
        text(c, (right, height - 5.5), warning, high, 0, "end", BOLD)
        c.setFillGray(0)
    hand = f", {title.hand.upper()} HAND" if title.hand else ""
    words = f"{title.part}{hand}, revision {title.revision}"
    at = height - (8.7 if title.reason else 8.0)
    # A tick of the overlap stands right of the words.
    room = made.step[0] + MARGIN - left - 2.0
    text(c, (left, at), words, narrowed(words, 2.3, room))
    square = "dotted square: 100 mm, print at 100 %"
    text(c, (MARGIN + 6.0, 5.5), square, 2.2)
    beside = "; ".join(_neighbours(made, tile, names))
    start = MARGIN + 6.0 + width_of(square, 2.2) + 6.0
    end = MARGIN + made.step[0] - 6.0
    text(c, (end, 5.5), beside, narrowed(beside, 2.2, end - start), 0, "end")


def _neighbours(made: Grid, tile: Tile, names: set[str]) -> list[str]:
    around = {"left": (0, -1), "right": (0, 1), "below": (-1, 0), "above": (1, 0)}
    found = []
    for word, (up, aside) in around.items():
        row, column = tile.row + up, tile.column + aside
        if 0 <= row < made.rows and 0 <= column < made.columns:
            name = name_of(row, column)
            found.append(f"{word} {name if name in names else name + ' (left out)'}")
    return found
