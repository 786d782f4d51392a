"""A full-size drawing in tiles for a plain printer, with what is needed to join them truly.

The first page shows which tile goes where, the check square and the two diagonals to measure once
the tiles are taped. Every tile has the check square too, finely dotted so that nobody cuts it.
"""

from collections.abc import Sequence
from dataclasses import replace

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.label_spots import without_texts
from geomgen.drafting.lettering import narrowed, text_box, width_of
from geomgen.drafting.paper.frame import CHECKED, THIN, PenGroup, frame
from geomgen.drafting.paper.pens import ORDER, PENS
from geomgen.drafting.paper.sheet import BORDER, SQUARE, Sheet
from geomgen.drafting.paper.tiling import (
    CROSS,
    Lines,
    Tile,
    Tiling,
    diagonals,
    grid,
    lines_of,
    name_of,
    printed,
    runs_on,
    without_grid,
)
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import DIM, TEXT, Drawing, Label, Path, Point, line, rectangle
from geomgen.errors import FileWriteError

# Widths of frames and of the dotted square [mm].
EDGES, FINE = 0.13, 0.08
BORDERS, DOTS = (1.0, 1.0), (0.3, 1.7)
# Letters [mm] of a release's reason and of the title on a tile, where there is room for them; of
# what else is in its margin.
WARNED, BESIDE = 2.3, 2.2
# What the first page keeps from its frame [mm].
INSIDE = 3.0


def tile_pages(
    drawing: Drawing, title: Title, paper: str, overlap: float
) -> list[tuple[PenGroup, ...]]:
    """Return what stands on each page of a drawing in tiles on A4 or Letter that overlap [mm].

    FileWriteError when there is nothing on the drawing, or it takes more than 26 rows.
    """
    drawing = drawn_out(drawing)
    made = grid(drawing, paper, overlap)
    lines = lines_of(drawing)
    tiles = printed(drawing, lines, made)
    if not tiles:
        raise FileWriteError("there is nothing on the drawing", path=drawing.name)
    names = {tile.name for tile in tiles}
    pages = [
        (*_tile(drawing, lines, made, tile), *_margin(title, made, tile, names)) for tile in tiles
    ]
    return [_index(drawing, title, paper, made, tiles), *pages]


def _index(
    drawing: Drawing, title: Title, paper: str, made: Tiling, tiles: Sequence[Tile]
) -> tuple[PenGroup, ...]:
    """Return the first page: title, check square, the tiles' places, the diagonals."""
    width, height = made.paper
    noted = replace(drawing, notes=(*_joining(made, tiles), *drawing.notes))
    sheet = Sheet(noted, paper, 1, cut=made.paper)
    low = BORDER + sheet.strip + INSIDE
    head = Label((BORDER + INSIDE, height - BORDER - INSIDE - 4.0), "Which tile goes where", 4.0)
    reach = (made.columns * made.step[0], made.rows * made.step[1])
    most = (width - 2 * (BORDER + INSIDE), head.at[1] - 2 * INSIDE - low)
    scale = min(most[0] / reach[0], most[1] / reach[1])

    def place(point: Point) -> Point:
        return (
            BORDER + INSIDE + (point[0] - made.start[0]) * scale,
            low + (point[1] - made.start[1]) * scale,
        )

    w, h = made.step[0] * scale, made.step[1] * scale
    names = {tile.name for tile in tiles}
    places, inside, labels = [], [], []
    for tile in made.tiles():
        x, y = place(tile.corner)
        there = tile.name in names
        places.append(rectangle((x, y), (x + w, y + h), TEXT, tile.name))
        # Struck through: it need not be missed.
        inside += [] if there else [line((x, y), (x + w, y + h), TEXT, f"{tile.name} left out")]
        words = tile.name if there else f"{tile.name} left out"
        tall = narrowed(words, 4.0, 0.7 * w)
        labels.append(Label((x + w / 2, y + h / 2), words, tall, 0.0, "middle"))
    inside += [
        replace(path, points=tuple(place(point) for point in path.points))
        for path in without_grid(drawing).paths
        if len(path.points) > 1
    ]
    return (
        *frame(sheet, title),
        PenGroup("places", EDGES, paths=(*places, *without_texts(inside, labels))),
        PenGroup("names", THIN, labels=(head, *labels)),
    )


def _joining(made: Tiling, tiles: Sequence[Tile]) -> tuple[str, ...]:
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


def _tile(drawing: Drawing, lines: Lines, made: Tiling, tile: Tile) -> tuple[PenGroup, ...]:
    """Return what a tile shows of the drawing, its border, square, crosses and marks."""
    from shapely import box, intersects

    (x0, y0), (w, h) = tile.corner, made.net

    def place(point: Point) -> Point:
        return (BORDER + point[0] - x0, BORDER + point[1] - y0)

    shown = made.box(tile)
    near = tuple(
        replace(label, at=place(label.at))
        for label in drawing.labels
        if intersects(shown, box(*text_box(label)))
    )
    low, high = (BORDER, BORDER), (BORDER + w, BORDER + h)
    runs: dict[str, list[Path]] = {layer: [] for layer in ORDER}
    for layer, points in runs_on(lines, made, tile):
        closed = layer == DIM and len(points) > 3 and points[0] == points[-1]
        run = tuple(place(point) for point in (points[:-1] if closed else points))
        runs[layer].append(Path(run, (), closed, layer))
    square = rectangle(low, (BORDER + SQUARE, BORDER + SQUARE), TEXT, CHECKED)
    return (
        *(PenGroup(layer, *PENS[layer], tuple(paths)) for layer, paths in runs.items() if paths),
        PenGroup("texts", THIN, labels=near, window=(low, high)),
        PenGroup("border", EDGES, BORDERS, (rectangle(low, high, TEXT, "border"),)),
        PenGroup("dotted square", FINE, DOTS, (square,)),
        PenGroup("crosses", EDGES, paths=(*_crosses(made), *_overlap_marks(made, tile))),
    )


def crosses(made: Tiling) -> list[Point]:
    """Return where the crosses stand on a tile [mm]: the corners of the step."""
    return [
        (x, y) for x in (BORDER, BORDER + made.step[0]) for y in (BORDER, BORDER + made.step[1])
    ]


def _crosses(made: Tiling) -> list[Path]:
    """Return the crosses on which neighbouring tiles are laid."""
    return [
        line((x - dx, y - dy), (x + dx, y + dy), TEXT, "cross")
        for x, y in crosses(made)
        for dx, dy in ((CROSS, 0.0), (0.0, CROSS))
    ]


def _overlap_marks(made: Tiling, tile: Tile) -> list[Path]:
    """Return ticks outside the border where the neighbours' borders will lie."""
    right, top = BORDER + made.net[0], BORDER + made.net[1]
    x, y = BORDER + made.step[0], BORDER + made.step[1]
    marks = []
    if tile.column + 1 < made.columns:
        marks.append(line((x, top), (x, top + 3.0), TEXT, "mark"))
    if tile.row + 1 < made.rows:
        marks.append(line((right, y), (right + 3.0, y), TEXT, "mark"))
    return marks


def _margin(title: Title, made: Tiling, tile: Tile, names: set[str]) -> tuple[PenGroup, ...]:
    """Return what the margins say: which tile this is, its neighbours, what the square is for."""
    width, height = made.paper
    left, right = BORDER + 14.0, width - BORDER
    hand = f", {title.hand.upper()} HAND" if title.hand else ""
    words = f"{title.part}{hand}, revision {title.revision}"
    # A tick of the overlap stands right of the words.
    tall = narrowed(words, WARNED, made.step[0] + BORDER - left - 2.0)
    square = "dotted square: 100 mm, print at 100 %"
    beside = "; ".join(_neighbours(made, tile, names))
    start = BORDER + 6.0 + width_of(square, BESIDE) + 6.0
    end = BORDER + made.step[0] - 6.0
    labels = [
        Label((BORDER, height - 8.5), tile.name, 3.5),
        Label((left, height - (8.7 if title.reason else 8.0)), words, tall),
        Label((BORDER + 6.0, 5.5), square, BESIDE),
    ]
    if beside:
        low = narrowed(beside, BESIDE, end - start)
        labels.append(Label((end, 5.5), beside, low, 0.0, "end"))
    groups = [PenGroup("margin", THIN, labels=tuple(labels))]
    if title.reason:
        warning = f"{RELEASED}: {title.reason}"
        high = narrowed(warning, WARNED, right - left)
        told = Label((right, height - 5.5), warning, high, 0.0, "end")
        groups.append(PenGroup("release", THIN, labels=(told,), red=True))
    return tuple(groups)


def _neighbours(made: Tiling, tile: Tile, names: set[str]) -> list[str]:
    around = {"left": (0, -1), "right": (0, 1), "below": (-1, 0), "above": (1, 0)}
    found = []
    for word, (up, aside) in around.items():
        row, column = tile.row + up, tile.column + aside
        if 0 <= row < made.rows and 0 <= column < made.columns:
            name = name_of(row, column)
            found.append(f"{word} {name if name in names else name + ' (left out)'}")
    return found
