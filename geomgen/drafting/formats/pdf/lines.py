"""How a drawing is put on paper: line widths and dashes by layer, text, the check square.

Layers are told apart by width and dash, not by colour; the proof finds them again by their width.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import CAPITAL as CAPITAL
from geomgen.drafting.lettering import FONT as FONT
from geomgen.drafting.lettering import extent as extent
from geomgen.drafting.lettering import shown as shown
from geomgen.drafting.lettering import text_box as text_box
from geomgen.drafting.lettering import width_of as width_of
from geomgen.drafting.paper.pens import PENS, filled
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Drawing, Point
from geomgen.files.disk import write_bytes

MM = 72.0 / 25.4
SQUARE = 100.0
MARGIN = 10.0
# Width [mm] and dashes [mm] of each layer; widths of the check square and of frames [mm].
STYLES = PENS
CHECK_WIDTH, FRAME_WIDTH, FINE_WIDTH = 0.50, 0.13, 0.08
# Arcs are drawn as chords this near to them [mm]: a tenth of what the proof allows.
SAGITTA = 0.02
BOLD = "Helvetica-Bold"
Place = Callable[[Point], Point]


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
    """Draw lines, texts and dimensions; `place` takes a point of the drawing to the page [mm]."""
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    whole = drawn_out(drawing)
    for path in whole.paths:
        if len(path.points) < 2:
            continue
        style(canvas, *STYLES[path.layer])
        points = [place(point) for point in path.dense(SAGITTA / scale)]
        stroke(canvas, points, filled(path.layer, path.closed))
    for label in whole.labels:
        text(canvas, place(label.at), label.text, label.height * scale, label.angle, label.anchor)


def stroke(canvas: Any, points: Sequence[Point], fill: bool = False) -> None:
    """Draw lines from point to point [mm]; a run that ends where it began is closed."""
    run = canvas.beginPath()
    run.moveTo(points[0][0] * MM, points[0][1] * MM)
    for x, y in points[1:]:
        run.lineTo(x * MM, y * MM)
    if points[0] == points[-1]:
        run.close()
    canvas.drawPath(run, stroke=1, fill=int(fill))


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
