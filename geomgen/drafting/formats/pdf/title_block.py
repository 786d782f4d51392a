"""The title block of a page: everything in it is written, in as many columns as that takes."""

from dataclasses import dataclass
from typing import Any

from geomgen.drafting.formats.pdf.lines import (
    BOLD,
    CAPITAL,
    FONT,
    FRAME_WIDTH,
    MM,
    shown,
    style,
    text,
    width_of,
)
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import Point
from geomgen.errors import FileWriteError

# Width of a column [mm] that is still easy to read, edge of the block, line over letter height.
COLUMN, EDGE, LINE = 80.0, 2.0, 1.6
# Text is made smaller only if no number of columns holds it, and never below this [mm].
SMALLER, LEAST = (1.0, 0.9, 0.8, 0.7, 0.6), 1.5


@dataclass(frozen=True)
class Row:
    """A paragraph of the block: words, height of a capital [mm], font, whether in red."""

    words: str
    height: float
    font: str = FONT
    red: bool = False


def title_block(canvas: Any, title: Title, notes: tuple[str, ...], low: Point, high: Point) -> None:
    """Write the title block into the right of a box [mm], the reason of a release on top.

    FileWriteError when the box can't hold it.
    """
    rows = title_rows(title, notes)
    columns = max(1, int((high[0] - low[0]) // COLUMN))
    for factor in SMALLER:
        for many in range(1, columns + 1):
            wide = min((high[0] - low[0]) / many, 1.5 * COLUMN)
            laid = _laid(rows, factor, wide - 2 * EDGE, high[1] - low[1] - 2 * EDGE)
            if len(laid) <= many:
                _write(canvas, laid, wide, low, high)
                return
    raise FileWriteError(
        "its title block can't hold all that should stand in it",
        path=title.part,
        advice="shorten the reason of the release or the notes",
    )


def _write(canvas: Any, laid: list[list[Row]], wide: float, low: Point, high: Point) -> None:
    left = high[0] - len(laid) * wide
    style(canvas, FRAME_WIDTH)
    canvas.rect(
        left * MM, low[1] * MM, (high[0] - left) * MM, (high[1] - low[1]) * MM, stroke=1, fill=0
    )
    for number, column in enumerate(laid):
        y = high[1] - EDGE
        for row in column:
            y -= row.height * LINE
            if row.red:
                canvas.setFillColorRGB(0.75, 0, 0)
            text(canvas, (left + number * wide + EDGE, y), row.words, row.height, font=row.font)
            canvas.setFillGray(0)


def _laid(rows: list[Row], factor: float, width: float, height: float) -> list[list[Row]]:
    """Return lines in columns of a width and height [mm]."""
    columns: list[list[Row]] = [[]]
    used = 0.0
    for row in rows:
        tall = row.height if row.words == RELEASED else max(LEAST, row.height * factor)
        for line in wrapped(row.words, width, tall, row.font):
            if used + tall * LINE > height and columns[-1]:
                columns.append([])
                used = 0.0
            columns[-1].append(Row(line, tall, row.font, row.red))
            used += tall * LINE
    return columns


def title_rows(title: Title, notes: tuple[str, ...]) -> list[Row]:
    """Return what stands in the title block, from above."""
    rows: list[Row] = []
    if title.reason:
        rows += [Row(RELEASED, 4.5, BOLD, True), Row(title.reason, 4.5, BOLD, True)]
    rows.append(Row(title.part, 4.0, BOLD))
    if title.hand:
        rows.append(Row(f"{title.hand.upper()} HAND", 4.0, BOLD))
    rows.append(Row(title.project, 3.0))
    rows.append(Row(f"revision {title.revision}, scale {title.scale}, unit {title.unit}", 3.0))
    rows.append(Row(f"parameters {title.fingerprint}", 2.5))
    rows += [Row(words, 2.2) for words in title.cautions]
    return rows + [Row(words, 2.5) for words in (title.note, *notes) if words]


def wrapped(words: str, width: float, height: float, font: str = FONT) -> list[str]:
    """Return lines of text that fit a width [mm] with capitals `height` [mm] high.

    A name that is wider than the line is broken, behind an underscore if it has one.

    >>> wrapped("wing_core_root_template_left", 30.0, 3.0)
    ['wing_core_', 'root_template_', 'left']
    """
    from reportlab.lib.utils import simpleSplit

    lines: list[str] = []
    for line in simpleSplit(shown(words), font, height * MM / CAPITAL, width * MM):
        while width_of(line, height, font) > width and len(line) > 1:
            fits = max(
                (i for i in range(1, len(line)) if width_of(line[:i], height, font) <= width),
                default=1,
            )
            at = line.rfind("_", 0, fits) + 1 or fits
            lines.append(line[:at])
            line = line[at:]
        lines.append(str(line))
    return lines
