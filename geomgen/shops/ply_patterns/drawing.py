"""A part of ply at full size: what is cut, and on layers of marks how it lies and what it is."""

import shapely

from geomgen.drafting.record import REF, TEXT, Drawing, Label, Path, line
from geomgen.drafting.text_room import Room
from geomgen.shops.ply_patterns.marks import PlyWords, SheetMark
from geomgen.shops.ply_patterns.outline import PlyPattern

HEIGHT, SMALLEST = 8.0, 1.6
ARROW, BARB = 80.0, 8.0
CAUTION = "GEOMETRY, NOT STRENGTH: have the structure designed and checked by someone qualified."
BEVEL = (
    "Cut outside the line, then bevel the edge to the dashed line on the smaller face, where there "
    "is one."
)


def ply_drawing(pattern: PlyPattern, said: PlyWords, words: tuple[str, ...], grain: str) -> Drawing:
    """Return the full-size drawing of a pattern; `words` say what it is and of what.

    `grain` is up, across or any; `said` has the lines that are marked, in space.
    """
    room = Room(shapely.buffer(pattern.whole, -3.0))
    marks, named, beside = _marked(pattern, said.marks, room)
    spot = pattern.whole.representative_point()
    _, y0, x1, y1 = pattern.whole.bounds
    if grain != "any":
        marks += _grain(grain, room, (spot.x, spot.y))
    for text, near in named:
        _write(room, (text,), 4.0, near)
    missed: list[str] = []
    if not _write(room, words, HEIGHT, (0.0, (y0 + y1) / 2)):
        missed = _one_by_one(room, words, (x1, spot.y))
    paths = (*pattern.cuts, *pattern.bevel, *marks)
    along = "" if grain == "any" else f" Grain of the faces: {grain} on this drawing."
    under = said.faces("the front face")
    seen = f"{BEVEL} {said.seen.capitalize()}: {under} is underneath.{along}"
    notes = (CAUTION, seen, *missed, *said.notes)
    return Drawing(f"ply_{pattern.name}", paths, (*room.labels, *beside), notes)


def _marked(
    pattern: PlyPattern, marks: tuple[SheetMark, ...], room: Room
) -> tuple[list[Path], list[tuple[str, tuple[float, float]]], list[Label]]:
    """Return the marks' lines, as far as they lie on the part or beside it; their names.

    Names stand near a place on the part, or, of what goes on beside it, at the line's end.
    """
    found, named, beside = [], [], []
    for mark in marks:
        ends = mark.flat(pattern.frame)
        if not mark.on_part:
            found.append(line(*ends, REF, mark.words))
            room.block(shapely.LineString(ends))
            (x, y) = max(ends, key=lambda end: (round(end[1], 3), end[0]))
            beside.append(Label((x, y + SMALLEST), mark.words, 4.0, anchor="middle"))
            continue
        on = shapely.intersection(shapely.LineString(ends), pattern.whole)
        pieces = [one for one in shapely.get_parts(on) if one.length > 1.0]
        for piece in pieces:
            (a, b), (c, d) = piece.coords[0], piece.coords[-1]
            found.append(line((a, b), (c, d), REF, mark.words))
            room.block(piece)
        if pieces:
            long = max(pieces, key=lambda one: one.length).coords
            named.append((mark.words, max(long, key=lambda end: (end[1], -end[0]))))
    return found, named, beside


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


def _one_by_one(room: Room, words: tuple[str, ...], near: tuple[float, float]) -> list[str]:
    """Write each line where it has room; return those that have none on the part."""
    return [text for text in words if not _write(room, (text,), HEIGHT / 2, near)]
