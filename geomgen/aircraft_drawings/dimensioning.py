"""Overall dimensions set in tiers outside a view, and names where nothing runs through them.

The shorter a dimension, the nearer to the view it stands (ISO 129-1), so that extension lines cross
as few dimension lines as can be; no figure may meet a line or another text.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from geomgen.drafting.dimension_lines import drawn, drawn_out
from geomgen.drafting.lettering import extent, text_corners
from geomgen.drafting.record import Dimension, Drawing, Label, Path, Point
from geomgen.errors import GeometryError

Side = Literal["below", "above", "left", "right", "within"]
# All in heights of the letters: the first tier off the view, from one tier to the next, air round
# texts and between dimensions of one tier, how near chords follow arcs.
FIRST, TIER, AIR, CHORDS = 2.8, 2.6, 0.3, 0.05
# From one try to the next inside a view, over the height of the letters.
INNER = 0.5
# What of a line counts as between its ends, as shares of it.
INSIDE = (0.03, 0.97)
# How far the name stands under its view, over its height.
NAME = 2.0
TIERS = 10
# How often one that finds no room is placed before the others.
TURNS = 5


@dataclass(frozen=True)
class Wanted:
    """A dimension that is wanted between two points [mm of the view], on the first side with room.

    "within" stands for the free room over the points inside the view. Dimensions within, below and
    above a view measure across, those to the left and right of it up, turned
    by `tilt` [deg] where the ground is not level.
    """

    a: Point
    b: Point
    sides: tuple[Side, ...]
    prefix: str = ""
    name: str = ""
    tilt: float = 0.0

    @property
    def angle(self) -> float:
        """Return the direction that is measured [deg]."""
        return (90.0 if self.sides[0] in ("left", "right") else 0.0) + self.tilt


class Occupied:
    """What stands in a view already, so that nothing new is put on it."""

    def __init__(self, paths: Iterable[Path], labels: Iterable[Label], letters: float) -> None:
        from shapely import STRtree

        self.letters = letters
        self.lines = [_lines(path, letters) for path in paths if len(path.points) > 1]
        self.texts = [_around(label, AIR * letters) for label in labels]
        self.bars: list[Any] = []
        self._fixed, self._many = STRtree(self.lines), len(self.lines)

    def text_is_free(self, label: Label) -> bool:
        """Say whether a text meets no line and no other text."""
        box = _around(label, AIR * self.letters)
        if len(self._fixed.query(box, predicate="intersects")):
            return False
        return not any(box.intersects(other) for other in (*self.lines[self._many :], *self.texts))

    def dimension_is_free(self, dimension: Dimension) -> bool:
        """Say whether a dimension meets nothing that it must not meet.

        Extension lines may cross other lines, but no text; a dimension line also keeps clear of
        the other dimension lines and of their arrows.
        """
        made = drawn(dimension)
        if not self.text_is_free(made.label):
            return False
        if any(self.meets_text(path) for path in made.paths):
            return False
        if len(self._fixed.query(_lines(made.line, self.letters), predicate="intersects")):
            return False
        return not self.meets_bar(made.line)

    def meets_text(self, path: Path) -> bool:
        """Say whether a line runs through a text."""
        own = _lines(path, self.letters)
        return any(own.intersects(text) for text in self.texts)

    def meets_bar(self, path: Path) -> bool:
        """Say whether a dimension line runs too near to another one."""
        bar = _lines(path, self.letters).buffer((0.5 * TIER - AIR) * self.letters)
        return any(bar.intersects(other) for other in self.bars)

    def crossed(self, path: Path) -> int:
        """Return how many of the view's own lines a line crosses between its ends."""
        from shapely.ops import substring

        inner = substring(_lines(path, self.letters), *INSIDE, normalized=True)
        return len(self._fixed.query(inner, predicate="intersects"))

    def note(self, path: Path) -> None:
        """Note a line that was put onto the view."""
        self.lines.append(_lines(path, self.letters))

    def note_text(self, label: Label) -> None:
        """Note a text that was put onto the view."""
        self.texts.append(_around(label, AIR * self.letters))

    def add(self, dimension: Dimension) -> None:
        """Note a dimension that was placed."""
        made = drawn(dimension)
        self.lines += [_lines(path, self.letters) for path in made.paths]
        self.texts.append(_around(made.label, AIR * self.letters))
        self.bars.append(_lines(made.line, self.letters).buffer(0.5 * TIER * self.letters))


def _lines(path: Path, letters: float) -> Any:
    from shapely import LineString

    return LineString(path.dense(CHORDS * letters))


def _around(label: Label, air: float) -> Any:
    from shapely import Polygon

    return Polygon(text_corners(label)).buffer(air)


def dimensioned(view: Drawing, wanted: Sequence[Wanted], letters: float) -> Drawing:
    """Return a view [mm] with overall dimensions around it; `letters` is their height [mm].

    GeometryError, naming the dimension, when there is no room for it on any of its sides.

    >>> from geomgen.drafting.record import rectangle
    >>> body = Drawing("body", (rectangle((0.0, 0.0), (90.0, 30.0)),))
    >>> made = dimensioned(body, [Wanted((0.0, 0.0), (90.0, 0.0), ("below",))], 2.5)
    >>> made.dimensions[0].text, made.dimensions[0].at
    ('90.0', (45.0, -7.0))
    """
    order = sorted(range(len(wanted)), key=lambda i: (_span(wanted[i]), i))
    tried: list[int] = []
    while True:
        done, stuck = _in_order(view, wanted, order, letters)
        if stuck is None:
            found = tuple(done[place] for place in range(len(wanted)))
            return replace(view, dimensions=view.dimensions + found)
        name = wanted[stuck].name
        tried.append(stuck)
        if tried.count(stuck) > TURNS:
            raise GeometryError(f"no room for the dimension {name!r}", step="three-view")
        # It chooses before the others in the next turn, then without words, then no one has words.
        order = [stuck, *(place for place in order if place != stuck)]
        if tried.count(stuck) > 1:
            bare = tried.count(stuck) > TURNS - 2
            wanted = [replace(w, prefix="") if bare or w.name == name else w for w in wanted]


def _in_order(
    view: Drawing, wanted: Sequence[Wanted], order: Sequence[int], letters: float
) -> tuple[dict[int, Dimension], int | None]:
    """Return the dimensions placed one after the other, and the one that found no room."""
    room = Occupied(view.paths, view.labels, letters)
    low, high = Drawing("", view.paths).box()
    done: dict[int, Dimension] = {}
    for place in order:
        made = _placed(wanted[place], room, low, high)
        if made is None:
            return done, place
        done[place] = made
        room.add(made)
    return done, None


def _span(wanted: Wanted) -> float:
    return Dimension(wanted.a, wanted.b, wanted.a, wanted.angle).measured


def _placed(wanted: Wanted, room: Occupied, low: Point, high: Point) -> Dimension | None:
    """Return a dimension where it is free, on its first side that has room at all within reach."""
    bare = Dimension(
        wanted.a, wanted.b, wanted.a, wanted.angle, room.letters, wanted.prefix, name=wanted.name
    )
    made = (
        replace(bare, at=at)
        for side, off in _tiers(wanted, room.letters, high)
        for at in _places(wanted, side, off, low, high)
    )
    return next((dimension for dimension in made if room.dimension_is_free(dimension)), None)


def _tiers(wanted: Wanted, letters: float, high: Point) -> list[tuple[Side, float]]:
    """Return sides and how far off [mm], in the order of trying: free room within comes first."""
    found: list[tuple[Side, float]] = []
    if "within" in wanted.sides:
        room = high[1] - max(wanted.a[1], wanted.b[1])
        steps = range(max(0, int((room / letters - FIRST) / INNER)))
        found = [("within", (FIRST + INNER * step) * letters) for step in steps]
    return found + [
        (side, (FIRST + TIER * tier) * letters)
        for tier in range(TIERS)
        for side in wanted.sides
        if side != "within"
    ]


def _places(wanted: Wanted, side: Side, off: float, low: Point, high: Point) -> tuple[Point, ...]:
    """Return where a dimension line may pass: at the middle, or before its lower end.

    The second counts for figures that don't fit between their points: they stand at that end.
    """
    (x0, y0), (x1, y1) = wanted.a, wanted.b
    if side not in ("left", "right"):
        y = {"below": low[1] - off, "above": high[1] + off, "within": max(y0, y1) + off}[side]
        return ((x0 + x1) / 2, y), (min(x0, x1) - off, y)
    x = low[0] - off if side == "left" else high[0] + off
    return (x, (y0 + y1) / 2), (x, min(y0, y1) - off)


def named(view: Drawing, text: str, height: float) -> Drawing:
    """Return a view with its name in a free lower corner of it, or else under all that it holds.

    `height` is that of its letters [mm of the drawing].

    >>> from geomgen.drafting.record import line, rectangle
    >>> body = Drawing("body", (rectangle((0.0, 0.0), (90.0, 8.0)),))
    >>> named(body, "SIDE VIEW", 5.0).labels[0].at
    (45.0, -10.0)
    >>> wing = Drawing("wing", (line((0.0, 0.0), (20.0, 0.0)), line((0.0, 30.0), (99.0, 30.0))))
    >>> named(wing, "VIEW", 5.0).labels[0].at
    (5.0, 5.0)
    """
    shown = drawn_out(view)
    room = Occupied(shown.paths, shown.labels, height)
    (left, low), (right, _) = Drawing("", view.paths).box()
    corners = (
        Label((left + height, low + height), text, height),
        Label((right - height, low + height), text, height, anchor="end"),
    )
    under = extent(shown)[0][1] - NAME * height
    below = Label(((left + right) / 2, under), text, height, anchor="middle")
    chosen = next((label for label in corners if room.text_is_free(label)), below)
    return replace(view, labels=(*view.labels, chosen))


def labelled(view: Drawing, choices: Sequence[Label], letters: float) -> Drawing:
    """Return a view with the first of several labels that meets nothing, or as it is if all do.

    `letters` is the height of its figures [mm of the drawing].
    """
    shown = drawn_out(view)
    room = Occupied(shown.paths, shown.labels, letters)
    free = next((label for label in choices if room.text_is_free(label)), None)
    return view if free is None else replace(view, labels=(*view.labels, free))
