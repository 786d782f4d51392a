"""How lines and texts are put on a page of a PDF."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.drafting.lettering import CAPITAL, FONT, shown
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Point
from geomgen.files.disk import write_bytes

MM = 72.0 / 25.4
# Arcs are drawn as chords this near to them [mm].
SAGITTA = 0.02


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


def red(canvas: Any) -> None:
    """Draw and write in red from here on."""
    canvas.setStrokeColorRGB(0.75, 0, 0)
    canvas.setFillColorRGB(0.75, 0, 0)


def style(canvas: Any, width: float, dashes: tuple[float, ...] = ()) -> None:
    """Set the line width and dashes [mm]."""
    canvas.setLineWidth(width * MM)
    canvas.setDash([dash * MM for dash in dashes])


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
