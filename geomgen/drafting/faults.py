"""What is read back from a file, held to what was drawn, line by line and text by text.

The same for every format: each reads its own files, and says how near they come.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from geomgen.drafting.lettering import width_of
from geomgen.drafting.record import Label, Path, Point

# How near chords follow the arcs that chords are held to [mm].
CHORDS = 0.005


@dataclass(frozen=True)
class Nearness:
    """What a place or a height of letters, the rise of an arc, an angle may be off [mm, degrees].

    `chords` says that arcs come back as chords, so that only the runs can be compared; `layers`
    that the file tells of which layer a line or text is.
    """

    place: float
    rise: float
    turn: float
    chords: bool = False
    layers: bool = False


def line_fault(seen: Sequence[Path], due: Sequence[Path], near: Nearness, of: str = "") -> str:
    """Return in words the first of some lines that is not the one drawn; empty if all are.

    They are looked at in their order; `of` says what they belong to.

    >>> from geomgen.drafting.record import circle
    >>> ring = circle((0.0, 0.0), 20.0, name="ring")
    >>> line_fault([ring], [ring], Nearness(1e-6, 1e-6, 1e-6))
    ''
    """
    if len(seen) != len(due):
        return f"it shows {len(seen)} lines{of}, not {len(due)}"
    for line, drawn in zip(seen, due, strict=True):
        words = f"line {drawn.name or '(no name)'} of {drawn.layer}"
        if near.layers and line.layer != drawn.layer:
            return f"{words} is of layer {line.layer}"
        off, rise = _off(line, drawn, near.chords)
        if not (off <= near.place and rise <= near.rise):
            return f"{words} is not the one drawn: {_most([off, rise]):.6g} mm off"
    return ""


def _off(seen: Path, due: Path, chords: bool) -> tuple[float, float]:
    """Return how far [mm] points of a line are off, and the rises of its arcs; inf for others."""
    points, drawn = seen.points, due.points
    if chords:
        # A run that is closed says so once more, after it has come back to its first point.
        points = points[:-1] if due.closed and points[-2:-1] == points[:1] else points
        drawn = (*drawn, drawn[0]) if due.closed else drawn
        if any(due.bulges) or len(points) != len(drawn):
            # Points that fall together in the digits of a page are read as one.
            return _run_off(points, due), 0.0
    elif seen.closed != due.closed or len(points) != len(drawn):
        return math.inf, math.inf
    off = _most(math.dist(a, b) for a, b in zip(points, drawn, strict=True))
    pairs = zip(seen.pieces(), due.pieces(), strict=True) if not chords else ()
    rises = (
        abs(bulge - other[2]) * max(1.0, math.dist(a, b) / 2) for (a, b, bulge), other in pairs
    )
    return off, _most(rises)


def _most(offs: Iterable[float]) -> float:
    """Return the largest of some distances, inf where one is no number: `max` may pass over it."""
    return max((off if math.isfinite(off) else math.inf for off in offs), default=0.0)


def _run_off(seen: Sequence[Point], due: Path) -> float:
    from shapely import LineString, hausdorff_distance

    if len(seen) < 2:
        return math.inf
    drawn = due.dense(CHORDS)
    ends = (math.dist(seen[0], drawn[0]), math.dist(seen[-1], drawn[-1]))
    if not all(math.isfinite(value) for point in seen for value in point):
        return math.inf
    return _most([*ends, float(hausdorff_distance(LineString(seen), LineString(drawn)))])


def text_fault(
    seen: Sequence[Label],
    due: Sequence[Label],
    near: Nearness,
    written: Callable[[str], str] = str,
) -> str:
    """Return in words the first of some texts that is lost, reads otherwise or stands elsewhere.

    Empty if there is none. They are looked at in their order; `written` gives words as the format
    has them.

    >>> text_fault([], [Label((0.0, 0.0), "WL 820")], Nearness(1e-6, 1e-6, 1e-6))
    'it shows 0 texts, not 1'
    """
    seen, due = ([one for one in many if written(one.text).strip()] for many in (seen, due))
    if len(seen) != len(due):
        return f"it shows {len(seen)} texts, not {len(due)}"
    for label, drawn in zip(seen, due, strict=True):
        if written(label.text) != written(drawn.text):
            return f"the text {drawn.text!r} is lost: it reads {label.text!r}"
        turned = abs((label.angle - drawn.angle + 180.0) % 360.0 - 180.0)
        long = width_of(drawn.text, drawn.height)
        apart = math.dist(_begin(label, long), _begin(drawn, long))
        off = _most([apart, abs(label.height - drawn.height)])
        other = near.layers and label.layer != drawn.layer
        if not (off <= near.place and turned <= near.turn) or other:
            return f"the text {drawn.text!r} stands in another place or size"
    return ""


def _begin(label: Label, long: float) -> Point:
    """Return where a text begins that is so long [mm]."""
    back = {"middle": 0.5, "end": 1.0}.get(label.anchor, 0.0) * long
    turn = math.radians(label.angle)
    return label.at[0] - back * math.cos(turn), label.at[1] - back * math.sin(turn)
