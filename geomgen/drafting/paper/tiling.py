"""How a full-size drawing is cut into tiles: where each lies, what it shows, what to measure."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from geomgen.drafting.lettering import extent, text_box
from geomgen.drafting.own_lengths import told
from geomgen.drafting.paper.sheet import BORDER
from geomgen.drafting.record import REF, Drawing, Path, Point
from geomgen.errors import FileWriteError

PAPERS: dict[str, Point] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
# Half the length of a cross [mm]; the drawing keeps half of that off the outer crosses.
CROSS = 4.0
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
Lines = list[tuple[str, Any]]
# How near chords follow arcs [mm].
SAGITTA = 0.02


@dataclass(frozen=True)
class Tile:
    """One tile: row and column from the lower left, its low corner in the drawing [mm]."""

    row: int
    column: int
    corner: Point

    @property
    def name(self) -> str:
        """Return its name: a letter for the row, a number for the column."""
        return name_of(self.row, self.column)


def name_of(row: int, column: int) -> str:
    """Return a tile's name.

    >>> name_of(1, 0)
    'B1'
    """
    return f"{LETTERS[row]}{column + 1}"


@dataclass(frozen=True)
class Tiling:
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

    def box(self, tile: Tile) -> Any:
        """Return what a tile shows of the drawing [mm], as a shape of the geometry library."""
        from shapely import box

        (x, y), (w, h) = tile.corner, self.net
        return box(x, y, x + w, y + h)

    def own(self, tile: Tile) -> Any:
        """Return what a tile shows and its right and upper neighbours don't: up to their borders.

        The tiles' own areas cover the drawing without overlap.
        """
        from shapely import box

        (x, y), (w, h) = tile.corner, self.net
        across = w if tile.column + 1 == self.columns else self.step[0]
        up = h if tile.row + 1 == self.rows else self.step[1]
        return box(x, y, x + across, y + up)


def grid(drawing: Drawing, paper: str, overlap: float) -> Tiling:
    """Return the tiling of a drawing, tiles an `overlap` [mm] over each other.

    Lines of the grid that run on past the rest need no paper of their own. FileWriteError when it
    would take more than 26 rows.
    """
    size = PAPERS[paper]
    net = (size[0] - 2 * BORDER, size[1] - 2 * BORDER)
    step = (net[0] - overlap, net[1] - overlap)
    (x0, y0), (x1, y1) = extent(without_grid(drawing))
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
    return Tiling(size, net, step, rows, columns, start)


def lines_of(drawing: Drawing) -> Lines:
    """Return the layer of each path and the path as a line of the geometry library."""
    from shapely import LineString

    return [
        (path.layer, LineString(path.dense(SAGITTA)))
        for path in drawing.paths
        if len(path.points) > 1
    ]


def runs_on(lines: Lines, made: Tiling, tile: Tile) -> list[tuple[str, list[Point]]]:
    """Return layer and points [mm in the drawing] of each line as far as a tile shows it."""
    from shapely import intersection

    shown = intersection([line for _, line in lines], made.box(tile))
    found: list[tuple[str, list[Point]]] = []
    for (layer, _), piece in zip(lines, shown, strict=True):
        for part in getattr(piece, "geoms", [piece]):
            if part.geom_type == "LineString" and part.length > 0:
                found.append((layer, [(float(px), float(py)) for px, py in part.coords]))
    return found


def printed(drawing: Drawing, lines: Lines, made: Tiling) -> list[Tile]:
    """Return the tiles that hold something to cut, to measure or to read.

    Left out is a tile that has nothing but lines of the grid of stations, waterlines and buttock
    lines with their names, or the strip which the next one repeats.
    """
    from shapely import box, intersects

    drawn = [path for path in drawing.paths if len(path.points) > 1]
    shapes = [
        *(line for path, (_, line) in zip(drawn, lines, strict=True) if not _of_grid(path)),
        *(box(*text_box(label)) for label in without_grid(drawing).labels),
    ]
    return [tile for tile in made.tiles() if intersects(shapes, made.own(tile)).any()]


def without_grid(drawing: Drawing) -> Drawing:
    """Return a drawing without its grid and the grid's names."""
    grids = {told(path.name) for path in drawing.paths if _of_grid(path)}
    paths = tuple(path for path in drawing.paths if not _of_grid(path))
    labels = tuple(label for label in drawing.labels if label.text not in grids)
    return replace(drawing, paths=paths, labels=labels)


def _of_grid(path: Path) -> bool:
    """Say whether a path is a reference line that is named for its place in the aircraft."""
    straight = len(path.points) == 2 and not any(path.bulges)
    return path.layer == REF and straight and path.name.startswith(("STA ", "WL ", "BL "))


@dataclass(frozen=True)
class Diagonals:
    """What is measured after taping [mm]: the outer crosses of four printed tiles."""

    length: float
    rows: tuple[int, int]
    columns: tuple[int, int]

    def words(self) -> str:
        """Return what to measure."""
        (low, high), (left, right) = self.rows, self.columns
        return (
            f"from the lower left cross of {name_of(low, left)} to the upper right one of "
            f"{name_of(high, right)}, and from the upper left cross of {name_of(high, left)} to "
            f"the lower right one of {name_of(low, right)}: {self.length:.1f} mm each"
        )


def diagonals(made: Tiling, tiles: Sequence[Tile]) -> Diagonals:
    """Return the longest pair of equal diagonals between crosses that are on paper.

    Where a tile in a corner is empty it is not printed, and its cross with it.
    """
    there = {(tile.row, tile.column) for tile in tiles}
    best = Diagonals(0.0, (0, 0), (0, 0))
    for low, left in sorted(there):
        rights = [right for row, right in there if row == low and right >= left]
        highs = [high for high, column in there if column == left and high >= low]
        for right in rights:
            for high in highs:
                long = math.hypot(
                    (right - left + 1) * made.step[0], (high - low + 1) * made.step[1]
                )
                trial = Diagonals(long, (low, high), (left, right))
                if (high, right) in there and long > best.length + 1e-9:
                    best = trial
    return best
