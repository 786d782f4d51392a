"""The texts of a PDF as it stands on the disk: words, place, angle and size of each."""

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.drafting.formats.pdf.lines import MM
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors


@dataclass(frozen=True)
class Written:
    """One line of text: where it begins [mm from the lower left corner], angle [deg], size [mm]."""

    text: str
    at: tuple[float, float]
    angle: float
    size: float


def texts(path: Path, page: int = 0) -> list[Written]:
    """Return the texts of a page in their order; FileWriteError when it can't be read."""
    import pypdfium2

    with disk_errors(path.name):
        data = path.read_bytes()
    try:
        document = pypdfium2.PdfDocument(data)
        try:
            return list(_texts(document[page]))
        finally:
            document.close()
    except pypdfium2.PdfiumError as error:
        raise FileWriteError(
            "it can't be read back as PDF", path=path.name, advice="write it again"
        ) from error


def _texts(page: Any) -> Iterator[Written]:
    from pypdfium2 import raw

    words = raw.FPDFText_LoadPage(page)
    try:
        for i in range(raw.FPDFPage_CountObjects(page)):
            item = raw.FPDFPage_GetObject(page, i)
            if raw.FPDFPageObj_GetType(item) == raw.FPDF_PAGEOBJ_TEXT:
                yield _written(raw, item, words)
    finally:
        raw.FPDFText_ClosePage(words)


def _written(raw: Any, item: Any, words: Any) -> Written:
    long = raw.FPDFTextObj_GetText(item, words, None, 0)
    buffer = ctypes.create_string_buffer(long)
    raw.FPDFTextObj_GetText(item, words, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), long)
    m, size = raw.FS_MATRIX(), ctypes.c_float()
    raw.FPDFPageObj_GetMatrix(item, m)
    raw.FPDFTextObj_GetFontSize(item, size)
    return Written(
        buffer.raw.decode("utf-16-le").rstrip("\0"),
        (m.e / MM, m.f / MM),
        math.degrees(math.atan2(m.b, m.a)),
        size.value * math.hypot(m.a, m.b) / MM,
    )
