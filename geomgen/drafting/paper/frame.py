"""The frame of a sheet and its title block, in millimetres of paper from its lower left corner.

Width of the frame's line and centring marks after ISO 5457, but the border is 10 mm on all sides;
the block's data fields after ISO 7200 (180 mm wide, in the lower right corner). To the left of it
stands what a reader has to know before cutting.
"""

from dataclasses import dataclass

from geomgen.drafting.lettering import width_of, wrapped
from geomgen.drafting.paper.projection_symbol import symbol
from geomgen.drafting.paper.sheet import BORDER, STRIP, Sheet
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import TEXT, Label, Path, Point, line, rectangle
from geomgen.errors import FileWriteError

BLOCK = 180.0
# Widths of lines [mm]: frame and centring marks, rules of the block, the sign of the projection.
THICK, RULES, SIGN, THIN = 0.70, 0.25, 0.35, 0.18
CHAIN = (4.3, 0.8, 0.4, 0.8)
# How far centring marks reach inside the frame [mm].
MARK = 5.0
# Heights of letters [mm]: name of a field, what stands in it, the most important of it, a release.
NAME, FIELD, MAIN, LOUD = 1.8, 2.5, 3.5, 5.0
SMALLER, LEAST = (1.0, 0.9, 0.8, 0.7, 0.6), 1.5
EDGE, PITCH = 2.0, 1.6
# Rows of the block from above: height [mm], and of each field its name and width [mm].
ROWS: tuple[tuple[float, tuple[tuple[str, float], ...]], ...] = (
    (14.0, (("project", 90.0), ("title", 90.0))),
    (13.0, (("scale", 30.0), ("sheet", 40.0), ("unit", 20.0), ("projection", 90.0))),
    (13.0, (("revision", 30.0), ("hand", 40.0), ("parameters", 110.0))),
)
# A drawing of what has no hand has no field for it either.
NO_HAND = (13.0, (("revision", 30.0), ("parameters", 150.0)))


@dataclass(frozen=True)
class Group:
    """Lines that are drawn with one pen, and texts; all in millimetres of paper."""

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    paths: tuple[Path, ...] = ()
    labels: tuple[Label, ...] = ()


def frame(sheet: Sheet, title: Title) -> tuple[Group, ...]:
    """Return frame, centring marks, title block and notes of a sheet.

    FileWriteError when the strip at the foot can't hold what should stand in it.
    """
    wide, high = sheet.paper
    right, top = wide - BORDER, high - BORDER
    left = right - BLOCK
    border = (
        rectangle((BORDER, BORDER), (right, top), TEXT, "frame"),
        line((wide / 2, 0.0), (wide / 2, BORDER), TEXT, "mark"),
        line((wide / 2, high), (wide / 2, top - MARK), TEXT, "mark"),
        line((0.0, high / 2), (BORDER + MARK, high / 2), TEXT, "mark"),
        line((wide, high / 2), (right - MARK, high / 2), TEXT, "mark"),
    )
    rules, labels = _fields(sheet, title, (left, BORDER))
    rules = (
        line((BORDER, BORDER + STRIP), (right, BORDER + STRIP), TEXT, "rule"),
        line((left, BORDER), (left, BORDER + STRIP), TEXT, "rule"),
        *rules,
    )
    notes = _notes(title, sheet, left - BORDER - 2 * EDGE)
    groups = [
        Group("border", THICK, paths=border),
        Group("rules", RULES, paths=rules),
        Group("titles", THIN, labels=(*labels, *notes)),
    ]
    if sheet.projection:
        middle = (left + BLOCK - 25.0, BORDER + ROWS[2][0] + ROWS[1][0] / 2)
        outlines, centres = symbol(sheet.projection, middle, 4.0)
        groups += [Group("sign", SIGN, paths=outlines), Group("axes", THIN, CHAIN, paths=centres)]
    return tuple(groups)


def _values(sheet: Sheet, title: Title) -> dict[str, str]:
    wide, high = sheet.paper
    return {
        "project": title.project,
        "title": title.part,
        "scale": f"1:{sheet.over}",
        "sheet": f"{sheet.size}, {wide:.0f} x {high:.0f}",
        "unit": title.unit,
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
            labels += _written(
                values[name], (x + EDGE, low + EDGE), wide - 2 * EDGE, number == 0, title.part
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
        Label((at[0], at[1] + (last - i) * height * PITCH), text, height)
        for i, text in enumerate(lines)
    ]


def _notes(title: Title, sheet: Sheet, width: float) -> tuple[Label, ...]:
    """Return the lines to the left of the block, from above; a release first and large."""
    rows = [(RELEASED, LOUD), (title.reason, LOUD)] if title.reason else []
    rows += [(text, FIELD) for text in (title.note, *sheet.drawing.notes) if text]
    rows += [(text, FIELD) for text in title.cautions]
    for factor in SMALLER:
        laid = [
            (text, height)
            for words, size in rows
            for height in (max(LEAST, size * factor),)
            for text in wrapped(words, width, height)
        ]
        if sum(height * PITCH for _, height in laid) <= STRIP - EDGE:
            return _stacked(laid)
    raise _too_long(title.part)


def _stacked(laid: list[tuple[str, float]]) -> tuple[Label, ...]:
    y = BORDER + STRIP - EDGE / 2
    labels = []
    for text, height in laid:
        y -= height * PITCH
        labels.append(Label((BORDER + EDGE, y + 0.25 * height), text, height))
    return tuple(labels)


def _too_long(part: str) -> FileWriteError:
    return FileWriteError(
        "its title block can't hold all that should stand in it",
        path=part,
        advice="choose a larger sheet, or shorten the reason of the release, names or notes",
    )
