"""A dimension as it is drawn: extension lines, dimension line, arrow heads and its figure.

As ISO 129-1 has it: the figure above its line, to be read from below or from the right; where the
points stand too near to each other, the arrows point at them from outside and the figure stands
beside. All sizes go with the height of the letters.
"""

import math
from dataclasses import dataclass, replace

from geomgen.drafting.lettering import text_corners, width_of
from geomgen.drafting.record import DIM, Dimension, Drawing, Label, Path, Point

# All over the height of the letters: gap at the point, what stands over the dimension line,
# arrow head (length, half its width), the figure above its line, room beside it.
GAP, OVER = 0.3, 0.6
ARROW, HALF = 1.0, 0.17
LIFT, BESIDE = 0.5, 0.4
TAIL = 2.0
ROUNDING = 1e-6
# Pieces of an arc that its figure is kept off.
CHORDS = 16


@dataclass(frozen=True)
class Drawn:
    """The lines and the figure of one dimension."""

    extensions: tuple[Path, ...]
    line: Path
    arrows: tuple[Path, ...]
    label: Label

    @property
    def paths(self) -> tuple[Path, ...]:
        """Return all its lines, the arrow heads as closed outlines."""
        return (*self.extensions, self.line, *self.arrows)


@dataclass(frozen=True)
class _Axes:
    """Coordinates along the dimension line, the way its figure reads, and across it."""

    turn: float

    def of(self, point: Point) -> Point:
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return point[0] * cos + point[1] * sin, point[1] * cos - point[0] * sin

    def at(self, along: float, across: float) -> Point:
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return along * cos - across * sin, along * sin + across * cos


def reading_angle(angle: float) -> float:
    """Return the angle [deg] of a text along a direction that is read from below or the right.

    >>> [reading_angle(a) for a in (0.0, 90.0, 180.0, 270.0, 120.0)]
    [0.0, 90.0, 0.0, 90.0, -60.0]
    """
    turned = angle % 180.0
    if turned > 180.0 - ROUNDING:
        return 0.0
    return turned - 180.0 if turned > 90.0 + ROUNDING else turned


def foot(dimension: Dimension, point: Point) -> Point:
    """Return where the extension line of a point meets the straight dimension line [mm].

    >>> foot(Dimension((0.0, 0.0), (30.0, 7.0), (15.0, -20.0)), (30.0, 7.0))
    (30.0, -20.0)
    """
    frame = _Axes(math.radians(reading_angle(dimension.way)))
    through = dimension.at if dimension.kind == "length" else dimension.a
    return frame.at(frame.of(point)[0], frame.of(through)[1])


def drawn(dimension: Dimension) -> Drawn:
    """Return a dimension's lines and figure on layer DIM.

    The figure of one that is too short for it stands at its right or upper end, or at the other end
    if `at` lies beyond that. That of an angle stands outside of its arc.
    """
    return _round(dimension) if dimension.kind == "angle" else _straight(dimension)


def _straight(dimension: Dimension) -> Drawn:
    angle = reading_angle(dimension.way)
    frame, size, name = _Axes(math.radians(angle)), dimension.height, dimension.name
    (along_a, _), (along_b, _) = frame.of(dimension.a), frame.of(dimension.b)
    at, level = frame.of(dimension.at)[0], frame.of(foot(dimension, dimension.a))[1]
    first, last = min(along_a, along_b), max(along_a, along_b)
    long, between = width_of(dimension.text, size), last - first
    inside = between >= max(long + 2 * BESIDE * size, (2 * ARROW + 0.5) * size)
    radius = dimension.kind == "radius"
    # A radius has one arrow, at its arc; it points at it from the centre as long as it has room.
    tips = [along_b] if radius else [first, last]
    within = inside or (radius and between >= (ARROW + 0.5) * size)
    tails = [0.0 if within or tip not in tips else TAIL * size for tip in (first, last)]
    if inside:
        ends, anchor, middle = (first, last), "middle", (first + last) / 2
    else:
        off = (ARROW + BESIDE) * size
        ends, anchor, middle = (first - tails[0], last + off + long), "start", last + off
        if at < first - ROUNDING:
            ends, anchor, middle = (first - off - long, last + tails[1]), "end", first - off
    line = Path((frame.at(ends[0], level), frame.at(ends[1], level)), (), False, DIM, name)
    arrows = tuple(
        _arrow(frame, tip, level, size if within == (tip == first) else -size, name) for tip in tips
    )
    label = Label(
        frame.at(middle, level + LIFT * size), dimension.text, size, angle, anchor, layer=DIM
    )
    found = (_extension(frame, p, level, size, name) for p in (dimension.a, dimension.b))
    return Drawn(tuple(path for path in found if path), line, arrows, label)


def _round(dimension: Dimension) -> Drawn:
    """Return an angle's arc with its arrows and figure."""
    (x, y), size, name = dimension.corner, dimension.height, dimension.name
    radius = math.dist(dimension.corner, dimension.at)
    first = math.atan2(dimension.a[1] - y, dimension.a[0] - x)
    turn = math.radians(dimension.apart)

    def at(way: float, off: float = 0.0) -> Point:
        return x + (radius + off) * math.cos(way), y + (radius + off) * math.sin(way)

    inside = radius * turn >= (2 * ARROW + 0.5) * size
    over = 0.0 if inside else TAIL * size / radius
    arc = math.tan((turn + 2 * over) / 4)
    ends = (at(first - over), at(first + turn + over))
    line = Path(ends, (arc, 0.0), False, DIM, name)
    arrows = []
    for way, sense in ((first, 1.0), (first + turn, -1.0)):
        # Along the tangent, which an arrow head is too short to leave.
        frame = _Axes(way + math.pi / 2)
        along, across = frame.of(at(way))
        arrows.append(_arrow(frame, along, across, sense * (size if inside else -size), name))
    extensions = []
    for point, way in ((dimension.a, first), (dimension.b, first + turn)):
        reach = math.dist(dimension.corner, point) - radius
        if reach < -GAP * size:
            ends = at(way, reach + GAP * size), at(way, OVER * size)
            extensions.append(Path(ends, (), False, DIM, name))
    # A narrow one's figure keeps off what its legs run over.
    off = (LIFT if inside else LIFT + 1.5 * OVER) * size
    label = _beyond(dimension, at(first + turn / 2, off), first + turn / 2)
    along_arc = [at(first + turn * i / CHORDS) for i in range(CHORDS + 1)]
    while any(_under(label, point) for point in along_arc):
        # A wide figure of an arc that is not level in its middle would run into the arc's end.
        off += LIFT * size
        label = _beyond(dimension, at(first + turn / 2, off), first + turn / 2)
    return Drawn(tuple(extensions), line, tuple(arrows), label)


def _under(label: Label, point: Point) -> bool:
    """Say whether a level text stands on a point, or on the arrow head there."""
    (x0, y0), _, (x1, y1), _ = text_corners(label)
    near = HALF * label.height
    return x0 - near < point[0] < x1 + near and y0 - near < point[1] < y1 + near


def _beyond(dimension: Dimension, at: Point, way: float) -> Label:
    """Return the level figure of an angle at a point beyond the middle of its arc."""
    size, (x, y) = dimension.height, at
    cos, sin = math.cos(way), math.sin(way)
    anchor = "middle" if abs(cos) < 0.3 else "start" if cos > 0 else "end"
    foot_of = y - size * (1.0 - sin) / 2
    return Label((x, foot_of), dimension.text, size, 0.0, anchor, layer=DIM)


def _arrow(frame: _Axes, tip: float, level: float, size: float, name: str) -> Path:
    """Return an arrow head whose body lies on the side of `size`'s sign."""
    back, half = tip + ARROW * size, HALF * size
    corners = (
        frame.at(tip, level),
        frame.at(back, level - half),
        frame.at(back, level + half),
    )
    return Path(corners, (), True, DIM, name)


def _extension(frame: _Axes, point: Point, level: float, size: float, name: str) -> Path | None:
    along, across = frame.of(point)
    if abs(level - across) <= GAP * size:
        return None
    way = math.copysign(size, level - across)
    ends = (frame.at(along, across + GAP * way), frame.at(along, level + OVER * way))
    return Path(ends, (), False, DIM, name)


def drawn_out(drawing: Drawing) -> Drawing:
    """Return a drawing with its dimensions as plain lines and texts, behind its own.

    >>> one = Drawing("a", dimensions=(Dimension((0.0, 0.0), (90.0, 0.0), (0.0, -20.0)),))
    >>> made = drawn_out(one)
    >>> len(made.paths), made.labels[0].text, made.dimensions
    (5, '90.0', ())
    """
    if not drawing.dimensions:
        return drawing
    every = [drawn(dimension) for dimension in drawing.dimensions]
    return replace(
        drawing,
        paths=drawing.paths + tuple(path for one in every for path in one.paths),
        labels=drawing.labels + tuple(one.label for one in every),
        dimensions=(),
    )
