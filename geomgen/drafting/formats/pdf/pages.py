"""Sheets and tiles as PDF: the same lines and texts as in every format, exactly at their scale."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.drafting.formats.pdf.lines import (
    MM,
    SAGITTA,
    new_canvas,
    red,
    save,
    stroke,
    style,
    text,
)
from geomgen.drafting.paper.frame import PenGroup
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.pens import filled
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.tile_pages import tile_pages
from geomgen.drafting.paper.tiling import PAPERS
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Drawing, Point

ROUND = 1


def write_sheet(path: Path, sheet: Sheet, title: Title) -> Path:
    """Write a sheet as one page; FileWriteError when that fails or the sheet is too small."""
    return _written(path, title, sheet.paper, [on_paper(sheet, title)])


def write_tiles(path: Path, drawing: Drawing, title: Title, paper: str, overlap: float) -> Path:
    """Write the tiles of a drawing [mm] on A4 or Letter; FileWriteError when that fails."""
    return _written(path, title, PAPERS[paper], tile_pages(drawing, title, paper, overlap))


def _written(path: Path, title: Title, size: Point, pages: Sequence[tuple[PenGroup, ...]]) -> Path:
    canvas, buffer = new_canvas(title, size)
    for page in pages:
        canvas.setStrokeGray(0)
        canvas.setFillGray(0)
        canvas.setLineCap(ROUND)
        canvas.setLineJoin(ROUND)
        for group in page:
            _draw(canvas, group)
        canvas.showPage()
    return save(canvas, buffer, path)


def _draw(canvas: Any, group: PenGroup) -> None:
    """Draw the lines of a group and write its texts."""
    canvas.saveState()
    if group.window is not None:
        (x0, y0), (x1, y1) = group.window
        window = canvas.beginPath()
        window.rect(x0 * MM, y0 * MM, (x1 - x0) * MM, (y1 - y0) * MM)
        canvas.clipPath(window, stroke=0, fill=0)
    if group.red:
        red(canvas)
    style(canvas, group.width, group.dashes)
    for outline in group.paths:
        stroke(canvas, outline.dense(SAGITTA), filled(outline.layer, outline.closed))
    for label in group.labels:
        text(canvas, label.at, label.text, label.height, label.angle, label.anchor)
    canvas.restoreState()
