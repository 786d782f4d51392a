"""A drawing on one page: at full size on the smallest sheet that holds it, or fitted onto one.

Sheets are those of ISO 216, scales those of ISO 5455.
"""

from dataclasses import dataclass, replace
from pathlib import Path

from geomgen.drawings.record import Drawing, Point
from geomgen.drawings.title import Title
from geomgen.files.pdf_lines import (
    FRAME_WIDTH,
    MARGIN,
    MM,
    SQUARE,
    check_square,
    draw,
    new_canvas,
    save,
    style,
    title_block,
)

SHEETS: dict[str, Point] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "A0": (841.0, 1189.0),
}
SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500)
# Height of the strip under the drawing that holds title block and check square [mm].
STRIP, LOW_STRIP = SQUARE + 8.0, 50.0
CLEAR = 5.0


@dataclass(frozen=True)
class Layout:
    """Where a drawing stands on its page [mm]: page size, scale 1:`over`, its low corner there."""

    name: str
    size: Point
    over: int
    corner: Point


def layout(drawing: Drawing, full_size: bool) -> Layout:
    """Return the page for a drawing."""
    (x0, y0), (x1, y1) = drawing.box()
    width, height = x1 - x0, y1 - y0
    if not full_size:
        return _fitted(width, height)
    need = (
        max(width + 2 * CLEAR, SQUARE + 80.0) + 2 * MARGIN,
        height + 2 * CLEAR + STRIP + 2 * MARGIN,
    )
    choices = [(name, size) for name, (a, b) in SHEETS.items() for size in ((a, b), (b, a))]
    fits = [(name, s) for name, s in choices if s[0] >= need[0] and s[1] >= need[1]]
    name, size = fits[0] if fits else ("one large sheet", (_up(need[0]), _up(need[1])))
    return Layout(name, size, 1, (MARGIN + CLEAR, MARGIN + STRIP + CLEAR))


def _up(length: float) -> float:
    return 10.0 * (int(length // 10.0) + 1)


def _fitted(width: float, height: float) -> Layout:
    size = (SHEETS["A3"][1], SHEETS["A3"][0])
    room = (
        size[0] - 2 * (MARGIN + CLEAR),
        size[1] - 2 * (MARGIN + CLEAR) - LOW_STRIP,
    )
    over = next((n for n in SCALES if width / n <= room[0] and height / n <= room[1]), SCALES[-1])
    left = (size[0] - width / over) / 2
    up = MARGIN + LOW_STRIP + CLEAR + (room[1] - height / over) / 2
    return Layout("A3", size, over, (left, up))


def write_sheet(path: Path, drawing: Drawing, title: Title, full_size: bool = True) -> Path:
    """Write a drawing [mm] onto one page; FileWriteError when that fails."""
    made = layout(drawing, full_size)
    scale = 1.0 / made.over
    named = replace(title, scale=f"1:{made.over}")
    canvas, buffer = new_canvas(named, made.size)
    (x0, y0), _ = drawing.box()

    def place(point: Point) -> Point:
        return (
            made.corner[0] + (point[0] - x0) * scale,
            made.corner[1] + (point[1] - y0) * scale,
        )

    width, height = made.size
    style(canvas, FRAME_WIDTH)
    canvas.rect(MARGIN * MM, MARGIN * MM, (width - 2 * MARGIN) * MM, (height - 2 * MARGIN) * MM)
    draw(canvas, drawing, place, scale)
    sheet = f"sheet: {made.name}, {width:.0f} x {height:.0f} mm"
    strip = STRIP if full_size else LOW_STRIP
    left = MARGIN
    if full_size:
        check_square(canvas, (MARGIN + 3.0, MARGIN + 3.0))
        left = MARGIN + SQUARE + 6.0
    block = min(width - MARGIN - left, 180.0)
    title_block(
        canvas,
        named,
        (sheet, *drawing.notes),
        (width - MARGIN - block, MARGIN),
        (width - MARGIN, MARGIN + strip),
    )
    canvas.showPage()
    return save(canvas, buffer, path)
