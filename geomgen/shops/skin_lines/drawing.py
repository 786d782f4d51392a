"""The sheets of a half's lines: two views to scale with a table, one to work by at full size."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from geomgen.drafting.label_spots import Spots, about, along
from geomgen.drafting.lettering import wrapped
from geomgen.drafting.own_lengths import grid_step
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.sheet import LETTERS, Sheet
from geomgen.drafting.record import CUT, DIM, HIDDEN, REF, Drawing, Label, Path, Point, line
from geomgen.shops.figures import plain
from geomgen.shops.page_view import PageView, loft_word, step_for
from geomgen.shops.skin_lines.curves import LineOnSkin, SkinLines
from geomgen.shops.skin_lines.planes import BUILD
from geomgen.shops.skin_lines.views import (
    drawn_lines,
    meshed_half,
    outline_in,
    spread,
    two_views,
)

# Gap between views, rows of the table, and its width, in heights of the letters.
GAP, ROW, WIDE = 7.0, 1.9, 95.0
# Letters on the full-size sheet [mm], and what its grid reaches past the outline [mm].
WORDS, PAST = 5.0, 15.0
# Steps between the ticks of a scale [mm]; ticks are so many heights of letters apart at least.
STEPS, TICK = (10, 20, 50, 100, 200, 500, 1000), 8.0


def two_view_sheet(name: str, half: SkinLines, notes: tuple[str, ...]) -> Sheet:
    """Return the sheet to look at: both views, every line numbered, and where it runs [mm]."""
    views = two_views(half.side.pull)
    body = meshed_half(half.side.solid)
    shown = [(view, outline_in(view, body), drawn_lines(view, half)) for view in views]
    rows = [f"{i}  {told(one)}" for i, one in enumerate(half.lines, start=1)]
    rows += [f"no line found: {lost}" for lost in half.undrawn]

    def lettered(over: int, _: str) -> Iterator[Drawing]:
        text = LETTERS * over
        paths, labels = _both(shown, text)
        low, _high = Drawing("", tuple(paths), tuple(labels)).box()
        at = low[1] - 3 * text
        for words in ["Lines on the skin of the half, each with its number:", *rows]:
            for part in wrapped(words, WIDE * text, text):
                labels.append(Label((low[0], at), part, text))
                at -= ROW * text
        yield Drawing(name, tuple(paths), tuple(labels), notes)

    return on_smallest(lettered, name, ["handoff.moulds"], projection="third angle")


def told(one: LineOnSkin) -> str:
    """Return a line's name and where it runs [mm].

    >>> run = np.array([[250.0, 98.0, 20.0], [250.0, 0.0, 98.0]])
    >>> told(LineOnSkin("sill", (run,), BUILD, None))
    'sill: STA 250, BL 0 to 98, WL 20 to 98; 125 mm long'
    """
    points = np.concatenate(one.runs)
    spans = []
    for word, low, high in zip(
        ("STA", "BL", "WL"), points.min(axis=0), points.max(axis=0), strict=True
    ):
        a, b = (plain(round(float(v), 1)) for v in (low, high))
        spans.append(f"{word} {a}" if a == b else f"{word} {a} to {b}")
    return f"{one.name}: {', '.join(spans)}; {one.length:.0f} mm long"


def _both(
    shown: Sequence[tuple[PageView, list[Path], list[list[Path]]]], text: float
) -> tuple[list[Path], list[Label]]:
    """Return both views, the second above the first, with scales and numbers."""
    paths: list[Path] = []
    labels: list[Label] = []
    base = -np.inf
    for view, outline, lines in shown:
        (x0, y0), (_, y1) = Drawing("", tuple(outline)).box()
        up = 0.0 if not np.isfinite(base) else base + GAP * text - y0
        every = [*outline, *(path for one in lines for path in one)]
        drawing = Drawing("", tuple(every)).moved(0.0, up)
        here, words = _scale(view, outline, up, text)
        base = y1 + up + 2 * text
        words.append(Label((x0, base), view.words + "; dashed: on the far side", text))
        spots = Spots([*drawing.paths, *here], words, text)
        numbers = []
        for number, one in enumerate(lines, start=1):
            if one:
                numbers += _number(number, one, up, text, spots, here)
        paths += [*drawing.paths, *here]
        labels += [*words, *numbers]
        base += 2 * text
    return paths, labels


def _number(
    number: int, one: Sequence[Path], up: float, text: float, spots: Spots, paths: list[Path]
) -> list[Label]:
    seen = [path for path in one if path.layer != HIDDEN] or list(one)
    x, y = spread(seen)
    at = (x, y + up)
    found = spots.take(about(at, str(number), text))
    if found is None:
        return []
    middle = np.array([found.at[0], found.at[1] + 0.5 * text])
    way = np.array(at) - middle
    start = middle + 1.1 * text * way / max(float(np.hypot(*way)), 1e-9)
    paths.append(line((float(start[0]), float(start[1])), at, DIM, "leader"))
    return [found]


def _scale(
    view: PageView, outline: Sequence[Path], up: float, text: float
) -> tuple[list[Path], list[Label]]:
    """Return ticks below a view and beside it, in the words of the loft."""
    (x0, y0), (x1, y1) = Drawing("", tuple(outline)).box()
    paths, labels = [], []
    for axis, (way, a, b) in enumerate(((view.right, x0, x1), (view.up, y0, y1))):
        longest = max((loft_word(way, round(end)) for end in (a, b)), key=len) if axis == 0 else ""
        step = step_for(STEPS, TICK * text, longest, text)
        for k in range(int(np.ceil(a / step)), int(np.floor(b / step)) + 1):
            words = loft_word(way, k * step)
            if axis == 0:
                x, foot = float(k * step), y0 + up - text
                ends = ((x, foot), (x, foot - 0.6 * text))
                at, anchor = (x, foot - 2.0 * text), "middle"
            else:
                ends = ((x0 - text, k * step + up), (x0 - 1.6 * text, k * step + up))
                at, anchor = (x0 - 2.0 * text, k * step + up - text / 2), "end"
            paths.append(line(*ends, DIM, "scale"))
            labels.append(Label(at, words, text, 0.0, anchor))
    return paths, labels


def full_size_sheet(name: str, half: SkinLines, notes: tuple[str, ...]) -> Sheet:
    """Return the sheet to work by: the half along its pull, its lines at full size, each named."""
    view, _ = two_views(half.side.pull)
    outline = [replace(path, layer=REF) for path in outline_in(view, meshed_half(half.side.solid))]
    drawn = [
        # An open line is no outline that a cutter could follow.
        [replace(path, layer=CUT if path.closed and one.kind != BUILD else REF) for path in paths]
        for one, paths in zip(half.lines, drawn_lines(view, half), strict=True)
    ]
    grid, labels = _grid(view, outline)
    every = [*outline, *(path for paths in drawn for path in paths)]
    spots = Spots([*every, *grid], labels, WORDS)
    for one, paths in zip(half.lines, drawn, strict=True):
        if paths:
            longest = max(paths, key=lambda path: path.length())
            tries = [*along(longest.points, one.name, WORDS), *_beside(longest, one.name)]
            found = spots.take(tries)
            labels += [found] if found else []
    return full_size(Drawing(name, (*every, *grid), tuple(labels), notes))


def _beside(path: Path, words: str) -> list[Label]:
    return [
        label
        for share in (0.5, 0.3, 0.7, 0.15, 0.85)
        for label in about(path.points[int(share * (len(path.points) - 1))], words, WORDS)
    ]


def _grid(view: PageView, outline: Sequence[Path]) -> tuple[list[Path], list[Label]]:
    """Return marks of stations and waterlines, or buttock lines, at the sides of the outline."""
    (x0, y0), (x1, y1) = Drawing("", tuple(outline)).box()
    paths: list[Path] = []
    labels: list[Label] = []
    step = grid_step()

    def mark(a: Point, b: Point) -> None:
        paths.append(line(a, b, REF, "grid"))

    for k in range(int(np.ceil(x0 / step)), int(np.floor(x1 / step)) + 1):
        x = k * step
        mark((x, y0 - PAST), (x, y0 - 3.0))
        mark((x, y1 + 3.0), (x, y1 + PAST))
        labels.append(
            Label((x, y0 - PAST - 1.6 * WORDS), loft_word(view.right, x), WORDS, 0.0, "middle")
        )
    for k in range(int(np.ceil(y0 / step)), int(np.floor(y1 / step)) + 1):
        y = k * step
        mark((x0 - PAST, y), (x0 - 3.0, y))
        mark((x1 + 3.0, y), (x1 + PAST, y))
        labels.append(
            Label((x1 + PAST + 2.0, y - WORDS / 2), loft_word(view.up, y), WORDS, 0.0, "start")
        )
    return paths, labels
