"""Texts on leaders that stand in columns beside a section, clear of its lines."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely
from shapely import LineString, Polygon

from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import LINE, text_corners, width_of, wrapped
from geomgen.drafting.record import DIM, TEXT, Dimension, Drawing, Label, Path, Point

# On paper, over the height of the letters: between two texts, from a text to its shelf, length of
# the shelf, arrow head (length, half its width).
APART = 1.6
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
        slant = _line(callout, top, _size(len(rows), height), column, height, boxes)
        paths += _leader(slant, column, height) if slant is not None else []
    return Drawing("callouts", tuple(paths), tuple(labels))


def _settled(
    callouts: Sequence[Callout],
    rows: Sequence[int],
    column: Column,
    height: float,
    boxes: Sequence[Polygon],
) -> list[float]:
    """Return the top of each text, so that the fewest leaders meet a box, and then each other.

    Those that do are tried again further up and down by turns.
    """
    tries = [0] * len(callouts)
    best: tuple[float, int] = (math.inf, 0)
    found: list[float] = []
    sizes = [_size(count, height) for count in rows]
    for _ in range(TRIES):
        wanted = [
            c.height_wanted + height / 2 + _aside(n) * height
            for c, n in zip(callouts, tries, strict=True)
        ]
        order = sorted(range(len(callouts)), key=lambda i: -wanted[i])
        levels = [wanted[i] for i in order]
        again: set[int] = set()
        for _ in range(len(order) ** 2 + 1):
            tops = _in_order(order, levels, sizes, APART * height, column)
            leaders = [
                _line(c, top, size, column, height, boxes)
                for c, top, size in zip(callouts, tops, sizes, strict=True)
            ]
            hits = [i for i, one in enumerate(leaders) if one is not None and _meets(one, boxes)]
            pairs = _crossed(leaders)
            if (len(hits), len(pairs)) < best:
                best, found = (len(hits), len(pairs)), tops
            again = again or {*hits} or {i for pair in pairs for i in pair}
            if not pairs:
                break
            # Two texts change places: that shortens their leaders together.
            one, other = (order.index(i) for i in pairs[0])
            order[one], order[other] = order[other], order[one]
        if best == (0, 0):
            break
        for i in again:
            tries[i] += 1
    return found


def _size(rows: int, height: float) -> float:
    """Return how high [mm] a text of some rows is."""
    return ((rows - 1) * LINE + 1.0) * height


def _in_order(
    order: Sequence[int],
    levels: Sequence[float],
    sizes: Sequence[float],
    apart: float,
    column: Column,
) -> list[float]:
    """Return the top of each text, set below each other in an order near to levels, top down."""
    placed = _stacked([*levels], [sizes[i] for i in order], apart, column)
    return [top for _, top in sorted(zip(order, placed, strict=True))]


def _crossed(leaders: Sequence[LineString | None]) -> list[tuple[int, int]]:
    """Return which leaders cross each other."""
    some = [i for i, one in enumerate(leaders) if one is not None]
    return [(i, k) for i, k in combinations(some, 2) if shapely.crosses(leaders[i], leaders[k])]


def _meets(leader: LineString, boxes: Sequence[Polygon]) -> bool:
    return any(leader.intersects(box) for box in boxes)


def _line(
    callout: Callout,
    top: float,
    size: float,
    column: Column,
    height: float,
    boxes: Sequence[Polygon],
) -> LineString | None:
    """Return the slanting part of a callout's leader, None without a point.

    It comes from the first line of the text, or from the last one where it would meet a box.
    """
    if callout.at is None:
        return None
    levels = (top - height / 2, top - size + height / 2)
    both = [LineString([(column.edge, level), callout.at]) for level in levels]
    return next((one for one in both if not _meets(one, boxes)), both[0])


def _aside(count: int) -> float:
    """Return how far a text is moved at a try: 0, up, down, further up, further down."""
    return STEP * ((count + 1) // 2) * (1.0 if count % 2 else -1.0)


def tall(callouts: Sequence[Callout], width: float, height: float) -> float:
    """Return how high [mm] a column of a width must be at least to hold callouts."""
    lines = [len(_folded(c, width - (SHELF + BESIDE) * height, height)) for c in callouts]
    return sum(((n - 1) * LINE + 1.0 + APART) * height for n in lines)


def longest(callouts: Sequence[Callout], height: float) -> float:
    """Return how wide [mm] a column must be for no text of it to be folded."""
    wide = [width_of(text, height) for c in callouts for text in c.lines]
    return max(wide, default=0.0) + (SHELF + 2 * BESIDE) * height


def _folded(callout: Callout, width: float, height: float) -> list[str]:
    return [row for text in callout.lines for row in _phrased(text, width, height)]


def _phrased(text: str, width: float, height: float) -> list[str]:
    """Return lines of a text that break behind its commas, and no last one of an outcome alone.

    >>> _phrased("least in the disc 0.459 chord, at least 0.120 chord, PASS", 80.0, 2.5)
    ['least in the disc 0.459 chord,', 'at least 0.120 chord, PASS']
    """
    lines: list[list[str]] = [[]]
    for phrase in text.replace(", ", ",\n").split("\n"):
        if lines[-1] and width_of(" ".join([*lines[-1], phrase]), height) > width:
            lines.append([])
        lines[-1].append(phrase)
    if len(lines) > 1 and len(lines[-1]) == 1 and len(lines[-2]) > 1:
        last = [lines[-2][-1], *lines[-1]]
        if width_of(" ".join(last), height) <= width:
            lines[-2:] = [lines[-2][:-1], last]
    return [row for line in lines for row in wrapped(" ".join(line), width, height)]


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


def _leader(slant: LineString, column: Column, height: float) -> list[Path]:
    """Return the shelf and line to a point, and its arrow head."""
    knee, at = ((float(x), float(y)) for x, y in slant.coords)
    off = SHELF * height
    start = (column.edge - off if column.left else column.edge + off, knee[1])
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
