"""The lines of a PDF as it stands on the disk: read back with a renderer's own parser."""

import ctypes
import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.drafting.formats.pdf.lines import MM
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors

Run = list[tuple[float, float]]


@dataclass(frozen=True)
class Stroke:
    """One drawn path: line width [mm] and its points [mm from the page's lower left corner]."""

    width: float
    points: Run

    def box(self) -> tuple[float, float, float, float]:
        """Return lowest x, lowest y, highest x, highest y [mm]."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True)
class Page:
    """One page: size [mm] and everything that is stroked on it."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]


@contextmanager
def pages(path: Path) -> Iterator[list[Page]]:
    """Give the pages of a PDF; FileWriteError when it can't be read."""
    import pypdfium2

    with disk_errors(path.name):
        data = path.read_bytes()
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise FileWriteError(
            "it can't be read back as PDF", path=path.name, advice="write it again"
        ) from error
    try:
        yield [_page(document[i]) for i in range(len(document))]
    finally:
        document.close()


def _page(page: Any) -> Page:
    from pypdfium2 import raw

    strokes: list[Stroke] = []
    for i in range(raw.FPDFPage_CountObjects(page)):
        item = raw.FPDFPage_GetObject(page, i)
        if raw.FPDFPageObj_GetType(item) == raw.FPDF_PAGEOBJ_PATH:
            strokes += _strokes(raw, item)
    width, height = page.get_size()
    return Page(width / MM, height / MM, tuple(strokes))


def _strokes(raw: Any, item: Any) -> Iterator[Stroke]:
    """Yield the runs of a path that is stroked, in the page's own place."""
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    raw.FPDFPath_GetDrawMode(item, mode, stroked)
    if not stroked.value:
        return
    m = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(item, m)
    width = ctypes.c_float()
    raw.FPDFPageObj_GetStrokeWidth(item, width)
    shown = width.value * math.sqrt(abs(m.a * m.d - m.b * m.c)) / MM
    run: Run = []
    x, y = ctypes.c_float(), ctypes.c_float()
    for i in range(raw.FPDFPath_CountSegments(item)):
        segment = raw.FPDFPath_GetPathSegment(item, i)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_MOVETO and run:
            yield Stroke(shown, run)
            run = []
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        px, py = x.value, y.value
        run.append(((m.a * px + m.c * py + m.e) / MM, (m.b * px + m.d * py + m.f) / MM))
        if raw.FPDFPathSegment_GetClose(segment):
            run.append(run[0])
    if run:
        yield Stroke(shown, run)
