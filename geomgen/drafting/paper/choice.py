"""The one choice of paper and scale for a drawing to look at."""

from collections.abc import Callable, Iterable, Sequence

from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.sheet import SCALES, SIZES, Sheet
from geomgen.drafting.record import Drawing
from geomgen.errors import GeometryError

# Gives a drawing lettered for a scale 1:n and for a size of sheet, in every way there is, the best
# first; none where it is plain that it has no room.
Lettered = Callable[[int, str], Iterable[Drawing]]
# From the size that a copy shop has at hand: own choice.
TRIED = ("A3", "A2", "A1", "A0")


def on_smallest(
    lettered: Lettered,
    part: str,
    look_at: Sequence[str],
    shows: Callable[[Sheet], float] = lambda _: 1.0,
    projection: str = "",
) -> Sheet:
    """Return a drawing on the smallest sheet from A3 on where it is clear, as large as it goes.

    Clear is one without clashes that `shows` all that it is for (a share [1] of 1.0); where none
    is, that one with the fewest clashes, which shows most of it, is taken. Where a smaller sheet
    holds it at its scale it stands on that one. GeometryError for `part` where no sheet has room
    for it.

    >>> from geomgen.drafting.record import rectangle
    >>> pod = Drawing("pod", (rectangle((0.0, 0.0), (2900.0, 900.0)),))
    >>> sheet = on_smallest(lambda over, size: [pod], "pod", [])
    >>> sheet.size, sheet.over
    ('A3', 10)
    """
    made: list[tuple[int, float, Sheet]] = []
    for size in TRIED:
        sheet = at_largest_scale(lettered, size, projection)
        if sheet is not None:
            met, shown = len(clashes(sheet.drawing)), shows(sheet)
            made.append((met, shown, sheet))
            if not met and shown >= 1.0:
                break
    if not made:
        raise GeometryError(
            "no sheet has room for its drawing", part=part, step="drawing", look_at=list(look_at)
        )
    *_, found = min(made, key=lambda row: (row[0], -row[1]))
    smaller = (Sheet(found.drawing, size, found.over, projection) for size in SIZES)
    return next(sheet for sheet in smaller if holds(sheet))


def at_largest_scale(lettered: Lettered, size: str, projection: str = "") -> Sheet | None:
    """Return a drawing on a sheet at the largest scale that fits; None where none does.

    Of its ways that fit, the first without clashes is taken, or the last one.
    """
    for over in SCALES:
        found = None
        for drawing in lettered(over, size):
            sheet = Sheet(drawing, size, over, projection)
            if holds(sheet):
                found = sheet
                if not clashes(drawing):
                    break
        if found is not None:
            return found
    return None


def holds(sheet: Sheet) -> bool:
    """Return whether a sheet has room for its drawing with all its texts."""
    low, high = extent(drawn_out(sheet.drawing))
    return all(b - a <= most * sheet.over for a, b, most in zip(low, high, sheet.room, strict=True))
