"""A full-size drawing in tiles for a plain printer, with what is needed to join them truly.

The first page shows which tile goes where, the check square and the two diagonals to measure once
the tiles are taped. On every tile two bars of 100 mm stand in its margins.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.drawings.record import Drawing, Point
from geomgen.drawings.title import Title
from geomgen.errors import FileWriteError
from geomgen.files.pdf_lines import (
    BOLD,
    CHECK_WIDTH,
    FRAME_WIDTH,
    MARGIN,
    MM,
    SAGITTA,
    SQUARE,
    STYLES,
    check_square,
    draw,
    new_canvas,
    save,
    stroke,
    style,
    text,
    title_block,
)

PAPERS: dict[str, Point] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
CROSS = 4.0
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Tile:
    """One tile: row and column from the lower left, its low corner in the drawing [mm]."""

    row: int
    column: int
    corner: Point

    @property
    def name(self) -> str:
        """Return its name: a letter for the row, a number for the column."""
        return f"{LETTERS[self.row]}{self.column + 1}"


@dataclass(frozen=True)
class Grid:
    """How a drawing is cut into tiles [mm]: net size, step from one to the next, rows, columns."""

    paper: Point
    net: Point
    step: Point
    rows: int
    columns: int
    start: Point

    def tiles(self) -> Iterator[Tile]:
        """Yield all tiles, row by row from below."""
        for row in range(self.rows):
            for column in range(self.columns):
                corner = (
                    self.start[0] + column * self.step[0],
                    self.start[1] + row * self.step[1],
                )
                yield Tile(row, column, corner)


def grid(drawing: Drawing, paper: str, overlap: float) -> Grid:
    """Return the tiling of a drawing; FileWriteError when it would take more than 26 rows."""
    size = PAPERS[paper]
    net = (size[0] - 2 * MARGIN, size[1] - 2 * MARGIN)
    step = (net[0] - overlap, net[1] - overlap)
    (x0, y0), (x1, y1) = drawing.box()
    columns = max(1, math.ceil((x1 - x0 + CROSS - overlap) / step[0]))
    rows = max(1, math.ceil((y1 - y0 + CROSS - overlap) / step[1]))
    if rows > len(LETTERS):
        raise FileWriteError(
            f"it is too large for tiles: {rows} rows",
            path=drawing.name,
            advice="use the large sheet",
        )
    reach = (columns * step[0] + overlap, rows * step[1] + overlap)
    start = ((x0 + x1 - reach[0]) / 2, (y0 + y1 - reach[1]) / 2)
    return Grid(size, net, step, rows, columns, start)


Lines = list[tuple[str, Any]]


def lines_of(drawing: Drawing) -> Lines:
    """Return the layer of each path and the path as a line of the geometry library."""
    from shapely import LineString

    return [
        (path.layer, LineString(path.dense(SAGITTA)))
        for path in drawing.paths
        if len(path.points) > 1
    ]


def runs_on(lines: Lines, made: Grid, tile: Tile) -> list[tuple[str, list[Point]]]:
    """Return layer and points [mm in the drawing] of each line as far as a tile shows it."""
    from shapely import box, intersection

    (x, y), (w, h) = tile.corner, made.net
    shown = intersection([line for _, line in lines], box(x, y, x + w, y + h))
    found: list[tuple[str, list[Point]]] = []
    for (layer, _), piece in zip(lines, shown, strict=True):
        for part in getattr(piece, "geoms", [piece]):
            if part.geom_type == "LineString" and part.length > 0:
                found.append((layer, [(float(px), float(py)) for px, py in part.coords]))
    return found


def printed(drawing: Drawing, lines: Lines, made: Grid) -> list[Tile]:
    """Return the tiles that hold a line or the foot of a text."""
    from shapely import box, intersects

    shapes = [line for _, line in lines]
    found = []
    for tile in made.tiles():
        (x, y), (w, h) = tile.corner, made.net
        holds_text = any(
            x <= label.at[0] <= x + w and y <= label.at[1] <= y + h for label in drawing.labels
        )
        if holds_text or intersects(shapes, box(x, y, x + w, y + h)).any():
            found.append(tile)
    return found


def write_tiles(path: Path, drawing: Drawing, title: Title, paper: str, overlap: float) -> Path:
    """Write the tiles of a drawing [mm] on A4 or Letter; FileWriteError when that fails."""
    made = grid(drawing, paper, overlap)
    lines = lines_of(drawing)
    tiles = printed(drawing, lines, made)
    canvas, buffer = new_canvas(title, made.paper)
    _index(canvas, drawing, title, made, tiles)
    names = {tile.name for tile in tiles}
    for tile in tiles:
        _tile(canvas, drawing, lines, title, made, tile, names)
    return save(canvas, buffer, path)


def _index(c: Any, drawing: Drawing, title: Title, made: Grid, tiles: list[Tile]) -> None:
    """Draw the first page: title, check square, the tiles' places, the diagonals."""
    width, height = made.paper
    check_square(c, (MARGIN, MARGIN + 2.0))
    title_block(
        c,
        title,
        _joining(made, tiles),
        (MARGIN + SQUARE + 4.0, MARGIN + 2.0),
        (width - MARGIN, MARGIN + 2.0 + SQUARE),
    )
    low = MARGIN + SQUARE + 14.0
    room = (width - 2 * MARGIN, height - MARGIN - 8.0 - low)
    reach = (made.columns * made.step[0], made.rows * made.step[1])
    scale = min(room[0] / reach[0], room[1] / reach[1])
    text(c, (MARGIN, height - MARGIN - 4.0), "Which tile goes where", 4.0, font=BOLD)

    def place(point: Point) -> Point:
        x = MARGIN + (point[0] - made.start[0]) * scale
        return (x, low + (point[1] - made.start[1]) * scale)

    style(c, FRAME_WIDTH)
    names = {tile.name for tile in tiles}
    for path in drawing.paths:
        stroke(c, [place(point) for point in path.dense(0.1 / scale)])
    for tile in made.tiles():
        x, y = place(tile.corner)
        w, h = made.step[0] * scale, made.step[1] * scale
        c.rect(x * MM, y * MM, w * MM, h * MM, stroke=1, fill=0)
        _name_on(c, (x + w / 2, y + h / 2), tile.name if tile.name in names else "empty", w)
    c.showPage()


def _name_on(canvas: Any, at: Point, words: str, width: float) -> None:
    """Write a tile's name on white, so that no line runs through it."""
    size = min(4.0, 0.12 * width)
    half = size * (0.5 * len(words) + 0.4)
    canvas.setFillGray(1)
    canvas.rect(
        (at[0] - half) * MM, (at[1] - size * 0.4) * MM, 2 * half * MM, 1.8 * size * MM, 0, 1
    )
    canvas.setFillGray(0)
    text(canvas, at, words, size, anchor="middle", font=BOLD)


def diagonal(made: Grid) -> float:
    """Return the distance [mm] between opposite outer crosses of the joined tiles."""
    return math.hypot(made.columns * made.step[0], made.rows * made.step[1])


def _joining(made: Grid, tiles: list[Tile]) -> tuple[str, ...]:
    return (
        f"{len(tiles)} tiles, {made.rows} rows (A from below) and {made.columns} columns",
        "Print at 100 %. Lay cross on cross, tape, then measure both diagonals between the outer "
        f"crosses: {diagonal(made):.1f} mm each. If they differ, the sheet is not square.",
    )


def _tile(
    c: Any,
    drawing: Drawing,
    lines: Lines,
    title: Title,
    made: Grid,
    tile: Tile,
    names: set[str],
) -> None:
    (x0, y0), (w, h) = tile.corner, made.net

    def place(point: Point) -> Point:
        return (MARGIN + point[0] - x0, MARGIN + point[1] - y0)

    # A text may reach into a tile from a foot outside of it.
    reach = 120.0
    near = tuple(
        label
        for label in drawing.labels
        if x0 - reach <= label.at[0] <= x0 + w + reach
        and y0 - reach <= label.at[1] <= y0 + h + reach
    )
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
    _crosses(c, made)
    _bars(c)
    _margin_text(c, title, made, tile, names)
    c.showPage()


def _crosses(c: Any, made: Grid) -> None:
    """Draw the crosses on which neighbouring tiles are laid: the corners of the step."""
    style(c, FRAME_WIDTH)
    for x in (MARGIN, MARGIN + made.step[0]):
        for y in (MARGIN, MARGIN + made.step[1]):
            c.line((x - CROSS) * MM, y * MM, (x + CROSS) * MM, y * MM)
            c.line(x * MM, (y - CROSS) * MM, x * MM, (y + CROSS) * MM)


def _bars(c: Any) -> None:
    """Draw the two sides of the check square in the margins, 100 mm each."""
    style(c, CHECK_WIDTH)
    near, start = 3.0, MARGIN + 8.0
    c.line(start * MM, near * MM, (start + SQUARE) * MM, near * MM)
    c.line(near * MM, start * MM, near * MM, (start + SQUARE) * MM)
    text(c, (start + SQUARE + 2.0, near - 1.0), "100 mm", 2.2)
    text(c, (near + 1.0, start + SQUARE + 2.0), "100 mm", 2.2, 90.0)


def _margin_text(c: Any, title: Title, made: Grid, tile: Tile, names: set[str]) -> None:
    width, height = made.paper
    text(c, (MARGIN, height - 6.5), tile.name, 4.0, font=BOLD)
    hand = f", {title.hand}" if title.hand else ""
    words = f"{title.part}{hand}, revision {title.revision}, print at 100 %"
    text(c, (MARGIN + 14.0, height - 6.0), words, 2.5)
    if title.reason:
        c.setFillColorRGB(0.75, 0, 0)
        text(c, (width - MARGIN, height - 6.0), "CHECK FAILED, SEE INDEX", 2.5, 0, "end", BOLD)
        c.setFillGray(0)
    around = {"left": (0, -1), "right": (0, 1), "below": (-1, 0), "above": (1, 0)}
    beside = []
    for word, (up, aside) in around.items():
        row, column = tile.row + up, tile.column + aside
        if 0 <= row < made.rows and 0 <= column < made.columns:
            name = Tile(row, column, (0.0, 0.0)).name
            beside.append(f"{word} {name if name in names else name + ' (empty)'}")
    text(c, (MARGIN + made.step[0] - 6.0, 5.5), "; ".join(beside), 2.2, 0, "end")
