"""Pages of text and tables as PDF, A4, the same bytes each time."""

import io
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any

from geomgen.documents.record import Banner, Block, Heading, Notice, Table, Words
from geomgen.drafting.formats.pdf.lines import MM, red, text
from geomgen.drafting.lettering import CAPITAL, broken, narrowed, shown
from geomgen.drafting.own_lengths import told, told_table
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.errors import FileWriteError
from geomgen.files.disk import write_bytes

BOLD = "Helvetica-Bold"
EDGE = 15.0
CELL, SMALL, TEXT, HEAD = 7.5, 7.5, 9.5, 12.5
# What the library keeps free inside a page's frame, and room in a table's cell [points].
FRAME = 6
LEFT, RIGHT, ABOVE, BELOW = 2, 4, 1, 2
# Height of the capitals [mm] that a release is told in on every page.
LOUD = 3.0


def write_page(path: Path, title: Title, blocks: Sequence[Block], landscape: bool = False) -> Path:
    """Write blocks onto as many A4 pages as they need; FileWriteError when that fails."""
    from reportlab.platypus import SimpleDocTemplate
    from reportlab.platypus.doctemplate import LayoutError

    size = (297.0, 210.0) if landscape else (210.0, 297.0)
    buffer = io.BytesIO()
    document = SimpleDocTemplate(
        buffer,
        pagesize=(size[0] * MM, size[1] * MM),
        leftMargin=EDGE * MM,
        rightMargin=EDGE * MM,
        topMargin=(EDGE + 7.0) * MM,
        bottomMargin=EDGE * MM,
        invariant=1,
        title=f"{title.project}: {title.part}",
        creator="geomgen",
    )
    width = (size[0] - 2 * EDGE) * MM

    def frame(canvas: Any, _: Any) -> None:
        canvas.setFont("Helvetica", 7.5)
        top = (size[1] - EDGE) * MM
        words = f"{title.project}, revision {title.revision}, parameters {title.fingerprint}"
        canvas.drawString(EDGE * MM, top, shown(words))
        canvas.drawRightString((size[0] - EDGE) * MM, top, f"page {canvas.getPageNumber()}")
        canvas.drawString(EDGE * MM, 8 * MM, " ".join(title.cautions))
        if title.reason:
            told = f"{RELEASED}: {title.reason}"
            red(canvas)
            high = narrowed(told, LOUD, size[0] - 2 * EDGE, BOLD)
            text(canvas, (EDGE, size[1] - EDGE + 5.0), told, high, font=BOLD)

    room = (width, document.height - 2 * FRAME)
    made = [part for block in blocks for part in _flowables(block, room)]
    try:
        document.build(made, onFirstPage=frame, onLaterPages=frame)
    except LayoutError as error:
        raise FileWriteError(
            "a row or paragraph of it is larger than a page", path=path.name, advice="shorten it"
        ) from error
    write_bytes(path, buffer.getvalue())
    return path


def _paragraph(words: str, size: float, bold: bool = False, colour: str = "black") -> Any:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    look = ParagraphStyle(
        "text",
        fontName="Helvetica-Bold" if bold else "Helvetica",
        fontSize=size,
        leading=size * 1.25,
        textColor=colour,
        spaceAfter=2,
        splitLongWords=1,
    )
    return Paragraph(escape(shown(told(words))), look)


def _parted(words: str, width: float) -> str:
    """Return words of a cell with those that are wider than `width` [points] in pieces."""
    room, tall = width / MM, CELL * CAPITAL / MM
    return " ".join(piece for word in words.split(" ") for piece in broken(word, room, tall))


def _flowables(block: Block, room: tuple[float, float]) -> list[Any]:
    """Return what stands for a block on pages of a width and a height [points]."""
    from reportlab.platypus import Spacer

    width, _ = room

    if isinstance(block, Heading):
        return [Spacer(1, 6), _paragraph(block.text, HEAD, bold=True), Spacer(1, 2)]
    if isinstance(block, Words):
        return [_paragraph(block.text, SMALL if block.small else TEXT)]
    if isinstance(block, Notice):
        return [_paragraph(f"NOTICE: {block.text}", TEXT)]
    if isinstance(block, Banner):
        return [_banner(block, width), Spacer(1, 6)]
    return [_table(block, room)]


def _banner(block: Banner, width: float) -> Any:
    from reportlab.platypus import Table as Frame

    size = 26 if len(block.text) < 30 else 17
    words = _paragraph(block.text, size, bold=True, colour="#b00000" if block.loud else "black")
    thick = 3 if block.loud else 1
    look = [
        ("BOX", (0, 0), (-1, -1), thick, "#b00000" if block.loud else "black"),
        ("TOPPADDING", (0, 0), (-1, -1), 6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 10),
    ]
    return Frame([[words]], colWidths=[width], style=look)


def _table(block: Table, room: tuple[float, float]) -> Any:
    """Return a table; its rows stay whole, unless one of them is taller than a page."""
    from reportlab.platypus import LongTable

    widths = [share * room[0] for share in block.shares]
    names, cells = told_table(block.head, [row.cells for row in block.rows])
    head = [_paragraph(cell, CELL, bold=True) for cell in names]
    rows = [
        [
            _paragraph(_parted(cell, wide - LEFT - RIGHT), CELL, cell in ("FAIL", "NOT MEASURED"))
            for cell, wide in zip(row, widths, strict=True)
        ]
        for row in cells
    ]
    look = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, "black"),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, "#999999"),
        ("LEFTPADDING", (0, 0), (-1, -1), LEFT),
        ("RIGHTPADDING", (0, 0), (-1, -1), RIGHT),
        ("TOPPADDING", (0, 0), (-1, -1), ABOVE),
        ("BOTTOMPADDING", (0, 0), (-1, -1), BELOW),
    ]
    cut = int(any(_height(head, widths) + _height(row, widths) > room[1] for row in rows))
    return LongTable([head, *rows], colWidths=widths, repeatRows=1, splitInRow=cut, style=look)


def _height(row: Sequence[Any], widths: Sequence[float]) -> float:
    """Return the height [points] of a row of paragraphs."""
    cells = zip(row, widths, strict=True)
    tallest: float = max(cell.wrap(wide - LEFT - RIGHT, 0.0)[1] for cell, wide in cells)
    return tallest + ABOVE + BELOW
