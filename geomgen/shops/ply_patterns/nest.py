"""Patterns on the sheets that are bought: laid by their boxes, proved by their very outlines."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import cos, radians, sin

import shapely
from shapely.affinity import affine_transform, rotate

from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.record import REF, TEXT, Drawing, Label, Path, line, rectangle
from geomgen.drafting.text_room import Room
from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.nesting import NestBlank, nested
from geomgen.shops.ply_patterns.drawing import CAUTION
from geomgen.shops.ply_patterns.outline import PlyPattern
from geomgen.shops.ply_patterns.stock import grain_angle, grain_of, turns_of
from geomgen.shops.product import ShopSheet

LETTERS, SMALLEST = 30.0, 4.0


@dataclass(frozen=True)
class LaidPattern:
    """A pattern on a sheet: its number, by how much it was turned [deg], how far it is moved."""

    pattern: PlyPattern
    sheet: int
    turn: float
    by: tuple[float, float]

    def outline(self) -> shapely.Polygon:
        """Return what its lines to cut enclose, where it lies [mm]."""
        cos, sin = self._way
        return affine_transform(self.pattern.drawn(), [cos, -sin, sin, cos, *self.by])

    def paths(self) -> list[Path]:
        """Return its lines to cut where it lies."""
        return [replace(p, points=tuple(map(self._at, p.points))) for p in self.pattern.cuts]

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        (x, y), (cos, sin) = point, self._way
        return x * cos - y * sin + self.by[0], x * sin + y * cos + self.by[1]

    @property
    def _way(self) -> tuple[float, float]:
        """Return cosine and sine of its turn, those of right angles to the last digit."""
        if self.turn % 90.0 == 0.0:
            return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(self.turn // 90.0) % 4]
        return cos(radians(self.turn)), sin(radians(self.turn))


def laid(patterns: Sequence[PlyPattern], shop: PlyShop) -> list[LaidPattern]:
    """Return the patterns on sheets; the grain runs along a sheet's length.

    GeometryError for one that fits on no sheet.
    """
    named = {pattern.name: pattern for pattern in patterns}
    ways = {name: turns_of(name, shop) for name in named}
    # One that may lie in one way alone is laid as it is turned for that, any other by right angles.
    blanks = [
        NestBlank(name, *pattern.turned(ways[name][0]), (False, True)[: len(ways[name])])
        for name, pattern in named.items()
    ]
    rows, left = nested(blanks, shop.sheet_length, shop.sheet_width, shop.gap)
    for blank in left:
        raise GeometryError(
            f"{blank.name}, {blank.width:.0f} x {blank.height:.0f} mm, has no room on a sheet of "
            f"{shop.sheet_length:g} x {shop.sheet_width:g} mm with the grain "
            f"{grain_of(blank.name, shop)}, nor in "
            "pieces, in which no plate of a joint is cut: larger sheets, a smaller gap, or grain "
            "any, may do",
            part=blank.name,
            step="nesting on sheets",
            look_at=[
                f"handoff.ply.{key}" for key in ("sheet_length", "sheet_width", "gap", "grain")
            ],
        )
    found = []
    for row in rows:
        pattern = named[row.blank.name]
        turn = ways[pattern.name][row.turned]
        x0, y0, _, _ = rotate(pattern.whole, turn, origin=(0.0, 0.0)).bounds
        found.append(LaidPattern(pattern, row.sheet, turn, (row.x - x0, row.y - y0)))
    return found


def least_gap(rows: Sequence[LaidPattern], shop: PlyShop) -> float:
    """Return the least gap [mm] of two outlines on one sheet or to its edge; negative if shared."""
    edge = shapely.box(0.0, 0.0, shop.sheet_length, shop.sheet_width)
    outlines = [(row.sheet, row.outline()) for row in rows]
    gaps = [
        float(shape.distance(edge.exterior)) if edge.covers(shape) else -1.0
        for _, shape in outlines
    ]
    for (sheet, one), (other_sheet, other) in combinations(outlines, 2):
        if sheet == other_sheet:
            gaps.append(-1.0 if one.intersects(other) else float(one.distance(other)))
    return min(gaps)


def nest_sheets(
    rows: Sequence[LaidPattern], shop: PlyShop, stock: str, stem: str
) -> list[ShopSheet]:
    """Return a drawing for each sheet of a stock, in words, with the parts on it."""
    made = []
    count = 1 + max(row.sheet for row in rows)
    for number in range(count):
        here = [row for row in rows if row.sheet == number]
        paths = [rectangle((0.0, 0.0), (shop.sheet_length, shop.sheet_width), REF, "sheet")]
        labels = [Label((0.0, -3.5 * LETTERS), f"{stock}, sheet {number + 1} of {count}", LETTERS)]
        if any(grain_angle(row.pattern.name, shop) is not None for row in here):
            paths.append(line((0.0, -LETTERS), (8 * LETTERS, -LETTERS), TEXT, "grain"))
            labels.append(Label((9 * LETTERS, -1.3 * LETTERS), "GRAIN", LETTERS / 1.5))
        for row in here:
            paths += row.paths()
            labels += _named(row)
        drawing = Drawing(f"{stem}_{number + 1}", tuple(paths), tuple(labels), (CAUTION,))
        paper = on_smallest(lambda *_, whole=drawing: [whole], "frame", ["handoff.ply"])
        parts = ", ".join(row.pattern.name for row in here)
        made.append(ShopSheet(drawing.name, "frame", paper, note=f"{stock}: {parts}"))
    return made


def _named(row: LaidPattern) -> list[Label]:
    """Return a part's name, as large as it has room for it; none where it has none."""
    room, outline = Room(shapely.buffer(row.outline(), -2.0)), row.outline()
    spot, height = outline.representative_point(), LETTERS
    while height >= SMALLEST and not room.write((row.pattern.name,), height, (spot.x, spot.y)):
        height *= 0.8
    return room.labels
