"""Rectangles laid on sheets: by shelves, the highest first, each turned if that saves height."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Blank:
    """A rectangle to be cut [mm]."""

    name: str
    width: float
    height: float


@dataclass(frozen=True)
class Laid:
    """A blank on a sheet: its low corner [mm], its size there, whether it was turned."""

    blank: Blank
    sheet: int
    x: float
    y: float
    width: float
    height: float
    turned: bool


@dataclass
class _Shelf:
    sheet: int
    y: float
    height: float
    used: float = 0.0


def nested(
    blanks: Sequence[Blank], width: float, height: float, gap: float
) -> tuple[list[Laid], list[Blank]]:
    """Return the blanks laid on sheets of `width` x `height` [mm], and those that fit on none.

    `gap` [mm] is left between two blanks and to the edges of the sheet.

    >>> laid, left = nested([Blank("a", 40, 30), Blank("b", 40, 30)], 100, 50, 5)
    >>> [(l.sheet, l.x, l.y) for l in laid], left
    ([(0, 5.0, 5.0), (0, 50.0, 5.0)], [])
    """
    shelves: list[_Shelf] = []
    tops: list[float] = []
    laid: list[Laid] = []
    left: list[Blank] = []
    room = (width - 2 * gap, height - 2 * gap)
    for blank in sorted(blanks, key=lambda b: (-min(b.width, b.height), -b.width, b.name)):
        turns = [t for t in (True, False) if _fits(_size(blank, t), room)]
        if not turns:
            left.append(blank)
            continue
        # Lying flat keeps shelves low: the longer side runs along the sheet where it can.
        turns.sort(key=lambda t: _size(blank, t)[1])
        shelf, turned = _shelf(shelves, tops, blank, turns, room, gap)
        w, h = _size(blank, turned)
        laid.append(Laid(blank, shelf.sheet, gap + shelf.used, gap + shelf.y, w, h, turned))
        shelf.used += w + gap
    return laid, left


def _size(blank: Blank, turned: bool) -> tuple[float, float]:
    return (blank.height, blank.width) if turned else (blank.width, blank.height)


def _fits(size: tuple[float, float], room: tuple[float, float]) -> bool:
    return size[0] <= room[0] + 1e-9 and size[1] <= room[1] + 1e-9


def _shelf(
    shelves: list[_Shelf],
    tops: list[float],
    blank: Blank,
    turns: list[bool],
    room: tuple[float, float],
    gap: float,
) -> tuple[_Shelf, bool]:
    """Return the first shelf with room, or a new one on the first sheet with room above."""
    for shelf in shelves:
        for turned in turns:
            w, h = _size(blank, turned)
            if h <= shelf.height + 1e-9 and shelf.used + w <= room[0] + 1e-9:
                return shelf, turned
    _, h = _size(blank, turns[0])
    for sheet, top in enumerate(tops):
        if top + h <= room[1] + 1e-9:
            return _new(shelves, tops, sheet, h, gap), turns[0]
    tops.append(0.0)
    return _new(shelves, tops, len(tops) - 1, h, gap), turns[0]


def _new(shelves: list[_Shelf], tops: list[float], sheet: int, height: float, gap: float) -> _Shelf:
    shelf = _Shelf(sheet, tops[sheet], height)
    tops[sheet] += height + gap
    shelves.append(shelf)
    return shelf
