"""Texts on leaders that stand in columns beside a section, clear of its lines."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon

from geomgen.drawings.dimension_lines import drawn
from geomgen.drawings.lettering import text_corners, width_of, wrapped
from geomgen.drawings.record import DIM, TEXT, Dimension, Drawing, Label, Path, Point

# On paper, over the height of the letters: from line to line, between two texts, from a text to
# its shelf, length of the shelf, arrow head (length, half its width).
LINE, APART = 1.6, 1.6
BESIDE, SHELF = 0.4, 1.6
ARROW, HALF = 1.0, 0.17
# Room between a leader and a figure; by how much a text is moved aside; how often at most.
CLEAR, STEP, TRIES = 0.3, 1.5, 60


@dataclass(frozen=True)
class Callout:
    """What is said of a point of a section [mm]; a line of text for each thing.

    The text stands as near to `level` [mm] as it fits, to its point if there is none; a text
    without a point has no leader.
    """

    lines: tuple[str, ...]
    at: Point | None = None
    level: float | None = None

    @property
    def height_wanted(self) -> float:
        """Return where the text would best stand [mm]."""
        if self.level is not None:
            return self.level
        return self.at[1] if self.at is not None else 0.0


@dataclass(frozen=True)
class Column:
    """A column for texts [mm]: the side that faces the section, its width, lowest and highest.

    `left` is True for one at the left of its section.
    """

    edge: float
    width: float
    low: float
    high: float
    left: bool


def in_column(
    callouts: Sequence[Callout],
    column: Column,
    height: float,
    figures: Sequence[Dimension] = (),
) -> Drawing:
    """Return callouts set below each other in a column, their letters `height` [mm] high.

    They stand as near to the height of their points as the others allow, and aside from there
    where a leader would run through the figure of one of the dimensions `figures`.

    >>> made = in_column([Callout(("engine",), (0.0, 5.0))], Column(50.0, 40.0, 0, 90, False), 2.5)
    >>> made.labels[0].text, made.labels[0].at[0] > 50.0, len(made.paths)
    ('engine', True, 2)
    """
    texts = [_folded(c, column.width - (SHELF + BESIDE) * height, height) for c in callouts]
    boxes = [Polygon(text_corners(drawn(one).label)).buffer(CLEAR * height) for one in figures]
    tops = _settled(callouts, [len(rows) for rows in texts], column, height, boxes)
    paths: list[Path] = []
    labels: list[Label] = []
    for callout, rows, top in zip(callouts, texts, tops, strict=True):
        labels += _text(rows, top, column, height)
        paths += _leader(callout.at, top, column, height)
    return Drawing("callouts", tuple(paths), tuple(labels))


def _settled(
    callouts: Sequence[Callout],
    rows: Sequence[int],
    column: Column,
    height: float,
    boxes: Sequence[Polygon],
) -> list[float]:
    """Return the top of each text, so that the fewest leaders meet a box.

    Those that do are tried again further up and down by turns.
    """
    tries = [0] * len(callouts)
    best: tuple[int, list[float]] | None = None
    for _ in range(TRIES):
        wanted = [
            c.height_wanted + height / 2 + _aside(n) * height
            for c, n in zip(callouts, tries, strict=True)
        ]
        order = sorted(range(len(callouts)), key=lambda i: -wanted[i])
        sizes = [((rows[i] - 1) * LINE + 1.0) * height for i in order]
        placed = _stacked([wanted[i] for i in order], sizes, APART * height, column)
        tops = [0.0] * len(callouts)
        for i, top in zip(order, placed, strict=True):
            tops[i] = top
        hits = [i for i, c in enumerate(callouts) if _meets(c, tops[i], column, height, boxes)]
        if best is None or len(hits) < best[0]:
            best = (len(hits), tops)
        if not hits:
            break
        for i in hits:
            tries[i] += 1
    return best[1] if best is not None else []


def _aside(count: int) -> float:
    """Return how far a text is moved at a try: 0, up, down, further up, further down."""
    return STEP * ((count + 1) // 2) * (1.0 if count % 2 else -1.0)


def _meets(
    callout: Callout, top: float, column: Column, height: float, boxes: Sequence[Polygon]
) -> bool:
    if callout.at is None:
        return False
    leader = LineString([(column.edge, top - height / 2), callout.at])
    return any(leader.intersects(box) for box in boxes)


def tall(callouts: Sequence[Callout], width: float, height: float) -> float:
    """Return how high [mm] a column of a width must be at least to hold callouts."""
    lines = [len(_folded(c, width - (SHELF + BESIDE) * height, height)) for c in callouts]
    return sum(((n - 1) * LINE + 1.0 + APART) * height for n in lines)


def longest(callouts: Sequence[Callout], height: float) -> float:
    """Return how wide [mm] a column must be for no text of it to be folded."""
    wide = [width_of(text, height) for c in callouts for text in c.lines]
    return max(wide, default=0.0) + (SHELF + 2 * BESIDE) * height


def _folded(callout: Callout, width: float, height: float) -> list[str]:
    return [row for text in callout.lines for row in wrapped(text, width, height)]


def _stacked(wanted: list[float], sizes: list[float], apart: float, column: Column) -> list[float]:
    """Return the tops of texts, from above down, that keep apart and stand near where wanted."""
    groups: list[tuple[list[int], float]] = []
    for i in range(len(wanted)):
        members, top = [i], wanted[i]
        while groups:
            before, upper = groups[-1]
            foot = upper - sum(sizes[k] + apart for k in before)
            if top <= foot:
                break
            members = [*before, *members]
            groups.pop()
            # The group's top serves all of its members equally.
            offs, run = [], 0.0
            for k in members:
                offs.append(wanted[k] + run)
                run += sizes[k] + apart
            top = sum(offs) / len(offs)
        run = sum(sizes[k] + apart for k in members) - apart
        top = min(max(top, column.low + run), column.high)
        groups.append((members, top))
    return _spread(groups, sizes, apart, column)


def _spread(
    groups: list[tuple[list[int], float]], sizes: list[float], apart: float, column: Column
) -> list[float]:
    tops: list[float] = []
    for members, first in groups:
        top = first
        for k in members:
            tops.append(top)
            top -= sizes[k] + apart
    # Lifted where the foot would run out, then pushed down where two would meet.
    floor = column.low
    for k in range(len(tops) - 1, -1, -1):
        tops[k] = max(tops[k], floor + sizes[k])
        floor = tops[k] + apart
    ceiling = column.high
    for k, size in enumerate(sizes):
        tops[k] = min(tops[k], ceiling)
        ceiling = tops[k] - size - apart
    return tops


def _text(rows: list[str], top: float, column: Column, height: float) -> list[Label]:
    off = (SHELF + BESIDE) * height
    x = column.edge - off if column.left else column.edge + off
    anchor = "end" if column.left else "start"
    return [
        Label((x, top - height - i * LINE * height), row, height, 0.0, anchor, TEXT)
        for i, row in enumerate(rows)
    ]


def _leader(at: Point | None, top: float, column: Column, height: float) -> list[Path]:
    """Return the shelf and line to a point, and its arrow head."""
    if at is None:
        return []
    off = SHELF * height
    start = (column.edge - off if column.left else column.edge + off, top - height / 2)
    knee = (column.edge, start[1])
    return [Path((start, knee, at), (), False, DIM, "leader"), arrow_head(knee, at, height)]


def arrow_head(origin: Point, tip: Point, height: float) -> Path:
    """Return the head of an arrow [mm] that comes from `origin`.

    >>> arrow_head((0.0, 0.0), (10.0, 0.0), 2.0).points[0]
    (10.0, 0.0)
    """
    reach = max(math.dist(origin, tip), 1e-9)
    ux, uy = (tip[0] - origin[0]) / reach, (tip[1] - origin[1]) / reach
    bx, by = tip[0] - ARROW * height * ux, tip[1] - ARROW * height * uy
    side = HALF * height
    corners = (tip, (bx - uy * side, by + ux * side), (bx + uy * side, by - ux * side))
    return Path(corners, (), True, DIM, "leader")
