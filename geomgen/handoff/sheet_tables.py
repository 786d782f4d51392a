"""Tables and dimension lines as paths and labels [mm]."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.drawings.record import REF, TEXT, Drawing, Label, Path, Point, line
from geomgen.handoff.text_room import wide

ROW = 1.7
ARROW = (1.1, 0.3)


@dataclass(frozen=True)
class Placed:
    """A piece of a drawing with the lowest y and the largest x [mm] that it reaches."""

    drawing: Drawing
    bottom: float
    right: float


def table(
    at: Point, title: str, head: Sequence[str], rows: Sequence[Sequence[str]], height: float
) -> Placed:
    """Return a table whose upper left corner is `at`, its columns as wide as their text.

    >>> made = table((0.0, 0.0), "holes", ("no", "mm"), [("1", "14.00")], 10.0)
    >>> [label.text for label in made.drawing.labels]
    ['holes', 'no', 'mm', '1', '14.00']
    """
    starts, x = [], at[0]
    for column in zip(head, *rows, strict=True):
        starts.append(x)
        x += max(wide(text, height) for text in column) + height
    right = max(x, at[0] + wide(title, height))
    y = at[1] - height
    labels = [Label((at[0], y), title, height, layer=TEXT)]
    paths = []
    for number, row in enumerate((head, *rows)):
        y -= ROW * height
        labels += [
            Label((start, y), text, height, layer=TEXT)
            for start, text in zip(starts, row, strict=True)
            if text
        ]
        if number == 0 and any(head):
            under = y - 0.35 * height
            paths.append(line((at[0], under), (right, under), REF))
    return Placed(Drawing("table", tuple(paths), tuple(labels)), y - 0.5 * height, right)


def dimension(a: Point, b: Point, off: float, text: str, height: float) -> Drawing:
    """Return a dimension from `a` to `b`, its line `off` [mm] to the right of that way.

    The text stands above the line, to be read from below or from the right.

    >>> dimension((0.0, 0.0), (10.0, 0.0), 5.0, "10.0", 2.0).labels[0].at
    (5.0, -4.2)
    """
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    nx, ny = uy, -ux
    sign = math.copysign(1.0, off)
    p, q = (a[0] + off * nx, a[1] + off * ny), (b[0] + off * nx, b[1] + off * ny)
    paths = [line(p, q, REF, "dimension")]
    for foot, end in ((a, p), (b, q)):
        start = (foot[0] + sign * 0.4 * height * nx, foot[1] + sign * 0.4 * height * ny)
        past = (end[0] + sign * 0.5 * height * nx, end[1] + sign * 0.5 * height * ny)
        paths.append(line(start, past, REF, "extension"))
    paths += [_arrow(p, (ux, uy), height), _arrow(q, (-ux, -uy), height)]
    turn = math.degrees(math.atan2(uy, ux))
    if not -90.0 < turn <= 90.0 + 1e-9:
        turn -= math.copysign(180.0, turn)
    up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
    middle = ((p[0] + q[0]) / 2 + 0.4 * height * up[0], (p[1] + q[1]) / 2 + 0.4 * height * up[1])
    return Drawing("dimension", tuple(paths), (Label(middle, text, height, turn, "middle", TEXT),))


def _arrow(tip: Point, way: Point, height: float) -> Path:
    long, half = ARROW[0] * height, ARROW[1] * height
    base = (tip[0] + long * way[0], tip[1] + long * way[1])
    sides = [(base[0] - s * half * way[1], base[1] + s * half * way[0]) for s in (1, -1)]
    return Path((sides[0], tip, sides[1]), (), False, REF, "arrow")
