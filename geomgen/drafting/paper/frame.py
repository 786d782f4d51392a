"""The frame of a sheet and its title block, in millimetres of paper from its lower left corner.

Width of the frame's line and centring marks after ISO 5457, but the border is 10 mm on all sides;
the block's data fields after ISO 7200 (180 mm wide, in the lower right corner). Beside it stands
what a reader has to know before cutting. On a sheet at full size the strip also holds a square to
be measured; where it is too narrow for both, the block stands over the square.
"""

from dataclasses import dataclass

from geomgen.drafting.lettering import LINE, width_of, wrapped
from geomgen.drafting.own_lengths import told_unit
from geomgen.drafting.paper.projection_symbol import symbol
from geomgen.drafting.paper.sheet import BLOCK, BORDER, SQUARE, STRIP, WITH_SQUARE, Sheet
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import TEXT, Label, Path, Point, line, rectangle
from geomgen.errors import FileWriteError

# Widths of lines [mm]: frame and centring marks, the square, rules of the block, the sign of the
# projection.
THICK, MEASURED, RULES, SIGN, THIN = 0.70, 0.50, 0.25, 0.35, 0.18
CHAIN = (4.3, 0.8, 0.4, 0.8)
# How far centring marks reach inside the frame [mm].
MARK = 5.0
# Heights of letters [mm]: name of a field, what stands in it, the most important of it, a release.
NAME, FIELD, MAIN, LOUD = 1.8, 2.5, 3.5, 5.0
SMALLER, LEAST = (1.0, 0.9, 0.8, 0.7, 0.6), 1.5
EDGE = 2.0
# Columns of notes that are easy to read are so wide at least and at most [mm].
NARROW, BROAD = 80.0, 220.0
CHECKED = "check square"
# Rows of the block from above: height [mm], and of each field its name and width [mm].
ROWS: tuple[tuple[float, tuple[tuple[str, float], ...]], ...] = (
    (14.0, (("project", 90.0), ("title", 90.0))),
    (13.0, (("scale", 30.0), ("sheet", 40.0), ("unit", 20.0), ("projection", 90.0))),
    (13.0, (("revision", 30.0), ("hand", 40.0), ("parameters", 110.0))),
)
# A drawing of what has no hand has no field for it either.
NO_HAND = (13.0, (("revision", 30.0), ("parameters", 150.0)))


@dataclass(frozen=True)
class PenGroup:
    """Lines that are drawn with one pen, and texts; all in millimetres of paper.

    `red` is for what must not be missed. What lies outside of `window`, two corners, is cut off.
    """

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    paths: tuple[Path, ...] = ()
    labels: tuple[Label, ...] = ()
    red: bool = False
    window: tuple[Point, Point] | None = None


def frame(sheet: Sheet, title: Title) -> tuple[PenGroup, ...]:
    """Return frame, centring marks, title block and notes of a sheet, its square at full size.

    FileWriteError when the strip at the foot can't hold what should stand in it.
    """
    wide, high = sheet.paper
    right, top = wide - BORDER, high - BORDER
    # At the middle of a low sheet stands its strip.
    mark = MARK if high / 2 > BORDER + sheet.strip else 0.0
    border = (
        rectangle((BORDER, BORDER), (right, top), TEXT, "frame"),
        line((wide / 2, 0.0), (wide / 2, BORDER), TEXT, "mark"),
        line((wide / 2, high), (wide / 2, top - MARK), TEXT, "mark"),
        line((0.0, high / 2), (BORDER + mark, high / 2), TEXT, "mark"),
        line((wide, high / 2), (right - mark, high / 2), TEXT, "mark"),
    )
    square = check_square((BORDER + 3.0, BORDER + 3.0)) if sheet.full_size else ()
    left = BORDER + WITH_SQUARE if sheet.full_size else BORDER
    return (
        PenGroup("border", THICK, paths=border),
        *square,
        *strip(sheet, title, (left, BORDER), (right, BORDER + sheet.strip)),
    )


def strip(sheet: Sheet, title: Title, low: Point, high: Point) -> tuple[PenGroup, ...]:
    """Return title block and notes in a box [mm] at a sheet's foot, and the line over it.

    The block stands in its lower right corner, or where the box is too narrow for it in its upper
    one, out to the left. FileWriteError when the box can't hold it all.
    """
    (x0, y0), (right, top) = low, high
    left = right - BLOCK
    stands = y0 if left >= x0 else top - STRIP
    rules, labels = _fields(sheet, title, (left, stands))
    if left < x0:
        notes = (x0, y0), (right, stands)
        lines = [line((BORDER, stands), (right, stands), TEXT, "rule")]
    elif top - y0 > STRIP:
        notes = (x0, stands + STRIP), (right, top)
        lines = [line((left, stands + STRIP), (right, stands + STRIP), TEXT, "rule")]
    else:
        notes, lines = ((x0, y0), (left, top)), []
    lines += [
        line((BORDER, top), (right, top), TEXT, "rule"),
        line((left, stands), (left, stands + STRIP), TEXT, "rule"),
    ]
    loud, plain = _notes(title, sheet, *notes)
    groups = [
        PenGroup("rules", RULES, paths=(*lines, *rules)),
        PenGroup("titles", THIN, labels=(*labels, *plain)),
    ]
    groups += [PenGroup("release", THIN, labels=loud, red=True)] if loud else []
    if sheet.projection:
        middle = (right - 25.0, stands + ROWS[2][0] + ROWS[1][0] / 2)
        outlines, centres = symbol(sheet.projection, middle, 4.0)
        groups += [
            PenGroup("sign", SIGN, paths=outlines),
            PenGroup("axes", THIN, CHAIN, paths=centres),
        ]
    return tuple(groups)


def check_square(at: Point) -> tuple[PenGroup, PenGroup]:
    """Return the square of 100 mm, its lower left corner at a place, with what to do about it."""
    x, y = at
    middle = x + SQUARE / 2
    words = (("100 mm", 5.0, 56.0), ("print at 100 %, no fitting", 3.5, 46.0),
             ("measure both sides before cutting", 2.5, 38.0))  # fmt: skip
    labels = (Label((middle, y + up), text, tall, 0.0, "middle") for text, tall, up in words)
    outline = rectangle(at, (x + SQUARE, y + SQUARE), TEXT, CHECKED)
    return (
        PenGroup(CHECKED, MEASURED, paths=(outline,)),
        PenGroup("square words", THIN, labels=tuple(labels)),
    )


def _values(sheet: Sheet, title: Title) -> dict[str, str]:
    wide, high = sheet.paper
    return {
        "project": title.project,
        "title": title.part,
        "scale": f"1:{sheet.over}",
        "sheet": f"{sheet.size}, {wide:.0f} x {high:.0f}",
        "unit": told_unit(title.unit),
        "projection": sheet.projection or "one view",
        "revision": title.revision,
        "hand": title.hand.upper(),
        "parameters": title.fingerprint or "-",
    }


def _fields(
    sheet: Sheet, title: Title, corner: Point
) -> tuple[tuple[Path, ...], tuple[Label, ...]]:
    """Return the rules between the block's fields, their names and what stands in them."""
    values = _values(sheet, title)
    rules: list[Path] = []
    labels: list[Label] = []
    top = corner[1] + STRIP
    for number, (tall, fields) in enumerate(ROWS if title.hand else (*ROWS[:-1], NO_HAND)):
        low, x = top - tall, corner[0]
        if number < len(ROWS) - 1:
            rules.append(line((x, low), (x + BLOCK, low), TEXT, "rule"))
        for place, (name, wide) in enumerate(fields):
            if place:
                rules.append(line((x, low), (x, top), TEXT, "rule"))
            labels.append(Label((x + EDGE, top - EDGE - NAME), name, NAME))
            main = number == 0 or name == "hand"
            labels += _written(
                values[name], (x + EDGE, low + EDGE), wide - 2 * EDGE, main, title.part
            )
            x += wide
        top = low
    return tuple(rules), tuple(labels)


def _written(words: str, at: Point, width: float, main: bool, part: str) -> list[Label]:
    """Return what stands in a field: one line, or two smaller ones if it is long."""
    height = MAIN if main else FIELD
    lines = [words]
    if width_of(words, height) > width:
        height, lines = next(
            (
                (tall, made)
                for tall in (2.5, 2.2, 1.8, LEAST)
                if len(made := wrapped(words, width, tall)) <= (2 if main else 1)
            ),
            (0.0, []),
        )
    if not lines:
        raise _too_long(part)
    last = len(lines) - 1
    return [
        Label((at[0], at[1] + (last - i) * height * LINE), text, height)
        for i, text in enumerate(lines)
    ]


def _notes(
    title: Title, sheet: Sheet, low: Point, high: Point
) -> tuple[tuple[Label, ...], tuple[Label, ...]]:
    """Return the reason of a release, large, and the notes, from above in as few columns as do."""
    reason = [(RELEASED, LOUD), (title.reason, LOUD)] if title.reason else []
    rows = [(text, FIELD) for text in (title.note, *sheet.drawing.notes) if text]
    rows += [(text, FIELD) for text in title.cautions]
    width, height = high[0] - low[0], high[1] - low[1] - EDGE
    for factor in SMALLER:
        for many in range(1, max(1, int(width // NARROW)) + 1):
            column = min(width / many, BROAD)
            laid = [
                [
                    (text, tall)
                    for words, size in some
                    for tall in (max(LEAST, size * factor),)
                    for text in wrapped(words, column - 2 * EDGE, tall)
                ]
                for some in (reason, rows)
            ]
            placed = _in_columns([*laid[0], *laid[1]], many, column, height, low[0], high[1])
            if placed:
                return placed[: len(laid[0])], placed[len(laid[0]) :]
    raise _too_long(title.part)


def _in_columns(
    laid: list[tuple[str, float]], many: int, wide: float, height: float, left: float, top: float
) -> tuple[Label, ...]:
    """Return lines of text with their heights in columns; nothing where they need more."""
    labels: list[Label] = []
    column, used = 0, 0.0
    for text, tall in laid:
        if used + tall * LINE > height:
            column, used = column + 1, 0.0
        used += tall * LINE
        if column == many or used > height:
            return ()
        at = (left + column * wide + EDGE, top - EDGE / 2 - used + 0.25 * tall)
        labels.append(Label(at, text, tall))
    return tuple(labels)


def _too_long(part: str) -> FileWriteError:
    return FileWriteError(
        "its title block can't hold all that should stand in it",
        path=part,
        advice="choose a larger sheet, or shorten the reason of the release, names or notes",
    )
