"""A part of ply at full size: what is cut, and on layers of marks how it lies and what it is."""

import math
from math import radians

import shapely

from geomgen.drafting.record import REF, TEXT, Drawing, Label, Path, line
from geomgen.drafting.text_room import Room
from geomgen.shops.ply_patterns.marks import LETTERS, PlyWords, SheetMark
from geomgen.shops.ply_patterns.outline import PlyPattern

HEIGHT, SMALLEST = 8.0, 1.6
# So near [mm] a line its name is still that line's: in smaller letters rather than farther away.
BESIDE = 40.0
ARROW, BARB = 80.0, 8.0
CAUTION = "GEOMETRY, NOT STRENGTH: have the structure designed and checked by someone qualified."
BEVEL = (
    "Cut outside the line, then bevel the edge to the dashed line on the smaller face, where there "
    "is one."
)


def ply_drawing(
    pattern: PlyPattern, said: PlyWords, words: tuple[str, ...], grain: float | None
) -> Drawing:
    """Return the full-size drawing of a pattern; `words` say what it is and of what.

    `grain` is its direction [deg], across 0, None of any; `said` has the lines that are marked, in
    space.
    """
    room = Room(shapely.buffer(pattern.whole, -3.0))
    marks, named, beside = _marked(pattern, said.marks, room)
    spot = pattern.whole.representative_point()
    _, y0, x1, y1 = pattern.whole.bounds
    if grain is not None:
        marks += _grain(grain, room, (spot.x, spot.y))
    for text, near in named:
        if not _write(room, (text,), 4.0, near, BESIDE):
            _write(room, (text,), 4.0, near)
    missed: list[str] = []
    if not _write(room, words, HEIGHT, (0.0, (y0 + y1) / 2)):
        missed = _one_by_one(room, words, (x1, spot.y))
    paths = (*pattern.cuts, *pattern.bevel, *marks)
    lies = "" if grain is None else _grain_words(grain)
    along = lies and f" Grain of the faces: {lies} on this drawing."
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
            beside.append(Label((x, y + SMALLEST), mark.words, LETTERS, anchor="middle"))
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


def _grain_words(grain: float) -> str:
    """Return the direction of the grain [deg] in words.

    >>> _grain_words(90.0), _grain_words(-45.0)
    ('up', '45 deg, rising to the left')
    """
    plain = {0.0: "across", 90.0: "up"}
    side = "right" if grain > 0.0 else "left"
    return plain.get(grain) or f"{abs(grain):g} deg, rising to the {side}"


def _grain(grain: float, room: Room, near: tuple[float, float]) -> list[Path]:
    """Return the grain's arrow [deg] with two heads, where there is room for it."""
    cos, sin = (round(f(radians(grain)), 12) for f in (math.cos, math.sin))
    for long in (ARROW, ARROW / 2, ARROW / 4):
        broad = 2.0 * BARB
        size = (long * abs(cos) + broad * abs(sin), long * abs(sin) + broad * abs(cos))
        at = room.place(size, near)
        if at is None:
            continue

        def placed(
            along: float, across: float, at: tuple[float, float] = at
        ) -> tuple[float, float]:
            return at[0] + along * cos - across * sin, at[1] + along * sin + across * cos

        half, b = long / 2, BARB / 2
        paths = [line(placed(-half, 0.0), placed(half, 0.0), TEXT, "grain")]
        for way in (1.0, -1.0):
            tip, back = -way * half, way * (BARB - half)
            barbs = (placed(back, -b), placed(tip, 0.0), placed(back, b))
            paths.append(Path(barbs, (), False, TEXT, "grain arrow"))
        _write(room, ("GRAIN",), 4.0, at)
        return paths
    return []


def _write(
    room: Room,
    lines: tuple[str, ...],
    height: float,
    near: tuple[float, float],
    reach: float = math.inf,
) -> bool:
    while height >= SMALLEST:
        if room.write(lines, height, near, reach):
            return True
        height *= 0.8
    return False


def _one_by_one(room: Room, words: tuple[str, ...], near: tuple[float, float]) -> list[str]:
    """Write each line where it has room; return those that have none on the part."""
    return [text for text in words if not _write(room, (text,), HEIGHT / 2, near)]
