"""A drawing on its sheet: sizes of ISO 216 (long side across), scales of ISO 5455.

The drawing keeps the thing's own millimetres; heights of texts and dimensions are what they are on
paper times the scale. At the foot of each sheet is a strip with the title block, and on one at full
size the square by which a print is measured.
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
# Border round the frame, width of the title block (ISO 7200) and its height [mm].
BORDER, BLOCK, STRIP = 10.0, 180.0, 40.0
# The square to be measured on a print at full size, and the room it takes in the strip [mm].
SQUARE = 100.0
WITH_SQUARE = SQUARE + 8.0
# Room left between drawing and frame [mm].
CLEAR = 6.0
# Height of capitals on paper [mm], a size of ISO 3098-1.
LETTERS = 2.5


@dataclass(frozen=True)
class Sheet:
    """A drawing, the name of its paper, the scale 1:`over`.

    `projection` is how its views stand to each other, "first angle" or "third angle", empty for a
    drawing of one view or section. `cut` is width and height [mm] of paper for a drawing to work
    by, at full size, which may stand upright or come off a roll.
    """

    drawing: Drawing
    size: str = "A3"
    over: int = 10
    projection: str = ""
    cut: Point | None = None

    @property
    def paper(self) -> Point:
        """Return width and height of the paper [mm]."""
        return self.cut or SIZES[self.size]

    @property
    def full_size(self) -> bool:
        """Return whether it is one to work by, with the square that a print is measured by."""
        return self.cut is not None

    @property
    def strip(self) -> float:
        """Return the height of the strip at its foot [mm]."""
        return strip_of(self.paper[0]) if self.full_size else STRIP

    @property
    def room(self) -> Point:
        """Return width and height [mm of paper] that there is for the drawing."""
        wide, high = self.paper
        return wide - 2 * (BORDER + CLEAR), high - 2 * (BORDER + CLEAR) - self.strip


def strip_of(wide: float) -> float:
    """Return the height of the strip of a sheet at full size so wide [mm].

    >>> strip_of(594.0), strip_of(297.0)  # the title block beside the square, or over it
    (108.0, 148.0)
    """
    beside = wide - 2 * BORDER >= WITH_SQUARE + BLOCK
    return WITH_SQUARE if beside else WITH_SQUARE + STRIP


def room(size: str) -> Point:
    """Return width and height [mm of paper] that a sheet has for a drawing to look at.

    >>> room("A3")
    (388.0, 225.0)
    """
    return Sheet(Drawing(""), size).room
