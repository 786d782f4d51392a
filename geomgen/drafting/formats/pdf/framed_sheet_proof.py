"""A drawing's page is read back: its size, each line and each text in its order and place."""

import math
from collections.abc import Sequence
from pathlib import Path

from geomgen.drafting.formats.pdf.reading_lines import Page, Run, Stroke, pages
from geomgen.drafting.formats.pdf.reading_words import Written, texts
from geomgen.drafting.lettering import CAPITAL, shown, width_of
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Label, Point
from geomgen.drafting.record import Path as Outline
from geomgen.files.disk import proof_failed

# What a page, a line or a text may be off, and the width of a line [mm of paper].
READ_TO, WIDTH = 0.05, 0.005
# How near chords follow the arcs that a page is held to [mm of paper].
CHORDS = 0.005


def prove_drawing_sheet(path: Path, sheet: Sheet, title: Title) -> None:
    """Read a page back from the disk and hold it to its sheet, line by line and text by text.

    FileWriteError if one is lost, or off by more than 0.05 mm of paper.
    """
    groups = on_paper(sheet, title)
    with pages(path) as document:
        if len(document) != 1:
            raise proof_failed(path, f"it has {len(document)} pages")
        _size(path, document[0], sheet.paper)
        due = [(line, group.width, group.name) for group in groups for line in group.paths]
        hold_strokes(path, document[0].strokes, due)
    _texts(path, texts(path), [label for group in groups for label in group.labels])


def _size(path: Path, page: Page, paper: Point) -> None:
    if max(abs(page.width - paper[0]), abs(page.height - paper[1])) > READ_TO:
        raise proof_failed(
            path,
            f"its page is {page.width:.1f} x {page.height:.1f} mm, "
            f"not {paper[0]:.1f} x {paper[1]:.1f}",
        )


def hold_strokes(
    path: Path, seen: Sequence[Stroke], due: Sequence[tuple[Outline, float, str]]
) -> None:
    """Hold the lines of a page to outlines [mm of paper] with width and layer, in their order.

    FileWriteError names the first line that is not the one drawn.
    """
    if len(seen) != len(due):
        raise proof_failed(path, f"it shows {len(seen)} lines, not {len(due)}")
    for stroke, (outline, width, layer) in zip(seen, due, strict=True):
        words = f"line {outline.name or '(no name)'} of {layer}"
        if abs(stroke.width - width) > WIDTH:
            raise proof_failed(path, f"{words} is {stroke.width:.2f} mm wide, not {width:.2f}")
        off = _off(stroke.points, outline)
        if off > READ_TO:
            raise proof_failed(path, f"{words} is {off:.2f} mm off")


def _off(seen: Run, outline: Outline) -> float:
    """Return how far [mm] a run on the page is off: point by point, or over its length."""
    if not any(outline.bulges):
        points = [*outline.points, outline.points[0]] if outline.closed else outline.points
        # A run that is closed says so once more, after it has come back to its first point.
        seen = seen[:-1] if outline.closed and seen[-2:-1] == seen[:1] else seen
        if len(seen) == len(points):
            return max(math.dist(a, b) for a, b in zip(seen, points, strict=True))
        # Points that fall together in the page's digits are read as one: the lines are compared.
    from shapely import LineString, hausdorff_distance

    if len(seen) < 2:
        return math.inf
    due = outline.dense(CHORDS)
    ends = max(math.dist(seen[0], due[0]), math.dist(seen[-1], due[-1]))
    return max(ends, float(hausdorff_distance(LineString(seen), LineString(due))))


def _texts(path: Path, seen: Sequence[Written], due: Sequence[Label]) -> None:
    due = [label for label in due if shown(label.text).strip()]
    if len(seen) != len(due):
        raise proof_failed(path, f"it shows {len(seen)} texts, not {len(due)}")
    for written, label in zip(seen, due, strict=True):
        if written.text.rstrip() != shown(label.text).rstrip():
            raise proof_failed(path, f"the text {label.text!r} reads {written.text!r}")
        turn = math.radians(label.angle)
        back = {"middle": 0.5, "end": 1.0}.get(label.anchor, 0.0)
        long = back * width_of(label.text, label.height)
        at = (label.at[0] - long * math.cos(turn), label.at[1] - long * math.sin(turn))
        turned = abs((written.angle - label.angle + 180.0) % 360.0 - 180.0)
        tall = abs(written.size * CAPITAL - label.height)
        if math.dist(written.at, at) > READ_TO or turned > 0.1 or tall > READ_TO:
            raise proof_failed(path, f"the text {label.text!r} stands in another place")
