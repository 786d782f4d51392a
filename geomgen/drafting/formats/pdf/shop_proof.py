"""Paper is proved too: the PDF is read back, its square measured, its lines held to the drawing.

Lines are told apart by their width, which each layer has of its own.
"""

from collections.abc import Sequence
from pathlib import Path

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.formats.pdf.lines import CHECK_WIDTH, FINE_WIDTH, FRAME_WIDTH, MARGIN, SQUARE
from geomgen.drafting.formats.pdf.reading_lines import Page, Run, pages
from geomgen.drafting.formats.pdf.shop_sheet import layout
from geomgen.drafting.formats.pdf.tiles import crosses
from geomgen.drafting.formats.pdf.tiling import CROSS, Grid, Tile, grid, lines_of, printed, runs_on
from geomgen.drafting.paper.pens import SHOP_PENS
from geomgen.drafting.record import BEND, CAP, CUT, DIM, REF, Drawing, Point
from geomgen.errors import FileWriteError
from geomgen.files.disk import proof_failed

READ_TO = 0.2
# How near chords follow the arcs that a page is held to [mm on paper].
CHORDS = 0.01
# All that somebody cuts, folds or measures along.
PROVED = (CUT, CAP, BEND, REF)
# Dimensions are as thin as reference lines, and held to the drawing with them.
AS_THIN = {DIM: REF}
SQUARE_NAME, FINE, FRAME = "check square", "dotted square", "frame"
WIDTHS = {name: row[0] for name, row in SHOP_PENS.items()} | {
    SQUARE_NAME: CHECK_WIDTH,
    FINE: FINE_WIDTH,
    FRAME: FRAME_WIDTH,
}


def prove_sheet(path: Path, drawing: Drawing, full_size: bool) -> None:
    """Read a sheet back: page size, check square, every line of the drawing in its place.

    FileWriteError if one is off by more than 0.2 mm on paper.
    """
    drawing = drawn_out(drawing)
    _for_shops(path, drawing)
    made = layout(drawing, full_size)
    with pages(path) as document:
        if len(document) != 1:
            raise proof_failed(path, f"it has {len(document)} pages")
        page = document[0]
        _page_size(path, page, made.size)
        if full_size:
            _square(path, page, SQUARE_NAME)
        for layer in PROVED:
            due = [
                ([made.place(point) for point in line.dense(CHORDS * made.over)], line.name)
                for line in drawing.paths
                if AS_THIN.get(line.layer, line.layer) == layer and len(line.points) > 1
            ]
            _lines(path, layer, _runs(page, layer), due)


def _for_shops(path: Path, drawing: Drawing) -> None:
    """Refuse lines that have no width of their own here, and so could not be told apart."""
    others = sorted({line.layer for line in drawing.paths} - set(SHOP_PENS) - set(AS_THIN))
    if others:
        raise FileWriteError(
            f"it has lines of {', '.join(others)}, which a full-size sheet for a shop can't carry",
            path=path.name,
            advice="write it as a drawing of views",
        )


def _lines(path: Path, layer: str, seen: list[Run], due: list[tuple[Run, str]]) -> None:
    """Hold the lines of a layer to those of the drawing, one by one, in their order."""
    from shapely import LineString, hausdorff_distance

    if len(seen) != len(due):
        raise proof_failed(path, f"it shows {len(seen)} lines of layer {layer}, not {len(due)}")
    for run, (wanted, name) in zip(seen, due, strict=True):
        words = f"line {name or '(no name)'} of layer {layer}"
        size, right = _size(run), _size(wanted)
        if max(abs(size[0] - right[0]), abs(size[1] - right[1])) > READ_TO:
            shown = f"{size[0]:.2f} x {size[1]:.2f} mm"
            raise proof_failed(path, f"{words} is {shown}, not {right[0]:.2f} x {right[1]:.2f}")
        off = float(hausdorff_distance(LineString(run), LineString(wanted)))
        if off > READ_TO:
            raise proof_failed(path, f"{words} is {off:.2f} mm off")


def prove_tiles(path: Path, drawing: Drawing, paper: str, overlap: float) -> None:
    """Read tiles back: number, page size, square, crosses, and all lines joined again.

    FileWriteError if one is off by more than 0.2 mm.
    """
    drawing = drawn_out(drawing)
    _for_shops(path, drawing)
    made = grid(drawing, paper, overlap)
    every = lines_of(drawing)
    tiles = printed(drawing, every, made)
    with pages(path) as document:
        if len(document) != len(tiles) + 1:
            raise proof_failed(path, f"it has {len(document)} pages, not {len(tiles) + 1}")
        for page in document:
            _page_size(path, page, made.paper)
        _square(path, document[0], SQUARE_NAME)
        for page, tile in zip(document[1:], tiles, strict=True):
            _square(path, page, FINE)
            _crosses(path, page, made, tile)
            shown = runs_on(every, made, tile)
            for layer in PROVED:
                due = [run for name, run in shown if AS_THIN.get(name, name) == layer]
                _joined(path, layer, _moved(_runs(page, layer), tile), due, tile)


def _moved(runs: list[Run], tile: Tile) -> list[Run]:
    """Return runs of a tile where they lie in the drawing [mm]."""
    dx, dy = tile.corner[0] - MARGIN, tile.corner[1] - MARGIN
    return [[(x + dx, y + dy) for x, y in run] for run in runs]


def _joined(path: Path, layer: str, seen: list[Run], due: list[Run], tile: Tile) -> None:
    """Hold the lines of a tile, put back into the drawing, to the drawing's own."""
    from shapely import LineString, MultiLineString, hausdorff_distance

    if not due and not seen:
        return
    if not due or not seen:
        raise proof_failed(
            path, f"tile {tile.name} does not show the lines of {layer} that it should"
        )
    off = float(hausdorff_distance(MultiLineString(seen), MultiLineString(due)))
    if off > READ_TO:
        raise proof_failed(path, f"the lines of {layer} on tile {tile.name} are {off:.2f} mm off")
    drawn, wanted = (sum(LineString(run).length for run in runs) for runs in (seen, due))
    if abs(drawn - wanted) > READ_TO:
        raise proof_failed(
            path, f"tile {tile.name} shows {drawn:.1f} mm of {layer} lines, not {wanted:.1f}"
        )


def _crosses(path: Path, page: Page, made: Grid, tile: Tile) -> None:
    """Find every cross, both its lines, where the neighbour's will be laid on it."""
    lines = _runs(page, FRAME)
    for x, y in crosses(made):
        for dx, dy in ((CROSS, 0.0), (0.0, CROSS)):
            if not any(_is_line(run, (x - dx, y - dy), (x + dx, y + dy)) for run in lines):
                raise proof_failed(path, f"tile {tile.name} has no cross at {x:.1f}, {y:.1f} mm")


def _is_line(run: Run, a: Point, b: Point) -> bool:
    return len(run) == 2 and all(
        abs(p[0] - q[0]) <= READ_TO and abs(p[1] - q[1]) <= READ_TO
        for p, q in zip(run, (a, b), strict=True)
    )


def _runs(page: Page, kind: str) -> list[Run]:
    """Return the lines on a page whose width [mm] is that of a layer, frame or square."""
    return [stroke.points for stroke in page.strokes if _kind(stroke.width) == kind]


def _kind(width: float) -> str:
    """Return what a line of this width [mm] stands for: the nearest of the widths in use."""
    return min(WIDTHS, key=lambda name: abs(WIDTHS[name] - width))


def _size(run: Sequence[Point]) -> Point:
    xs, ys = [x for x, _ in run], [y for _, y in run]
    return max(xs) - min(xs), max(ys) - min(ys)


def _page_size(path: Path, page: Page, size: Point) -> None:
    width, height = page.width, page.height
    if abs(width - size[0]) > READ_TO or abs(height - size[1]) > READ_TO:
        raise proof_failed(
            path, f"its page is {width:.1f} x {height:.1f} mm, not {size[0]:.1f} x {size[1]:.1f}"
        )


def _square(path: Path, page: Page, kind: str) -> None:
    """Measure the square of 100 mm on a page: one closed outline, both its sides."""
    sides = [_size(run) for run in _runs(page, kind) if run[0] == run[-1]]
    if len(sides) != 1:
        raise proof_failed(path, f"{len(sides)} check squares on a page, not one")
    if max(abs(side - SQUARE) for side in sides[0]) > READ_TO:
        raise proof_failed(path, f"its square is {sides[0][0]:.2f} x {sides[0][1]:.2f} mm, not 100")
