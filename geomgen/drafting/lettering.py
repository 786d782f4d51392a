"""How much room a text takes: letters of the standard sans-serif font of every reader of PDF.

Heights are those of capitals [mm], as in ISO 3098-1.
"""

import math
import sys
import unicodedata
from collections.abc import Sequence
from types import ModuleType

from geomgen.drafting.own_lengths import told
from geomgen.drafting.record import Drawing, Label, Point
from geomgen.length_words import words_of

# The library runs files of these names from the user's home, and fails where that is no folder:
# what is written must depend on neither.
for _name in ("reportlab_mods", "reportlab_settings"):
    sys.modules.setdefault(_name, ModuleType(_name))

# Height of a capital letter over the size of the font.
CAPITAL = 0.718
# How deep letters hang below their line, and from line to line, over the height of a capital.
DEEP, LINE = 0.3, 1.6
FONT = "Helvetica"
POINT = 25.4 / 72.0
PLAIN = str.maketrans({"\u2212": "-", "\u2264": "<=", "\u2265": ">="})


def shown(words: str) -> str:
    """Return text in the letters that the standard fonts have.

    >>> shown("\u2212 3 mm")
    '- 3 mm'
    """
    plain = words.translate(PLAIN)
    try:
        return plain.encode("cp1252").decode("cp1252")
    except UnicodeError:
        bare = unicodedata.normalize("NFKD", plain)
        return (
            "".join(c for c in bare if not unicodedata.combining(c))
            .encode("cp1252", "replace")
            .decode("cp1252")
        )


def width_of(words: str, height: float, font: str = FONT) -> float:
    """Return how wide [mm] a line of text is with capitals `height` [mm] high.

    >>> round(width_of("0", 7.18), 3)  # a figure is 0.556 of the size of the font
    5.56
    """
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(shown(told(words)), font, height / POINT / CAPITAL)) * POINT


def block_size(lines: Sequence[str], height: float) -> Point:
    """Return width and height [mm] that lines of text take below each other.

    >>> [round(side, 3) for side in block_size(("0", "00"), 7.18)]
    [11.12, 18.668]
    """
    wide = max(width_of(text, height) for text in lines)
    return wide, ((len(lines) - 1) * LINE + 1) * height


def narrowed(words: str, height: float, width: float, font: str = FONT) -> float:
    """Return the height [mm], at most `height`, at which a line fits a width [mm]."""
    return min(height, height * width / max(width_of(words, height, font), 1e-9))


def text_corners(label: Label) -> tuple[Point, Point, Point, Point]:
    """Return the corners [mm] of a label's box, turned as it is, from its lower left one on.

    >>> round(text_corners(Label((5.0, 0.0), "", 2.0, 90.0))[0][0], 6)
    5.6
    """
    long = width_of(label.text, label.height)
    start = {"middle": -long / 2, "end": -long}.get(label.anchor, 0.0)
    low, high = -DEEP * label.height, label.height
    turn = math.radians(label.angle)
    cos, sin = math.cos(turn), math.sin(turn)

    def placed(x: float, y: float) -> Point:
        return label.at[0] + x * cos - y * sin, label.at[1] + x * sin + y * cos

    end = start + long
    return placed(start, low), placed(end, low), placed(end, high), placed(start, high)


def text_box(label: Label) -> tuple[float, float, float, float]:
    """Return lowest x, lowest y, highest x, highest y [mm] of a label as it is drawn."""
    corners = text_corners(label)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def extent(drawing: Drawing) -> tuple[Point, Point]:
    """Return the lowest and highest corner [mm] of all lines and of all texts to their ends.

    Dimensions count with the points that they hold; draw them first (`dimension_lines.drawn_out`)
    to have their lines and figures counted too.
    """
    boxes = [text_box(label) for label in drawing.labels]
    low, high = drawing.box()
    xs = [low[0], high[0], *(x for box in boxes for x in (box[0], box[2]))]
    ys = [low[1], high[1], *(y for box in boxes for y in (box[1], box[3]))]
    return (min(xs), min(ys)), (max(xs), max(ys))


def wrapped(words: str, width: float, height: float) -> list[str]:
    """Return lines of text no wider than `width` [mm] with capitals `height` [mm] high.

    A word that is wider than the line is broken.

    >>> wrapped("wing_core_root_template_left seen", 30.0, 3.0)
    ['wing_core_', 'root_template_', 'left seen']
    """
    lines = [""]
    for word in words_of(told(words)):
        joined = f"{lines[-1]} {word}".strip()
        if width_of(joined, height) <= width:
            lines[-1] = joined
            continue
        lines = [line for line in lines if line] + broken(word, width, height)
    return lines


def broken(word: str, width: float, height: float) -> list[str]:
    """Return the pieces of a word that are no wider than `width` [mm], broken behind . or _ first.

    >>> broken("prop.ground_clearance.rotated", 35.0, 1.9)
    ['prop.ground_clearance.', 'rotated']
    """
    pieces = []
    while width_of(word, height) > width and len(word) > 1:
        inside = (i for i in range(1, len(word)) if width_of(word[:i], height) <= width)
        fits = max(inside, default=1)
        at = max(word.rfind(sign, 0, fits) for sign in "._") + 1 or fits
        pieces.append(word[:at])
        word = word[at:]
    return [*pieces, word]
