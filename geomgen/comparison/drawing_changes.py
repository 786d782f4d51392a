"""Whether two drawings of one name are the same to cut by, and how far their outlines lie apart."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Literal

from geomgen.drafting.paper.title import RELEASED
from geomgen.drafting.record import BEND, CAP, CUT, Drawing, Label, Path

# What a shop cuts or bends along; everything else is to be read.
WORKED = (CUT, CAP, BEND)
# A drawing is written and read back to this [mm].
WRITTEN_TO = 1e-6
SAGITTA = 0.01
# Outlines are compared at least this densely [mm].
STEP = 0.5
Kind = Literal["title only", "texts", "outlines"]


@dataclass(frozen=True)
class DrawingChange:
    """What differs; `moved` [mm] is how far outlines lie apart at most, `at` [mm] where."""

    kind: Kind
    moved: float = 0.0
    at: tuple[float, float] | None = None
    error: float = 0.0


def without_title(drawing: Drawing) -> Drawing:
    """Return a drawing as read back, less the lines that name its project and its parameters.

    Everything else stays: notes say how thick a sheet is and which way round a half lies. That the
    set was released although a check failed is no change of a sheet.
    """
    drawing = replace(drawing, labels=_without_reason(drawing.labels))
    for i, label in enumerate(drawing.labels):
        if label.text.startswith("scale ") and ", parameters " in label.text:
            kept = (*drawing.labels[: max(i - 1, 0)], *drawing.labels[i + 1 :])
            return Drawing(drawing.name, drawing.paths, kept, drawing.notes, drawing.dimensions)
    return drawing


def _without_reason(labels: Sequence[Label]) -> tuple[Label, ...]:
    """Return labels without the reason of a release; the lines below it move up by one."""
    for i, label in enumerate(labels):
        if label.text.startswith(RELEASED):
            below = (replace(b, at=a.at) for a, b in pairwise(labels[i:]))
            return (*labels[:i], *below)
    return tuple(labels)


def drawing_change(former: Drawing, new: Drawing) -> DrawingChange:
    """Return what differs between two drawings read back from their files.

    >>> from geomgen.drafting.record import rectangle
    >>> small, large = (Drawing("a", (rectangle((0, 0), (10.0, x)),)) for x in (20.0, 23.0))
    >>> drawing_change(small, large).moved
    3.0
    """
    old, now = without_title(former), without_title(new)
    one, two = _worked(old), _worked(now)
    if len(one) != len(two) or not all(map(_same_path, one, two)):
        moved, at = _apart(one, two)
        return DrawingChange("outlines", moved, at, STEP / 2 + 2 * SAGITTA)
    read, read_now = ([p for p in d.paths if p.layer not in WORKED] for d in (old, now))
    same = len(read) == len(read_now) and all(map(_same_path, read, read_now))
    texts = len(old.labels) == len(now.labels) and all(map(_same_text, old.labels, now.labels))
    same &= old.dimensions == now.dimensions
    return DrawingChange("title only" if same and texts else "texts")


def _worked(drawing: Drawing) -> list[Path]:
    return [path for path in drawing.paths if path.layer in WORKED]


def _same_path(a: Path, b: Path) -> bool:
    if (a.layer, a.closed, len(a.points)) != (b.layer, b.closed, len(b.points)):
        return False
    none = (0.0,) * len(a.points)
    near = all(abs(p[i] - q[i]) <= WRITTEN_TO for p, q in zip(a.points, b.points, strict=True)
               for i in (0, 1))  # fmt: skip
    bends = zip(a.bulges or none, b.bulges or none, strict=True)
    return near and all(abs(p - q) <= WRITTEN_TO for p, q in bends)


def _same_text(a: Label, b: Label) -> bool:
    near = all(abs(p - q) <= WRITTEN_TO for p, q in zip(a.at, b.at, strict=True))
    return near and (a.text, a.layer, a.anchor) == (b.text, b.layer, b.anchor)


def _apart(one: list[Path], two: list[Path]) -> tuple[float, tuple[float, float] | None]:
    """Return the largest distance of the outlines, both ways, and the place; inf: one has none."""
    from shapely import (
        LineString,
        MultiLineString,
        distance,
        get_coordinates,
        points,
        prepare,
        segmentize,
    )

    if not one or not two:
        return float("inf"), None
    lines: list[Any] = [
        MultiLineString([LineString(path.dense(SAGITTA)) for path in paths]) for paths in (one, two)
    ]
    prepare(lines)
    most, at = 0.0, None
    for mine, other in (lines, lines[::-1]):
        places = get_coordinates(segmentize(mine, STEP))
        away = distance(points(places), other)
        if away.max() >= most:
            most, (x, y) = float(away.max()), places[int(away.argmax())].tolist()
            at = (x, y)
    return most, at
