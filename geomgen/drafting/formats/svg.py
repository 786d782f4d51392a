"""SVG: a sheet in millimetres of paper, black on white alone, in the page's colour inside a page.

Path data, viewBox and textLength as in the W3C's SVG 1.1. One group a pen; ids and classes begin
with a prefix, so that many drawings can stand in one page.
"""

import math
import re
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from geomgen.drafting.lettering import CAPITAL, width_of
from geomgen.drafting.paper.frame import PenGroup
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.pens import filled
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CENTRE, HATCH, HIDDEN, SECTION, VISIBLE, Label, Point
from geomgen.drafting.record import Path as Outline
from geomgen.files.disk import write_bytes

SPACE = "http://www.w3.org/2000/svg"
# Widths as those of the font that the room of texts is reckoned with.
FONTS = "Helvetica, Arial, 'Liberation Sans', sans-serif"
# What must not be missed is red, as on paper.
RED = "#bf0000"
# Ten thousandths of a millimetre of paper: under 0.01 mm of the thing at 1:50.
DECIMALS = 4
# Layers whose lines are drawn of parts.
OF_PARTS = (VISIBLE, HIDDEN, SECTION, HATCH, CENTRE)


def write_svg(path: Path, sheet: Sheet, title: Title) -> Path:
    """Write a sheet as SVG; FileWriteError when that fails or the sheet is too small."""
    write_bytes(path, svg_text(sheet, title).encode("utf-8"))
    return path


def svg_text(sheet: Sheet, title: Title, prefix: str = "") -> str:
    """Return a sheet as an `<svg>` element, ready to be a file or to stand in a page of HTML.

    `prefix` begins all ids and classes; without one it is the drawing's name. Widths and dashes
    are attributes: a page may change them by class. FileWriteError when the sheet is too small.

    >>> from geomgen.drafting.record import Drawing, circle
    >>> svg = svg_text(Sheet(Drawing("disc", (circle((0.0, 0.0), 500.0),))), Title("a", "b", "C"))
    >>> svg.startswith("<svg "), 'width="420mm"' in svg
    (True, True)
    """
    first = prefix or f"{re.sub(r'[^A-Za-z0-9_-]', '-', sheet.drawing.name)}-"
    wide, high = sheet.paper
    head = (
        f'<svg xmlns="{SPACE}" id="{first}sheet" class="{first}sheet" role="img"'
        f' aria-labelledby="{first}title {first}desc"'
        f' width="{wide:g}mm" height="{high:g}mm" viewBox="0 0 {wide:g} {high:g}"'
        f' font-family="{FONTS}" fill="none" stroke="currentColor"'
        ' stroke-linecap="round" stroke-linejoin="round">'
    )
    rows = [
        head,
        f'<title id="{first}title">{_words(name_of(sheet, title))}</title>',
        f'<desc id="{first}desc">{_words(described(sheet))}</desc>',
        "<style>svg:root{color:#000;background:#fff}</style>",
    ]
    for group in on_paper(sheet, title):
        rows += _group(group, first, high)
    return "\n".join([*rows, "</svg>", ""])


def name_of(sheet: Sheet, title: Title) -> str:
    """Return what a reader who does not see the picture is told first."""
    return f"{title.project}: {title.part}, revision {title.revision}, scale 1:{sheet.over}"


def described(sheet: Sheet) -> str:
    """Return the drawing in words: its sheet, its dimensions, its notes."""
    drawing = sheet.drawing
    rows = [f"Drawing {drawing.name} on a sheet of size {sheet.size}, millimetres."]
    if sheet.projection:
        rows.append(f"Views in {sheet.projection} projection.")
    if drawing.dimensions:
        figures = ", ".join(dimension.text for dimension in drawing.dimensions)
        rows.append(f"Dimensions: {figures}.")
    return " ".join([*rows, *drawing.notes])


def _group(group: PenGroup, first: str, high: float) -> list[str]:
    dashes = ",".join(f"{dash:g}" for dash in group.dashes)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    name = "-".join(group.name.lower().split())
    inked = f' color="{RED}"' if group.red else ""
    rows = [f'<g class="{first}{name}" stroke-width="{group.width:g}"{dashed}{inked}>']
    rows += [_path(path, high) for path in group.paths]
    rows += [_text(label, high) for label in group.labels if label.text.strip()]
    return [*rows, "</g>"]


def _number(value: float) -> str:
    return f"{round(value, DECIMALS) + 0.0:.{DECIMALS}f}".rstrip("0").rstrip(".")


def _place(point: Point, high: float) -> str:
    return f"{_number(point[0])} {_number(high - point[1])}"


def _path(path: Outline, high: float) -> str:
    steps = [f"M{_place(path.points[0], high)}"]
    pieces = path.pieces()
    for number, (a, b, bulge) in enumerate(pieces):
        if bulge:
            steps.append(_arc(a, b, bulge, high))
        elif not (path.closed and number == len(pieces) - 1):
            steps.append(f"L{_place(b, high)}")
    end = "Z" if path.closed else ""
    fill = ' fill="currentColor"' if filled(path.layer, path.closed) else ""
    name = named(path)
    told = f" data-name={quoteattr(name)}" if name else ""
    return f'<path d="{"".join(steps)}{end}"{fill}{told}/>'


def named(path: Outline) -> str:
    """Return the name of what a line of a view is drawn of: a page may point at it.

    >>> named(Outline(((0.0, 0.0), (9.0, 0.0)), layer=VISIBLE, name="wing_left"))
    'wing_left'
    """
    return printable(path.name) if path.layer in OF_PARTS else ""


def _arc(a: Point, b: Point, bulge: float, high: float) -> str:
    """Return an arc; y runs down here, so that what turns left has sweep flag 0."""
    # From the ends as they are written: a half turn's centre would be far off if its radius were
    # a hair larger than half of its chord.
    ends = [[round(c, DECIMALS) for c in point] for point in (a, b)]
    radius = math.dist(*ends) / (2 * math.sin(2 * math.atan(abs(bulge))))
    large, sweep = int(abs(bulge) > 1), int(bulge < 0)
    size = f"{radius:.9f}".rstrip("0").rstrip(".")
    return f"A{size} {size} 0 {large} {sweep} {_place(b, high)}"


def _text(label: Label, high: float) -> str:
    x, y = _number(label.at[0]), _number(high - label.at[1])
    turn = f' transform="rotate({_number(-label.angle)} {x} {y})"' if label.angle else ""
    anchor = f' text-anchor="{label.anchor}"' if label.anchor != "start" else ""
    long = width_of(label.text, label.height)
    fit = f' textLength="{_number(long)}" lengthAdjust="spacingAndGlyphs"' if long else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(label.height / CAPITAL)}"'
        f'{anchor}{turn}{fit} fill="currentColor" stroke="none">{_words(label.text)}</text>'
    )


def _words(text: str) -> str:
    """Return text as XML takes it."""
    return escape(printable(text))


def printable(text: str) -> str:
    """Return text in which what can't be printed is a space."""
    return "".join(c if c.isprintable() else " " for c in text)
