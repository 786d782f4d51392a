"""The paper for a drawing to work by, at full size: sheets of ISO 216 either way up, or a roll.

A large sheet that would stay empty for the most part gives way to a length cut off a roll, as
plotters print.
"""

import math

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.pens import SHOP_PENS
from geomgen.drafting.paper.sheet import BLOCK, BORDER, CLEAR, SIZES, Sheet, strip_of
from geomgen.drafting.record import DIM, Drawing, Point
from geomgen.errors import FileWriteError

# Widths of plotter rolls [mm]: those of ISO 216, and 24, 30, 36, 42 in (common practice).
ROLLS = (297.0, 420.0, 594.0, 610.0, 762.0, 841.0, 914.0, 1067.0)
# Sheets that come off a plotter, and the share of one that a drawing takes at least: own choice.
PLOTTED, TAKEN = ("A1", "A0"), 0.6
# Readers take no page longer than 14400 points (ISO 32000-1, annex C).
LONGEST = 14400.0 * 25.4 / 72.0


def full_size(drawing: Drawing) -> Sheet:
    """Return a drawing to work by on the smallest paper that holds it at 1:1.

    FileWriteError when the page would be longer than readers take, when an outline to cut is open,
    or when it has lines of views, which no width on paper tells from those of the shops.

    >>> from geomgen.drafting.record import rectangle
    >>> full_size(Drawing("plate", (rectangle((0.0, 0.0), (660.0, 100.0)),))).paper
    (762.0, 240.0)
    """
    others = sorted({path.layer for path in drawing.paths} - set(SHOP_PENS) - {DIM})
    if others:
        raise FileWriteError(
            f"it has lines of {', '.join(others)}, which a full-size sheet for a shop can't carry",
            path=drawing.name,
            advice="write it as a drawing of views",
        )
    if drawing.open_outlines:
        raise FileWriteError(
            f"its cut outline {drawing.open_outlines[0] or '(no name)'} is open",
            path=drawing.name,
            advice="draw it as a mark: no cutter follows an open line",
        )
    low, high = extent(drawn_out(drawing))
    name, size = _paper((high[0] - low[0], high[1] - low[1]))
    if max(size) > LONGEST:
        raise FileWriteError(
            f"its page would be {max(size):.0f} mm long, and readers take {LONGEST:.0f}",
            path=drawing.name,
            advice="ask for shorter pieces",
        )
    return Sheet(drawing, name, 1, cut=size)


def _paper(box: Point) -> tuple[str, Point]:
    """Return name and size [mm] of the paper for a box [mm]."""
    around = 2 * (BORDER + CLEAR)
    across = max(box[0] + around, BLOCK + 2 * BORDER)

    def up(wide: float) -> float:
        return box[1] + around + strip_of(wide)

    choices = [(name, size) for name, (b, a) in SIZES.items() for size in ((a, b), (b, a))]
    fits = [(name, s) for name, s in choices if s[0] >= across and s[1] >= up(s[0])]
    if fits:
        name, (wide, high) = fits[0]
        if name not in PLOTTED or across * up(wide) >= TAKEN * wide * high:
            return fits[0]
    cuts = [(f"{roll:g} mm roll", (roll, _tens(up(roll)))) for roll in ROLLS if roll >= across]
    long = _tens(across)
    cuts += [(f"{roll:g} mm roll", (long, roll)) for roll in ROLLS if roll >= up(long)]
    if not cuts:
        return "one large sheet", (long, _tens(up(long)))
    return min([*fits[:1], *cuts], key=lambda row: row[1][0] * row[1][1])


def _tens(length: float) -> float:
    return 10.0 * math.ceil(length / 10.0)
