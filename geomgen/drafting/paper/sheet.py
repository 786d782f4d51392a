"""A drawing on its sheet: sizes of ISO 216 (long side across), scales of ISO 5455.

The drawing keeps the thing's own millimetres; heights of texts and dimensions are what they are on
paper times the scale.
"""

from dataclasses import dataclass

from geomgen.drafting.record import Drawing, Point

SIZES: dict[str, Point] = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "A2": (594.0, 420.0),
    "A1": (841.0, 594.0),
    "A0": (1189.0, 841.0),
}
SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500)
# Border round the frame and height of the strip at its foot that holds the title block [mm].
BORDER, STRIP = 10.0, 40.0
# Room left between drawing and frame [mm].
CLEAR = 6.0
# Height of capitals on paper [mm], a size of ISO 3098-1.
LETTERS = 2.5


@dataclass(frozen=True)
class Sheet:
    """A drawing, the name of its sheet, the scale 1:`over`.

    `projection` is how its views stand to each other, "first angle" or "third angle", empty for a
    drawing of one view or section.
    """

    drawing: Drawing
    size: str = "A3"
    over: int = 10
    projection: str = ""

    @property
    def paper(self) -> Point:
        """Return width and height of the paper [mm]."""
        return SIZES[self.size]


def room(size: str) -> Point:
    """Return width and height [mm of paper] that a sheet has for a drawing.

    >>> room("A3")
    (388.0, 225.0)
    """
    wide, high = SIZES[size]
    return wide - 2 * (BORDER + CLEAR), high - 2 * (BORDER + CLEAR) - STRIP


def scale_for(width: float, height: float, size: str) -> int:
    """Return the largest scale, as 1:`n`, at which a box [mm] fits a sheet.

    >>> scale_for(7200.0, 3000.0, "A3")
    20
    """
    wide, high = room(size)
    fits = (n for n in SCALES if width / n <= wide and height / n <= high)
    return next(fits, SCALES[-1])
