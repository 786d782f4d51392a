"""Tables as paths and labels [mm]."""

from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.drafting.lettering import width_of
from geomgen.drafting.own_lengths import told_table
from geomgen.drafting.record import DIM, TEXT, Drawing, Label, Point, line

ROW = 1.7


@dataclass(frozen=True)
class Placed:
    """A piece of a drawing with the lowest y and the largest x [mm] that it reaches."""

    drawing: Drawing
    bottom: float
    right: float


def table(
    at: Point, title: str, head: Sequence[str], rows: Sequence[Sequence[str]], height: float
) -> Placed:
    """Return a table whose upper left corner is `at` [mm], its columns as wide as their text.

    >>> made = table((0.0, 0.0), "holes", ("no", "mm"), [("1", "14.00")], 10.0)
    >>> [label.text for label in made.drawing.labels]
    ['holes', 'no', 'mm', '1', '14.00']
    """
    head, rows = told_table(head, rows)
    starts, x = [], at[0]
    for column in zip(head, *rows, strict=True):
        starts.append(x)
        x += max(width_of(text, height) for text in column) + height
    right = max(x, at[0] + width_of(title, height))
    y = at[1] - height
    labels = [Label((at[0], y), title, height, layer=TEXT)]
    paths = []
    for number, row in enumerate((head, *rows) if any(head) else rows):
        y -= ROW * height
        labels += [
            Label((start, y), text, height, layer=TEXT)
            for start, text in zip(starts, row, strict=True)
            if text
        ]
        if number == 0 and any(head):
            under = y - 0.35 * height
            paths.append(line((at[0], under), (right, under), DIM))
    return Placed(Drawing("table", tuple(paths), tuple(labels)), y - 0.5 * height, right)
