"""A PDF as it stands on the disk: lines and texts of each page, by a renderer's own parser."""

import ctypes
import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.drafting.formats.pdf.lines import MM
from geomgen.drafting.lettering import CAPITAL
from geomgen.drafting.record import TEXT, Label, Point
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors


@dataclass(frozen=True)
class Stroke:
    """One drawn run: the width of its line, and where it runs [mm from the lower left corner]."""

    width: float
    line: Outline


@dataclass(frozen=True)
class PrintedPage:
    """One page: size [mm], everything that is stroked on it, every text, in their order."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    texts: tuple[Label, ...]


@contextmanager
def pages(path: Path) -> Iterator[list[PrintedPage]]:
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


def _page(page: Any) -> PrintedPage:
    from pypdfium2 import raw

    strokes: list[Stroke] = []
    texts: list[Label] = []
    words = raw.FPDFText_LoadPage(page)
    try:
        for i in range(raw.FPDFPage_CountObjects(page)):
            item = raw.FPDFPage_GetObject(page, i)
            kind = raw.FPDFPageObj_GetType(item)
            if kind == raw.FPDF_PAGEOBJ_PATH:
                strokes += _strokes(raw, item)
            elif kind == raw.FPDF_PAGEOBJ_TEXT:
                texts.append(_text(raw, item, words))
    finally:
        raw.FPDFText_ClosePage(words)
    width, height = page.get_size()
    return PrintedPage(width / MM, height / MM, tuple(strokes), tuple(texts))


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
    run: list[Point] = []
    x, y = ctypes.c_float(), ctypes.c_float()
    for i in range(raw.FPDFPath_CountSegments(item)):
        segment = raw.FPDFPath_GetPathSegment(item, i)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_MOVETO and run:
            yield Stroke(shown, _outline(run))
            run = []
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        px, py = x.value, y.value
        run.append(((m.a * px + m.c * py + m.e) / MM, (m.b * px + m.d * py + m.f) / MM))
        if raw.FPDFPathSegment_GetClose(segment):
            run.append(run[0])
    if run:
        yield Stroke(shown, _outline(run))


def _outline(run: list[Point]) -> Outline:
    return Outline(tuple(run), (), len(run) > 2 and run[0] == run[-1], TEXT)


def _text(raw: Any, item: Any, words: Any) -> Label:
    """Return a line of text where it begins, whichever way it was set."""
    long = raw.FPDFTextObj_GetText(item, words, None, 0)
    buffer = ctypes.create_string_buffer(long)
    raw.FPDFTextObj_GetText(item, words, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), long)
    m, size = raw.FS_MATRIX(), ctypes.c_float()
    raw.FPDFPageObj_GetMatrix(item, m)
    raw.FPDFTextObj_GetFontSize(item, size)
    return Label(
        (m.e / MM, m.f / MM),
        buffer.raw.decode("utf-16-le").rstrip("\0"),
        size.value * math.hypot(m.a, m.b) / MM * CAPITAL,
        math.degrees(math.atan2(m.b, m.a)),
    )
