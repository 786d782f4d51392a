"""Texts that can't be read: those that a line runs through, or that lie on another text."""

from dataclasses import dataclass
from typing import Any

from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import text_corners
from geomgen.drafting.record import HATCH, OPEN, Drawing, Label, Path, Point

# Lines that a text may stand on: hatching and the border of an opening are drawn round it.
PASSED = (HATCH, OPEN)
# How near chords follow arcs, over the height of the smallest letters.
CHORDS = 0.05
# What two things may share before they are said to meet, over the height of the letters.
TOUCH = 0.02


@dataclass(frozen=True)
class Clash:
    """A text that meets a line or another text: `other` names it, `at` is the text's middle."""

    text: str
    other: str
    at: Point


def clashes(drawing: Drawing) -> tuple[Clash, ...]:
    """Return each text, figures of dimensions included, that meets a line or another text.

    Hatching and borders of openings don't count, nor does a figure's own dimension line.

    >>> from geomgen.drafting.record import line
    >>> wing = line((0.0, 1.0), (90.0, 1.0))
    >>> [c.other for c in clashes(Drawing("a", (wing,), (Label((10.0, 0.0), "WL 820"),)))]
    ['line of REF']
    """
    from shapely import LineString, STRtree

    every = [drawn(dimension) for dimension in drawing.dimensions]
    paths = [path for path in drawing.paths if path.layer not in PASSED and len(path.points) > 1]
    paths += [path for one in every for path in one.paths]
    texts: list[tuple[Label, Path | None]] = [(label, None) for label in drawing.labels]
    texts += [(one.label, one.line) for one in every]
    texts = [(label, own) for label, own in texts if label.text.strip()]
    if not texts:
        return ()
    sagitta = CHORDS * min(label.height for label, _ in texts)
    boxes = [_box(label) for label, _ in texts]
    lines = STRtree([LineString(path.dense(sagitta)) for path in paths])
    found = []
    for row, place in lines.query(boxes, predicate="intersects").T:
        if paths[place] is not texts[row][1]:
            found.append(_clash(texts[row][0], _named(paths[place])))
    for row, place in STRtree(boxes).query(boxes, predicate="intersects").T:
        if row < place:
            found.append(_clash(texts[row][0], f"text {texts[place][0].text!r}"))
    return tuple(found)


def _box(label: Label) -> Any:
    from shapely import Polygon

    return Polygon(text_corners(label)).buffer(-TOUCH * label.height)


def _clash(label: Label, other: str) -> Clash:
    corners = text_corners(label)
    return Clash(
        label.text,
        other,
        ((corners[0][0] + corners[2][0]) / 2, (corners[0][1] + corners[2][1]) / 2),
    )


def _named(path: Path) -> str:
    return f"line {path.name} of {path.layer}" if path.name else f"line of {path.layer}"
