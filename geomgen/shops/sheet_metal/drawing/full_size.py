"""The flat pattern at full size: to cut, to bend, and to read beside it."""

import math

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.lettering import block_size
from geomgen.drafting.record import REF, TEXT, Drawing, Label, Path, Point, line
from geomgen.drafting.text_room import Room
from geomgen.shops.sheet_metal.drawing.datum import Datum, datum_lines
from geomgen.shops.sheet_metal.drawing.grain import grain_of
from geomgen.shops.sheet_metal.drawing.holes import diameter
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab

TALLEST, SMALLEST = 3.5, 1.6
HEIGHT = 8.0
HOLE_LETTERS = (3.5, 2.5, 1.8)
ARROW = 60.0
NAME = "firewall_flat"


def flat_drawing(
    pattern: FlatPattern,
    datum: Datum,
    words: tuple[str, ...],
    hole_words: tuple[str, ...],
    notes: tuple[str, ...],
    beside: tuple[Path, ...] = (),
) -> Drawing:
    """Return the full-size drawing; `words` say what it is, `hole_words` what each hole is for.

    `beside` are lines of parts that lie on the sheet; each one's name is written at its middle.
    """
    blank = shapely.Polygon(pattern.cut.dense(0.05))
    room = Room(sheet_room(pattern, blank))
    for hole in pattern.sheet.holes:
        room.block(shapely.Point(hole.centre).buffer(hole.diameter / 2 + 1.0))
    for path in pattern.holes[len(pattern.sheet.holes) :]:
        room.block(shapely.Polygon(path.dense(0.05)))
    axes = datum_lines(pattern.sheet, datum, REF)
    for axis in (*axes, *beside):
        room.block(shapely.LineString(axis.dense(0.05)))
    for path in beside:
        at = shapely.LineString(path.dense(0.05)).interpolate(0.5, normalized=True)
        written(room, (path.name,), 4.0, (at.x, at.y))
    (x0, y0), (x1, y1) = _box(blank)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    dims = []
    for i, (hole, use) in enumerate(zip(pattern.sheet.holes, hole_words, strict=True), 1):
        below = (hole.centre[0], hole.centre[1] - hole.diameter / 2 - HEIGHT)
        tries = (diameter(room, hole, f"H{i}", height) for height in HOLE_LETTERS)
        made = next((one for one in tries if one), None)
        size = f"H{i} Ø{hole.diameter:.2f} mm"
        if made is not None:
            dims.append(made)
        # The table of the other sheet has the figure too.
        for text in (use,) if made else (f"{size} {use}", size, f"H{i}"):
            if written(room, (text,), 4.0, below):
                break
    arrow = _arrow(room, (middle[0] + 0.25 * (x1 - x0), middle[1] - 0.1 * (y1 - y0)))
    written(room, ("DATUM X 0, Y 0",), 4.0, (datum.u + 40.0, datum.v + HEIGHT))
    grain = grain_of(pattern.tabs)
    if grain is not None:
        way = "UP AND DOWN" if grain.angle else "LEFT TO RIGHT"
        written(room, (f"GRAIN {way}",), 4.0, (middle[0], middle[1] - 0.2 * (y1 - y0)))
    written(room, words, HEIGHT, (middle[0], middle[1] + 0.15 * (y1 - y0)))
    written(room, ("RIGHT",), HEIGHT, (x1, middle[1] + HEIGHT))
    written(room, ("LEFT",), HEIGHT, (x0, middle[1] + HEIGHT))
    labels = [label for tab in pattern.tabs for label in tab_labels(tab, direction(pattern))]
    paths = (pattern.cut, *pattern.holes, *pattern.bends, *axes, *arrow, *beside)
    return Drawing(NAME, paths, (*room.labels, *labels), notes, tuple(dims))


def direction(pattern: FlatPattern) -> str:
    """Return which way the tabs are bent, as the sheet lies: seen from aft, so up is aft."""
    return "UP" if pattern.sheet.frame.toward > 0 else "DOWN"


def written(room: Room, lines: tuple[str, ...], height: float, near: Point) -> bool:
    """Write lines as large as they fit, up to `height` [mm]; where the least do not, none."""
    while height >= SMALLEST:
        if room.write(lines, height, near):
            return True
        height *= 0.8
    return False


def sheet_room(pattern: FlatPattern, blank: shapely.Polygon) -> shapely.Geometry:
    """Return the flat of the sheet, within its bends."""
    if not pattern.tabs:
        return shapely.buffer(blank, -2.0)
    ring = shapely.Polygon([p for tab in pattern.tabs for p in tab.bend])
    depth = max(pattern.bending.allowance(tab.angle) for tab in pattern.tabs)
    return shapely.intersection(blank, shapely.buffer(ring, -depth - 1.0))


def _box(shape: shapely.Geometry) -> tuple[Point, Point]:
    x0, y0, x1, y1 = (float(c) for c in shape.bounds)
    return (x0, y0), (x1, y1)


def _arrow(room: Room, near: Point) -> list[Path]:
    """Return an arrow that points up, with its word, where there is room for both."""
    at = room.place((3 * HEIGHT, ARROW), near)
    if at is None:
        return []
    x, (low, tip) = at[0], (at[1] - ARROW / 2, at[1] + ARROW / 2 - 1.5 * HEIGHT)
    room.labels.append(Label((x, tip + 0.5 * HEIGHT), "UP", HEIGHT, 0.0, "middle", TEXT))
    barbs = [(x - ARROW / 8, tip - ARROW / 5), (x + ARROW / 8, tip - ARROW / 5)]
    return [
        line((x, low), (x, tip), TEXT, "up"),
        Path((barbs[0], (x, tip), barbs[1]), (), False, TEXT, "up arrow"),
    ]


def tab_labels(tab: Tab, way: str) -> list[Label]:
    """Return a tab's number and its bend, as large as the tab has room for; less where it hasn't.

    >>> tab = Tab(7, ((0.0, 0.0), (0.0, 20.0)), 92.04, 24.0, 25.0, ((24.0, 0.0), (24.0, 20.0)))
    >>> [label.text for label in tab_labels(tab, "UP")]
    ['7', 'A UP', '92.0']
    """
    a, b = np.array(tab.bend)
    along = (b - a) / np.linalg.norm(b - a)
    shortest = min(float(np.linalg.norm(b - a)), float((np.subtract(*tab.ends[::-1])) @ along))
    every = (str(tab.number), f"{tab.zone} {way}", f"{tab.angle:.1f}")
    centre = (a + b + np.array(tab.ends).sum(axis=0)) / 4
    for lines in (every, every[:1]):
        wide, high = block_size(lines, 1.0)
        height = min(TALLEST, 0.9 * shortest / wide, 0.6 * tab.flat / high)
        if height >= SMALLEST:
            return _on_tab(lines, height, centre, along)
    return []


def _on_tab(lines: tuple[str, ...], height: float, centre: Floats, along: Floats) -> list[Label]:
    """Return lines along a bend, readable from below or from the right."""
    turn = math.degrees(math.atan2(along[1], along[0]))
    if not -90.0 < turn <= 90.0 + 1e-9:
        turn -= math.copysign(180.0, turn)
    down = np.array([math.sin(math.radians(turn)), -math.cos(math.radians(turn))])
    _, high = block_size(lines, height)
    first = centre + down * (height - high / 2)
    step = (high - height) / max(1, len(lines) - 1)
    rows = [(first + i * step * down).tolist() for i in range(len(lines))]
    return [
        Label((x, y), text, height, turn, "middle", TEXT)
        for (x, y), text in zip(rows, lines, strict=True)
    ]
