"""How a drawing is put on paper: line widths and dashes by layer, text, the check square.

Layers are told apart by width and dash, not by colour; the proof finds them again by their width.
"""

import math
import unicodedata
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from geomgen.drawings.record import BEND, CAP, CUT, REF, TEXT, Drawing, Label, Point
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
CHECK_WIDTH, FRAME_WIDTH, FINE_WIDTH = 0.50, 0.13, 0.08
# Arcs are drawn as chords this near to them [mm]: a tenth of what the proof allows.
SAGITTA = 0.02
# Height of a capital letter over the size of the font.
CAPITAL = 0.718
# How deep letters hang below their line, over the height of a capital.
DEEP = 0.3
PLAIN = str.maketrans({"\u2212": "-", "\u2264": "<=", "\u2265": ">="})
FONT, BOLD = "Helvetica", "Helvetica-Bold"
Place = Callable[[Point], Point]
Box = tuple[float, float, float, float]


def new_canvas(title: Title, size: Point) -> tuple[Any, Any]:
    """Return a canvas for pages of `size` [mm] and the buffer behind it; no time stamps."""
    import io

    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    # Text armour for old mail systems: it costs a tenth of the time and a quarter of the size.
    rl_config.useA85 = 0
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
        if len(path.points) < 2:
            continue
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
    {"middle": canvas.drawCentredString, "end": canvas.drawRightString}.get(
        anchor, canvas.drawString
    )(0, 0, shown(words))
    canvas.restoreState()


def shown(words: str) -> str:
    """Return text in the letters that the standard fonts have."""
    plain = words.translate(PLAIN)
    try:
        return plain.encode("cp1252").decode("cp1252")
    except UnicodeError:
        bare = unicodedata.normalize("NFKD", plain)
        return (
            "".join(c for c in bare if not unicodedata.combining(c))
            .encode("cp1252", "replace")
            .decode("cp1252")
        )


def text_box(label: Label) -> Box:
    """Return lowest x, lowest y, highest x, highest y [mm] of a label as it is drawn."""
    long = width_of(label.text, label.height)
    start = {"middle": -long / 2, "end": -long}.get(label.anchor, 0.0)
    turn = math.radians(label.angle)
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x, y) for x in (start, start + long) for y in (-DEEP * label.height, label.height)]
    xs = [label.at[0] + x * cos - y * sin for x, y in corners]
    ys = [label.at[1] + x * sin + y * cos for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def extent(drawing: Drawing) -> tuple[Point, Point]:
    """Return the lowest and highest corner [mm] of all lines and of all texts to their ends."""
    boxes = [text_box(label) for label in drawing.labels]
    low, high = drawing.box()
    xs = [low[0], high[0], *(x for box in boxes for x in (box[0], box[2]))]
    ys = [low[1], high[1], *(y for box in boxes for y in (box[1], box[3]))]
    return (min(xs), min(ys)), (max(xs), max(ys))


def width_of(words: str, height: float, font: str = FONT) -> float:
    """Return how wide [mm] a line of text is with capitals `height` [mm] high."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(shown(words), font, height * MM / CAPITAL)) / MM


def narrowed(words: str, height: float, width: float, font: str = FONT) -> float:
    """Return the height [mm], at most `height`, at which a line fits a width [mm]."""
    return min(height, height * width / max(width_of(words, height, font), 1e-9))


def check_square(canvas: Any, at: Point) -> None:
    """Draw the square of 100 mm with what to do about it."""
    style(canvas, CHECK_WIDTH)
    canvas.rect(at[0] * MM, at[1] * MM, SQUARE * MM, SQUARE * MM, stroke=1, fill=0)
    middle = at[0] + SQUARE / 2
    text(canvas, (middle, at[1] + 56), "100 mm", 5.0, anchor="middle", font=BOLD)
    text(canvas, (middle, at[1] + 46), "print at 100 %, no fitting", 3.5, anchor="middle")
    text(canvas, (middle, at[1] + 38), "measure both sides before cutting", 3.0, anchor="middle")
