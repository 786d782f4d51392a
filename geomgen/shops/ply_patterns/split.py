"""A part larger than the sheets that are bought, cut in pieces, with where their straps reach."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.marks import SheetMark
from geomgen.shops.ply_patterns.outline import OFF, SLIVER, PlyPattern, drawn, one_piece
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# A part is cut in a grid of so many at most.
MOST = 12
# A butt strap reaches so many thicknesses to each side of a joint: own choice, not a design.
STRAP = 12.0
# Ends of a line across a part reach past it [mm].
PAST = 1.0


def fits(made: PlyPattern, shop: PlyShop) -> bool:
    """Say whether a pattern has room on a sheet, its grain as it is asked for."""
    room = (shop.sheet_length - 2 * shop.gap, shop.sheet_width - 2 * shop.gap)
    ways = {"up": (made.size[::-1],), "across": (made.size,)}.get(
        shop.grain, (made.size, made.size[::-1])
    )
    return any(a <= room[0] and b <= room[1] for a, b in ways)


def in_pieces(made: PlyPattern, shop: PlyShop, word: str) -> list[PlyPattern]:
    """Return a pattern in as few pieces as have room on a sheet; `word` names them.

    They are cut across in equal lengths, a frame in two on its centre line, or level at equal
    heights, or both. Whole where it has room, or where no grid helps.
    """
    if fits(made, shop):
        return [made]
    grids = [(m, n) for m in range(1, MOST + 1) for n in range(1, MOST // m + 1)]
    for columns, rows in sorted(grids, key=lambda grid: (grid[0] * grid[1], grid[1])):
        pieces = _cut(made, columns, rows, word)
        if all(fits(piece, shop) for piece in pieces):
            return pieces
    return [made]


def _cut(made: PlyPattern, columns: int, rows: int, word: str) -> list[PlyPattern]:
    x0, y0, x1, y1 = made.whole.bounds
    across = np.linspace(x0, x1, columns + 1).tolist()
    up = np.linspace(y0, y1, rows + 1).tolist()
    lines = (*((0, x) for x in across[1:-1]), *((1, y) for y in up[1:-1]))
    shapes = [
        part
        for low, high in zip(up, up[1:], strict=False)
        for left, right in zip(across, across[1:], strict=False)
        for part in shapely.get_parts(made.whole.intersection(shapely.box(left, low, right, high)))
        if part.area > SLIVER
    ]
    return [
        drawn(
            replace(
                made,
                name=f"{made.name}_{word}_{number}",
                whole=one_piece(shape),
                least=_least(made, shape),
                joints=tuple(line for line in lines if _on(shape, *line)),
                faces=(),
            )
        )
        for number, shape in enumerate(shapes, start=1)
    ]


def _least(made: PlyPattern, shape: shapely.Polygon) -> shapely.Polygon:
    """Return the smaller face of a piece; the piece itself where it is all bevel."""
    least = made.least.intersection(shape)
    return one_piece(least if least.area > SLIVER else shape)


def _on(shape: shapely.Polygon, axis: int, at: float) -> bool:
    """Say whether a piece was cut along a line across (axis 0) or level (1)."""
    low, high = shape.bounds[axis], shape.bounds[axis + 2]
    return bool(min(abs(low - at), abs(high - at)) < 1e-6)


def strap_marks(piece: PlyPattern) -> Iterator[SheetMark]:
    """Yield where a butt strap over each joint of a piece would reach to on it."""
    x0, y0, x1, y1 = piece.whole.bounds
    for axis, at in piece.joints:
        low, high = (x0, x1) if axis == 0 else (y0, y1)
        reach = STRAP * piece.thickness
        to = at + reach if at - low < high - at else at - reach
        ends = (
            ((to, y0 - PAST), (to, y1 + PAST)) if axis == 0 else ((x0 - PAST, to), (x1 + PAST, to))
        )
        a, b = (piece.frame.lifted(end) for end in ends)
        yield SheetMark(f"BUTT STRAP {reach:g} FROM THE JOINT", a, b)


def pieces_finding(name: str, whole: PlyPattern, pieces: Sequence[PlyPattern]) -> Check:
    """Return how far the pieces as drawn miss or overlap the whole, by the length of its lines."""
    shapes = [piece.drawn() for piece in pieces]
    laid = shapely.union_all(shapes)
    missed = laid.symmetric_difference(whole.drawn()).area
    twice = sum(shape.area for shape in shapes) - laid.area
    lines = sum(shape.length for shape in shapes)
    return found(
        f"ply.pieces.{name}", name,
        f"{len(pieces)} pieces, as it has no room on a sheet: area missed or cut twice, by their "
        "edges", (missed + twice) / lines, "mm", high=OFF,
        method="the lines to cut of all pieces as polygons, against those of the whole part",
        source="own choice",
    )  # fmt: skip
