"""The dimensioned drawing of the firewall: the blank to scale, tables, details, on one sheet."""

from collections.abc import Iterator, Sequence

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.choice import holds, on_smallest
from geomgen.drafting.paper.sheet import Sheet, room
from geomgen.drafting.record import Drawing, Point, joined
from geomgen.drafting.tables import table
from geomgen.shops.sheet_metal.drawing.datum import Datum
from geomgen.shops.sheet_metal.drawing.details import lean_detail, section_detail, tab_detail
from geomgen.shops.sheet_metal.drawing.to_scale import blank_view
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern
from geomgen.shops.sheet_metal.ring.details import assembly_detail, joggle_detail
from geomgen.shops.sheet_metal.ring.segments import RingFlange
from geomgen.shops.sheet_metal.words import SheetWords

NAME = "firewall_dimensions"
# The blank is to take so much of the room's width or height; between blocks [mm on paper].
FILL, SPACE = 0.55, 7.0
# Times the usual room that details are given where a sheet has it, the largest first.
LARGER = (5.0, 4.0, 3.0, 2.5, 2.0, 1.6, 1.3)
LETTERS = 2.5


def dimensions_sheet(
    pattern: FlatPattern, datum: Datum, words: SheetWords, lean: str, ring: RingFlange | None = None
) -> Sheet:
    """Return the drawing on the smallest sheet that it fills, `lean` under the sheet from the left.

    Its details are as large as the room then allows. `ring` is the flange that is riveted onto a
    flat sheet, if it is. GeometryError when no sheet has room for it.
    """

    def lettered(over: int, size: str) -> Iterator[Drawing]:
        if max(s / most for s, most in zip(pattern.size(), room(size), strict=True)) > over:
            return
        blocks = _blank_and_tables(pattern, datum, words, over)

        def detailed(larger: float) -> Drawing:
            details = _details(pattern, lean, ring, over, larger)
            return joined(NAME, [*blocks, *_beside(blocks, details, size, over)], words.notes)

        plain = detailed(1.0)
        if holds(Sheet(plain, size, over)):
            yield from map(detailed, LARGER)
        yield plain

    def filled(sheet: Sheet) -> float:
        """Return how much of the share that it is to take the blank takes, across or up."""
        takes = (s / sheet.over / most for s, most in zip(pattern.size(), sheet.room, strict=True))
        return min(1.0, max(takes) / FILL)

    return on_smallest(
        lettered, "firewall", ["firewall.penetrations", "handoff.sheet.relief_pitch"], filled
    )


def _blank_and_tables(
    pattern: FlatPattern, datum: Datum, words: SheetWords, over: int
) -> list[Drawing]:
    """Return the blank, and beside it the tables, one below the other."""
    view = blank_view(pattern, datum, over)
    x, y = _beyond(view, over)
    blocks = [view]
    for title, head, rows in (
        ("SHEET", ("", ""), words.general),
        ("HOLES, X AND Y FROM THE DATUM IN THE SHEET", *words.holes),
        ("BENDS BY ZONE", *words.bends),
    ):
        if rows:
            made = _put(table((0.0, 0.0), title, head, rows, LETTERS * over).drawing, (x, y))
            blocks.append(made)
            y = _box(made)[0][1] - SPACE * over
    return blocks


def _beyond(view: Drawing, over: int) -> Point:
    """Return the corner to the right of the blank that all else starts from."""
    _, (right, top) = _box(view)
    return right + 1.5 * SPACE * over, top


def _details(
    pattern: FlatPattern, lean: str, ring: RingFlange | None, over: int, larger: float
) -> list[Drawing]:
    details = [lean_detail(pattern, lean, over, larger)]
    if pattern.tabs:
        first = pattern.tabs[0]
        details = [
            tab_detail(pattern, first, over, larger),
            section_detail(pattern, first, over, larger),
            *details,
        ]
    if ring is not None:
        first = ring.whole.tabs[0]
        details = [
            tab_detail(ring.whole, first, over, larger),
            assembly_detail(ring, first, over, larger),
            *details,
        ]
        details += [joggle_detail(ring, over, larger)] if ring.wish.lap is not None else []
    return details


def _beside(
    blocks: Sequence[Drawing], details: Sequence[Drawing], size: str, over: int
) -> list[Drawing]:
    """Return details where they have room below the tables, or else to their right."""
    view, *tables = blocks
    x, y = _beyond(view, over)
    if tables:
        y = _box(tables[-1])[0][1] - SPACE * over
    (left, _), _ = _box(view)
    return _packed(details, (x, y), left + room(size)[0] * over, SPACE * over)


def _packed(details: Sequence[Drawing], at: Point, right: float, space: float) -> list[Drawing]:
    """Return details from a corner on, each as high up as there is room, then as far to the left.

    None starts left of the corner or ends beyond `right`, but the first.
    """
    found: list[Drawing] = []
    for detail in details:
        boxes = [_box(made) for made in found]
        across = [at[0], *(high[0] + space for _, high in boxes)]
        down = [at[1], *(low[1] - space for low, _ in boxes)]
        low, high = _box(detail)
        places = [
            (x, y)
            for y in sorted(down, reverse=True)
            for x in sorted(across)
            if x + high[0] - low[0] <= right or x == at[0]
        ]
        size = (high[0] - low[0], high[1] - low[1])
        found.append(_put(detail, next(p for p in places if _free(p, size, boxes, space))))
    return found


def _free(corner: Point, size: Point, boxes: Sequence[tuple[Point, Point]], space: float) -> bool:
    """Return whether a box, by its upper left corner, keeps `space` [mm] from all others."""
    (x, y), (wide, high), near = corner, size, space * (1 - 1e-9)
    return not any(
        x < b[0] + near and a[0] < x + wide + near and y - high < b[1] + near and a[1] < y + near
        for a, b in boxes
    )


def _put(drawing: Drawing, at: Point) -> Drawing:
    """Return a drawing whose upper left corner, letters counted, stands at a place."""
    (x, _), (_, y) = _box(drawing)
    return drawing.moved(at[0] - x, at[1] - y)


def _box(drawing: Drawing) -> tuple[Point, Point]:
    return extent(drawn_out(drawing))
