"""A part of ply at full size: what is cut, and on layers of marks how it lies and what it is."""

import shapely

from geomgen.drafting.record import REF, TEXT, Drawing, Path, line
from geomgen.drafting.text_room import Room
from geomgen.shops.ply_patterns.outline import PlyPattern

HEIGHT, SMALLEST = 8.0, 1.6
ARROW, BARB = 80.0, 8.0
CAUTION = (
    "GEOMETRY, NOT STRENGTH: have the structure designed and checked by someone qualified.",
    "Cut outside the line, then bevel the edge to the dashed line on the smaller face, where there "
    "is one. Seen from aft, looking forward: the front face is underneath.",
)


def ply_drawing(pattern: PlyPattern, words: tuple[str, ...], grain: str, level: float) -> Drawing:
    """Return the full-size drawing of a pattern; `words` say what it is and of what.

    `grain` is up, across or any; `level` is the waterline [mm] that is marked.
    """
    room = Room(shapely.buffer(pattern.whole, -3.0))
    marks = [*_datum(pattern, level, room)]
    spot = pattern.whole.representative_point()
    x0, y0, x1, y1 = pattern.whole.bounds
    if grain != "any":
        marks += _grain(grain, room, (spot.x, spot.y))
    _write(room, (f"WL {level:g}",), 4.0, (x0, level_at(pattern, level)))
    _write(room, ("CL",), 4.0, (8.0, y1))
    if not _write(room, words, HEIGHT, (0.0, (y0 + y1) / 2)):
        _one_by_one(room, words, (x1, spot.y))
    paths = (*pattern.cuts, *pattern.bevel, *marks)
    return Drawing(f"ply_{pattern.name}", paths, tuple(room.labels), CAUTION)


def level_at(pattern: PlyPattern, level: float) -> float:
    """Return how high a waterline [mm] lies on the sheet [mm]."""
    return (level - pattern.frame.origin[2]) / pattern.frame.up[2]


def _datum(pattern: PlyPattern, level: float, room: Room) -> list[Path]:
    """Return centre line and waterline, as far as they lie on the part."""
    x0, y0, x1, y1 = pattern.whole.bounds
    high = level_at(pattern, level)
    found = []
    for name, ends in (
        ("centre line", ((0.0, y0), (0.0, y1))),
        (f"WL {level:g}", ((x0, high), (x1, high))),
    ):
        on = shapely.intersection(shapely.LineString(ends), pattern.whole)
        for piece in shapely.get_parts(on):
            if piece.length > 1.0:
                (a, b), (c, d) = piece.coords[0], piece.coords[-1]
                found.append(line((a, b), (c, d), REF, name))
                room.block(piece)
    return found


def _grain(grain: str, room: Room, near: tuple[float, float]) -> list[Path]:
    """Return the grain's arrow with two heads, where there is room for it."""
    for long in (ARROW, ARROW / 2, ARROW / 4):
        size = (2.0 * BARB, long) if grain == "up" else (long, 2.0 * BARB)
        at = room.place(size, near)
        if at is not None:
            (x, y), half, b = at, long / 2, BARB / 2
            ends = (
                [(x, y - half), (x, y + half)] if grain == "up" else [(x - half, y), (x + half, y)]
            )
            paths = [line(ends[0], ends[1], TEXT, "grain")]
            for (px, py), way in ((ends[0], 1.0), (ends[1], -1.0)):
                if grain == "up":
                    barbs = ((px - b, py + way * BARB), (px, py), (px + b, py + way * BARB))
                else:
                    barbs = ((px + way * BARB, py - b), (px, py), (px + way * BARB, py + b))
                paths.append(Path(barbs, (), False, TEXT, "grain arrow"))
            _write(room, ("GRAIN",), 4.0, at)
            return paths
    return []


def _write(room: Room, lines: tuple[str, ...], height: float, near: tuple[float, float]) -> bool:
    while height >= SMALLEST:
        if room.write(lines, height, near):
            return True
        height *= 0.8
    return False


def _one_by_one(room: Room, words: tuple[str, ...], near: tuple[float, float]) -> None:
    for text in words:
        _write(room, (text,), HEIGHT / 2, near)
