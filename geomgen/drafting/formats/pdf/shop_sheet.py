"""A drawing on one page: at full size on the smallest paper that holds it, or fitted onto one.

Sheets are those of ISO 216, scales those of ISO 5455. A large sheet that would stay empty for the
most part gives way to a length cut off a roll, as plotters print.
"""

import math
from dataclasses import dataclass, replace
from pathlib import Path

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.formats.pdf.lines import (
    FRAME_WIDTH,
    MARGIN,
    MM,
    SQUARE,
    check_square,
    draw,
    extent,
    new_canvas,
    save,
    style,
)
from geomgen.drafting.formats.pdf.title_block import title_block
from geomgen.drafting.paper.sheet import SCALES, SIZES
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Drawing, Point
from geomgen.errors import FileWriteError

# Upright here: an outline at full size may stand either way.
SHEETS: dict[str, Point] = {name: (high, wide) for name, (wide, high) in SIZES.items()}
# Height of the strip under the drawing that holds title block and check square [mm].
STRIP, LOW_STRIP = SQUARE + 8.0, 50.0
CLEAR = 5.0
# Widths of plotter rolls [mm]: those of ISO 216, and 24, 30, 36, 42 in (common practice).
ROLLS = (297.0, 420.0, 594.0, 610.0, 762.0, 841.0, 914.0, 1067.0)
# Sheets that come off a plotter, and the share of one that a drawing takes at least: own choice.
PLOTTED, TAKEN = ("A1", "A0"), 0.6
# Readers take no page longer than 14400 points (ISO 32000-1, annex C).
LONGEST = 14400.0 / MM


@dataclass(frozen=True)
class Layout:
    """Where a drawing stands on its page [mm]: page size, scale 1:`over`.

    `low` is the drawing's low corner, its texts included, `corner` where that stands on the page.
    """

    name: str
    size: Point
    over: int
    corner: Point
    low: Point

    def place(self, point: Point) -> Point:
        """Return where a point of the drawing stands on the page."""
        return (
            self.corner[0] + (point[0] - self.low[0]) / self.over,
            self.corner[1] + (point[1] - self.low[1]) / self.over,
        )


def layout(drawing: Drawing, full_size: bool) -> Layout:
    """Return the page for a drawing."""
    low, high = extent(drawn_out(drawing))
    width, height = high[0] - low[0], high[1] - low[1]
    if not full_size:
        return _fitted(width, height, low)
    need = (
        max(width + 2 * CLEAR, SQUARE + 80.0) + 2 * MARGIN,
        height + 2 * CLEAR + STRIP + 2 * MARGIN,
    )
    name, size = _paper(need)
    return Layout(name, size, 1, (MARGIN + CLEAR, MARGIN + STRIP + CLEAR), low)


def _paper(need: Point) -> tuple[str, Point]:
    """Return name and size [mm] of the paper for a page that needs so much, either way up.

    >>> _paper((690.0, 235.0))
    ('762 mm roll', (762.0, 240.0))
    """
    choices = [(name, size) for name, (a, b) in SHEETS.items() for size in ((a, b), (b, a))]
    fits = [(name, s) for name, s in choices if s[0] >= need[0] and s[1] >= need[1]]
    if fits:
        name, (wide, high) = fits[0]
        if name not in PLOTTED or need[0] * need[1] >= TAKEN * wide * high:
            return fits[0]
    cuts = [(f"{roll:g} mm roll", (roll, _up(need[1]))) for roll in ROLLS if roll >= need[0]]
    cuts += [(f"{roll:g} mm roll", (_up(need[0]), roll)) for roll in ROLLS if roll >= need[1]]
    if not cuts:
        return "one large sheet", (_up(need[0]), _up(need[1]))
    return min([*fits[:1], *cuts], key=lambda row: row[1][0] * row[1][1])


def _up(length: float) -> float:
    return 10.0 * math.ceil(length / 10.0)


def _fitted(width: float, height: float, low: Point) -> Layout:
    size = (SHEETS["A3"][1], SHEETS["A3"][0])
    room = (
        size[0] - 2 * (MARGIN + CLEAR),
        size[1] - 2 * (MARGIN + CLEAR) - LOW_STRIP,
    )
    over = next((n for n in SCALES if width / n <= room[0] and height / n <= room[1]), SCALES[-1])
    left = (size[0] - width / over) / 2
    up = MARGIN + LOW_STRIP + CLEAR + (room[1] - height / over) / 2
    return Layout("A3", size, over, (left, up), low)


def write_sheet(path: Path, drawing: Drawing, title: Title, full_size: bool = True) -> Path:
    """Write a drawing [mm] onto one page; FileWriteError when that fails or none is so large."""
    made = layout(drawing, full_size)
    if max(made.size) > LONGEST:
        raise FileWriteError(
            f"its page would be {max(made.size):.0f} mm long, and readers take {LONGEST:.0f}",
            path=path.name,
            advice="ask for shorter pieces",
        )
    named = replace(title, scale=f"1:{made.over}")
    canvas, buffer = new_canvas(named, made.size)
    width, height = made.size
    style(canvas, FRAME_WIDTH)
    canvas.rect(MARGIN * MM, MARGIN * MM, (width - 2 * MARGIN) * MM, (height - 2 * MARGIN) * MM)
    draw(canvas, drawing, made.place, 1.0 / made.over)
    sheet = f"sheet: {made.name}, {width:.0f} x {height:.0f} mm"
    strip = STRIP if full_size else LOW_STRIP
    left = MARGIN
    if full_size:
        check_square(canvas, (MARGIN + 3.0, MARGIN + 3.0))
        left = MARGIN + SQUARE + 6.0
    title_block(
        canvas,
        named,
        (sheet, *drawing.notes),
        (left, MARGIN),
        (width - MARGIN, MARGIN + strip),
    )
    canvas.showPage()
    return save(canvas, buffer, path)
