"""A flat drawing as plain records [mm], from which a file of any format is written."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

from geomgen.drafting.own_lengths import in_inches, told
from geomgen.length_words import figures

Point = tuple[float, float]

Kind = Literal["length", "radius", "diameter", "angle"]
# What stands before and behind the figure of a dimension, by its kind (ISO 129-1).
SIGNS: dict[Kind, tuple[str, str]] = {
    "length": ("", ""),
    "radius": ("R", ""),
    "diameter": ("Ø", ""),
    "angle": ("", "°"),
}
# What a line is for; a shop sorts by it.
CUT, CAP, BEND, REF, TEXT = "CUT", "CAP", "BEND", "REF", "TEXT"
# Lines of views: seen and hidden edges, outlines in a section plane, hatching, centre lines,
# the border of an opening as measured, dimensions; and outlines of the former and the new shape.
VISIBLE, HIDDEN, SECTION, HATCH = "VISIBLE", "HIDDEN", "SECTION", "HATCH"
CENTRE, OPEN, DIM, FORMER, NEW = "CENTRE", "OPEN", "DIM", "FORMER", "NEW"
LAYERS = (
    *(CUT, CAP, BEND, REF, TEXT),
    *(VISIBLE, HIDDEN, SECTION, HATCH, CENTRE, OPEN, DIM, FORMER, NEW),
)


@dataclass(frozen=True)
class Path:
    """A run of straight lines and arcs through `points` [mm].

    `bulges` has one entry a point: the tangent of a quarter of the angle that the arc to the next
    point turns through, counter-clockwise positive; 0 is a straight line. A closed path runs from
    its last point back to its first.
    """

    points: tuple[Point, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = True
    layer: str = CUT
    name: str = ""

    def __post_init__(self) -> None:
        if self.layer not in LAYERS:
            raise ValueError(f"no layer {self.layer!r}; there are {', '.join(LAYERS)}")
        if self.bulges and len(self.bulges) != len(self.points):
            raise ValueError("a path has one bulge for each point, or none at all")

    def pieces(self) -> list[tuple[Point, Point, float]]:
        """Return start and end [mm] and bulge [1] of each piece."""
        many = len(self.points)
        bulges = self.bulges or (0.0,) * many
        last = many if self.closed else many - 1
        return [(self.points[i], self.points[(i + 1) % many], bulges[i]) for i in range(last)]

    def area(self) -> float:
        """Return the area [mm2] enclosed, counter-clockwise positive.

        >>> circle((0.0, 0.0), 2.0).area() / 4  # pi
        3.141592653589793
        """
        total = 0.0
        for (x0, y0), (x1, y1), bulge in self.pieces():
            total += 0.5 * (x0 * y1 - x1 * y0)
            if bulge:
                turn = 4 * math.atan(bulge)
                radius = math.dist((x0, y0), (x1, y1)) / (2 * math.sin(turn / 2))
                total += 0.5 * radius**2 * (turn - math.sin(turn))
        return total

    def length(self) -> float:
        """Return the length [mm]."""
        total = 0.0
        for a, b, bulge in self.pieces():
            chord = math.dist(a, b)
            turn = 4 * math.atan(bulge)
            total += chord if not bulge else chord * (turn / 2) / math.sin(turn / 2)
        return total

    def dense(self, sagitta: float = 0.01) -> list[Point]:
        """Return points along the path, its arcs within `sagitta` [mm] of their chords.

        A closed path ends on its first point again.
        """
        found = [self.points[0]]
        for a, b, bulge in self.pieces():
            if bulge:
                found += _arc_points(a, b, bulge, sagitta)
            found.append(b)
        return found


def _arc_points(a: Point, b: Point, bulge: float, sagitta: float) -> list[Point]:
    turn = 4 * math.atan(bulge)
    chord = math.dist(a, b)
    radius = chord / (2 * math.sin(abs(turn) / 2))
    step = 2 * math.acos(max(-1.0, 1 - min(sagitta, radius) / radius))
    count = max(1, math.ceil(abs(turn) / step))
    # The centre lies to the left of the chord for a counter-clockwise arc of less than a half turn.
    away = chord / (2 * math.tan(turn / 2))
    ux, uy = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    cx, cy = (a[0] + b[0]) / 2 - uy * away, (a[1] + b[1]) / 2 + ux * away
    first = math.atan2(a[1] - cy, a[0] - cx)
    angles = [first + turn * i / count for i in range(1, count)]
    return [(cx + radius * math.cos(t), cy + radius * math.sin(t)) for t in angles]


@dataclass(frozen=True)
class Label:
    """A line of text [mm]; `anchor` is start, middle or end, `angle` in degrees.

    Lengths in it are told as the builder counts (`own_lengths.told`).
    """

    at: Point
    text: str
    height: float = 4.0
    angle: float = 0.0
    anchor: str = "start"
    layer: str = TEXT

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", told(self.text))


@dataclass(frozen=True)
class Dimension:
    """What two points are apart, drawn with its figure, which is never written by hand.

    A length is that along a direction `angle` [deg]: 0 measures across, 90 up; `at` is a point that
    the dimension line passes through. A radius runs from its centre `a` to the arc at `b`, a
    diameter between two points across it; `at` says at which end a figure stands that has no room
    between them. An angle [deg] turns at `corner` from `a` counter-clockwise to `b`, `at` is a
    point of its arc. The figure stands behind `prefix`, that of a length in inches first where the
    builder counts in `inches`. In a detail that is drawn `enlarged` so many times, a length is that
    much less.

    >>> gap = Dimension((0.0, 0.0), (30.04, 7.0), (15.0, -20.0), prefix="gap ")
    >>> gap.measured, gap.text
    (30.04, 'gap 30.0')
    """

    a: Point
    b: Point
    at: Point
    angle: float = 0.0
    height: float = 3.5
    prefix: str = ""
    decimals: int = 1
    name: str = ""
    enlarged: float = 1.0
    kind: Kind = "length"
    corner: Point = (0.0, 0.0)
    inches: bool = field(default_factory=in_inches)

    @property
    def way(self) -> float:
        """Return the direction of the dimension line [deg]."""
        if self.kind == "length":
            return self.angle
        return math.degrees(math.atan2(self.b[1] - self.a[1], self.b[0] - self.a[0]))

    @property
    def apart(self) -> float:
        """Return what the points are apart as they are drawn [mm, deg].

        >>> Dimension((9.0, 0.0), (0.0, 9.0), (5.0, 5.0), kind="angle").apart
        90.0
        """
        if self.kind == "angle":
            (x, y), ends = self.corner, (self.a, self.b)
            first, last = (math.atan2(end[1] - y, end[0] - x) for end in ends)
            return math.degrees(last - first) % 360.0
        turn = math.radians(self.way)
        way = (math.cos(turn), math.sin(turn))
        return abs((self.b[0] - self.a[0]) * way[0] + (self.b[1] - self.a[1]) * way[1])

    @property
    def measured(self) -> float:
        """Return what the points are apart on the thing itself [mm, deg].

        >>> Dimension((0.0, 0.0), (30.0, 0.0), (0.0, -9.0), enlarged=5.0).text
        '6.0'
        """
        return self.apart if self.kind == "angle" else self.apart / self.enlarged

    @property
    def text(self) -> str:
        """Return the figure as it is printed.

        >>> Dimension((0.0, 0.0), (3.0, 0.0), (0.0, 0.0), prefix="H1 ", kind="diameter").text
        'H1 Ø3.0'
        """
        before, behind = SIGNS[self.kind]
        both = self.inches and self.kind != "angle"
        return f"{self.prefix}{before}{figures(self.measured, self.decimals, both)}{behind}"

    def moved(self, dx: float, dy: float) -> "Dimension":
        """Return the dimension moved by (dx, dy) [mm]."""
        points = (self.a, self.b, self.at, self.corner)
        a, b, at, corner = ((x + dx, y + dy) for x, y in points)
        return replace(self, a=a, b=b, at=at, corner=corner)


@dataclass(frozen=True)
class Drawing:
    """A drawing at full size [mm], x to the right, y up; `notes` go into its title block."""

    name: str
    paths: tuple[Path, ...] = ()
    labels: tuple[Label, ...] = ()
    notes: tuple[str, ...] = field(default=())
    dimensions: tuple[Dimension, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "notes", tuple(map(told, self.notes)))

    @property
    def open_outlines(self) -> tuple[str, ...]:
        """Return the names of outlines to cut that are open: no cutter follows them.

        >>> Drawing("plate", (line((0.0, 0.0), (9.0, 0.0), CUT, "edge"),)).open_outlines
        ('edge',)
        """
        return tuple(path.name for path in self.paths if path.layer == CUT and not path.closed)

    def box(self) -> tuple[Point, Point]:
        """Return the lowest and highest corner [mm] of all its lines, dimensions, text anchors."""
        points = [p for path in self.paths for p in path.dense(0.1)] + [t.at for t in self.labels]
        points += [p for d in self.dimensions for p in (d.a, d.b, d.at)]
        if not points:
            return (0.0, 0.0), (0.0, 0.0)
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return (min(xs), min(ys)), (max(xs), max(ys))

    def moved(self, dx: float, dy: float) -> "Drawing":
        """Return the drawing moved by (dx, dy) [mm]."""
        paths = tuple(
            replace(path, points=tuple((x + dx, y + dy) for x, y in path.points))
            for path in self.paths
        )
        labels = tuple(replace(t, at=(t.at[0] + dx, t.at[1] + dy)) for t in self.labels)
        dimensions = tuple(d.moved(dx, dy) for d in self.dimensions)
        return replace(self, paths=paths, labels=labels, dimensions=dimensions)


def circle(centre: Point, radius: float, layer: str = CUT, name: str = "") -> Path:
    """Return a full circle [mm] as two half arcs.

    >>> round(circle((1.0, 2.0), 3.0).length(), 6)  # 6 pi
    18.849556
    """
    x, y = centre
    return Path(((x - radius, y), (x + radius, y)), (1.0, 1.0), True, layer, name)


def line(a: Point, b: Point, layer: str = REF, name: str = "") -> Path:
    """Return a straight line [mm]."""
    return Path((a, b), (), False, layer, name)


def rectangle(low: Point, high: Point, layer: str = CUT, name: str = "") -> Path:
    """Return a rectangle [mm], counter-clockwise.

    >>> rectangle((0.0, 0.0), (2.0, 3.0)).area()
    6.0
    """
    return Path((low, (high[0], low[1]), high, (low[0], high[1])), (), True, layer, name)


def joined(name: str, drawings: Iterable[Drawing], notes: tuple[str, ...] = ()) -> Drawing:
    """Return one drawing of several, each where it stands."""
    many = list(drawings)
    return Drawing(
        name,
        tuple(path for d in many for path in d.paths),
        tuple(label for d in many for label in d.labels),
        notes,
        tuple(dimension for d in many for dimension in d.dimensions),
    )
