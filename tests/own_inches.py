"""Lengths in papers of a hand-off: those without an inch beside them, and those it is not."""

import csv
import re
from pathlib import Path

import pypdfium2

from geomgen.drafting.formats.dxf.writing import read_dxf

INCH = 25.4
FIGURE = r"[+-]{0,2}\d+(?:\.\d+)?(?:e[+-]\d+)?"
RUN = rf"{FIGURE}(?: (?:x|to|TO|and|or) {FIGURE})*"
PAIR = re.compile(rf"(?<![\d.])({RUN})(?: in)? / ({RUN})(?: (mm|MM|m)\b)?")
BARE = re.compile(rf"(?<![A-Za-z0-9_.])({FIGURE} (?:mm|MM|m)\b(?![\^²³/])|(?:STA|BL|WL) {FIGURE})")


def lengths_alone(text):
    """Return the lengths of a text in mm, and places, beside which none in inches stands."""
    return BARE.findall(PAIR.sub("", text.replace("STA ", "STA  ")).replace("STA  ", "STA "))


def disagreeing(text):
    """Return pairs of a text whose inches are off their mm by more than both are rounded.

    Where a column of the page is headed in inches and metres, pairs without a unit may be these.
    """
    found = []
    for inches, metric, unit in PAIR.findall(text):
        first, second = re.findall(FIGURE, inches), re.findall(FIGURE, metric)
        factors = [INCH / 1000.0 if unit == "m" else INCH]
        if not unit and "[in / m]" in text:
            factors.append(INCH / 1000.0)
        pairs = list(zip(first, second, strict=False))
        agree = any(not any(_off(a, b, f) for a, b in pairs) for f in factors)
        if len(first) != len(second) or not agree:
            found.append((inches, metric))
    return found


def _off(inches, metric, factor):
    inch, mm = (float(text.lstrip("+-")) for text in (inches, metric))
    halves = _half(inches) * factor + _half(metric)
    return abs(inch * factor - mm) > halves + 1e-9


def _half(text):
    digits, _, power = text.partition("e")
    return 0.5 * 10.0 ** (int(power or 0) - len(digits.partition(".")[2]))


def texts_of_file(path: Path):
    """Return the texts of a paper: of a PDF all of a page as one, of a DXF each."""
    if path.suffix == ".pdf":
        pages = pypdfium2.PdfDocument(str(path))
        # On a tile texts end at its edge: those of the drawing stand whole on its sheet.
        last = 1 if path.stem.endswith("_tiles") else len(pages)
        found = [pages[i].get_textpage().get_text_bounded() for i in range(last)]
        return [" ".join(text.split()) for text in found]
    if path.suffix == ".dxf":
        drawing = read_dxf(path)
        return [*(label.text for label in drawing.labels), *(d.text for d in drawing.dimensions)]
    if path.suffix == ".csv":
        rows = list(csv.DictReader(path.open(newline="")))
        sizes = ("length", "width", "height")
        return [
            *(cell for row in rows for cell in row.values()),
            *(
                f"{row[f'{s}_in']} / {row[f'{s}_mm']} mm"
                for row in rows
                for s in sizes
                if row[f"{s}_mm"]
            ),
        ]
    return []
