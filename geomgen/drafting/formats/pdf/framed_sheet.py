"""A drawing's sheet as PDF: one page of its size, the same lines and texts as in every format."""

from dataclasses import replace
from pathlib import Path

from geomgen.drafting.formats.pdf.lines import SAGITTA, new_canvas, save, stroke, style, text
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.pens import filled
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title

ROUND = 1


def write_drawing_sheet(path: Path, sheet: Sheet, title: Title) -> Path:
    """Write a sheet as PDF, exactly at its scale; FileWriteError when that fails."""
    groups = on_paper(sheet, title)
    canvas, buffer = new_canvas(replace(title, scale=f"1:{sheet.over}"), sheet.paper)
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    canvas.setLineCap(ROUND)
    canvas.setLineJoin(ROUND)
    for group in groups:
        style(canvas, group.width, group.dashes)
        for outline in group.paths:
            stroke(canvas, outline.dense(SAGITTA), filled(outline.layer, outline.closed))
        for label in group.labels:
            text(canvas, label.at, label.text, label.height, label.angle, label.anchor)
    canvas.showPage()
    return save(canvas, buffer, path)
