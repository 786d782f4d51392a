"""How a drawing is put on paper: line widths and dashes by layer, text, the check square.

Layers are told apart by width and dash, not by colour; the proof finds them again by their width.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from geomgen.drawings.record import BEND, CAP, CUT, REF, TEXT, Drawing, Point
from geomgen.drawings.title import Title
from geomgen.files.disk import write_bytes

MM = 72.0 / 25.4
SQUARE = 100.0
MARGIN = 10.0
# Width [mm] and dashes [mm] of each layer, of the check square and of frames.
STYLES: dict[str, tuple[float, tuple[float, ...]]] = {
    CUT: (0.35, ()),
    CAP: (0.30, (4.0, 1.0, 0.5, 1.0)),
    BEND: (0.25, (6.0, 1.5)),
    REF: (0.18, (1.5, 1.0)),
    TEXT: (0.15, ()),
}
CHECK_WIDTH, FRAME_WIDTH = 0.50, 0.13
# Arcs are drawn as chords this near to them [mm].
SAGITTA = 0.004
# Height of a capital letter over the size of the font.
CAPITAL = 0.718
FONT, BOLD = "Helvetica", "Helvetica-Bold"
Place = Callable[[Point], Point]


def new_canvas(title: Title, size: Point) -> tuple[Any, Any]:
    """Return a canvas for pages of `size` [mm] and the buffer behind it; no time stamps."""
    import io

    from reportlab.pdfgen.canvas import Canvas

    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(size[0] * MM, size[1] * MM), invariant=1, pageCompression=1)
    canvas.setTitle(f"{title.project}: {title.part}, revision {title.revision}")
    canvas.setCreator("geomgen")
    return canvas, buffer


def save(canvas: Any, buffer: Any, path: Path) -> Path:
    """Finish a canvas and write it; FileWriteError when that fails."""
    canvas.save()
    write_bytes(path, buffer.getvalue())
    return path


def style(canvas: Any, width: float, dashes: tuple[float, ...] = ()) -> None:
    """Set the line width and dashes [mm]."""
    canvas.setLineWidth(width * MM)
    canvas.setDash([dash * MM for dash in dashes])


def draw(canvas: Any, drawing: Drawing, place: Place, scale: float = 1.0) -> None:
    """Draw all lines and texts; `place` takes a point of the drawing to the page [mm]."""
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    for path in drawing.paths:
        style(canvas, *STYLES[path.layer])
        stroke(canvas, [place(point) for point in path.dense(SAGITTA / scale)])
    for label in drawing.labels:
        text(canvas, place(label.at), label.text, label.height * scale, label.angle, label.anchor)


def stroke(canvas: Any, points: Sequence[Point]) -> None:
    """Draw lines from point to point [mm]; a run that ends where it began is closed."""
    run = canvas.beginPath()
    run.moveTo(points[0][0] * MM, points[0][1] * MM)
    for x, y in points[1:]:
        run.lineTo(x * MM, y * MM)
    if points[0] == points[-1]:
        run.close()
    canvas.drawPath(run, stroke=1, fill=0)


def text(
    canvas: Any,
    at: Point,
    words: str,
    height: float,
    angle: float = 0.0,
    anchor: str = "start",
    font: str = FONT,
) -> None:
    """Write a line of text with capitals `height` [mm] high."""
    canvas.saveState()
    canvas.translate(at[0] * MM, at[1] * MM)
    canvas.rotate(angle)
    canvas.setFont(font, height * MM / CAPITAL)
    shown = words.encode("cp1252", "replace").decode("cp1252")
    {"middle": canvas.drawCentredString, "end": canvas.drawRightString}.get(
        anchor, canvas.drawString
    )(0, 0, shown)
    canvas.restoreState()


def check_square(canvas: Any, at: Point) -> None:
    """Draw the square of 100 mm with what to do about it."""
    style(canvas, CHECK_WIDTH)
    canvas.rect(at[0] * MM, at[1] * MM, SQUARE * MM, SQUARE * MM, stroke=1, fill=0)
    middle = at[0] + SQUARE / 2
    text(canvas, (middle, at[1] + 56), "100 mm", 5.0, anchor="middle", font=BOLD)
    text(canvas, (middle, at[1] + 46), "print at 100 %, no fitting", 3.5, anchor="middle")
    text(canvas, (middle, at[1] + 38), "measure both sides before cutting", 3.0, anchor="middle")


def title_block(canvas: Any, title: Title, notes: tuple[str, ...], low: Point, high: Point) -> None:
    """Write the title block into a box [mm], the reason of a release in large type on top."""
    style(canvas, FRAME_WIDTH)
    (x0, y0), (x1, y1) = low, high
    canvas.rect(x0 * MM, y0 * MM, (x1 - x0) * MM, (y1 - y0) * MM, stroke=1, fill=0)
    y = y1 - 2.0
    for words, height, font in _title_rows(title, notes):
        for line in wrapped(words, x1 - x0 - 4.0, height, font):
            y -= height * 1.55
            if y < y0 + 1.0:
                return
            if font == BOLD and title.reason and words.startswith(RELEASED):
                canvas.setFillColorRGB(0.75, 0, 0)
            text(canvas, (x0 + 2.0, y), line, height, font=font)
            canvas.setFillGray(0)


RELEASED = "RELEASED ALTHOUGH A CHECK FAILED"


def _title_rows(title: Title, notes: tuple[str, ...]) -> list[tuple[str, float, str]]:
    rows: list[tuple[str, float, str]] = []
    if title.reason:
        rows.append((f"{RELEASED}: {title.reason}", 4.5, BOLD))
    rows.append((title.part, 4.0, BOLD))
    if title.hand:
        rows.append((f"{title.hand.upper()} HAND", 4.0, BOLD))
    rows.append((title.project, 3.0, FONT))
    rows.append((f"revision {title.revision}, scale {title.scale}, unit {title.unit}", 3.0, FONT))
    rows.append((f"parameters {title.fingerprint}", 2.5, FONT))
    rows += [(words, 2.2, FONT) for words in title.cautions]
    return rows + [(words, 2.5, FONT) for words in (title.note, *notes) if words]


def wrapped(words: str, width: float, height: float, font: str = FONT) -> list[str]:
    """Return lines of text that fit a width [mm] with capitals `height` [mm] high."""
    from reportlab.lib.utils import simpleSplit

    shown = words.encode("cp1252", "replace").decode("cp1252")
    return [str(line) for line in simpleSplit(shown, font, height * MM / CAPITAL, width * MM)]
