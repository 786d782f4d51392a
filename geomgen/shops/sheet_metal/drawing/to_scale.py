"""The blank on the dimensioned drawing: outline, bends, datum, holes, sizes, tab numbers."""

import math
from dataclasses import replace

import numpy as np
import shapely

from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import text_corners, width_of
from geomgen.drafting.record import (
    CENTRE,
    TEXT,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    Point,
    line,
)
from geomgen.drafting.text_room import Room
from geomgen.shops.sheet_metal.drawing.datum import Datum, datum_lines
from geomgen.shops.sheet_metal.drawing.full_size import sheet_room
from geomgen.shops.sheet_metal.drawing.grain import grain_of
from geomgen.shops.sheet_metal.drawing.holes import diameter
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab

# Heights on paper [mm]: letters, numbers of tabs at most and at least; rows of dimensions.
LETTERS, NUMBER, LEAST, ROW = 2.5, 2.5, 1.3, 6.5
# So many holes are dimensioned one by one; more stand in the table alone.
HOLES = 8
# Where a tab's number may stand along it, over its length.
ALONG = (0.0, 0.1, -0.1, 0.2, -0.2, 0.28, -0.28, 0.35, -0.35)
SMALLER = (1.0, 0.8, 0.65)
ARROW = 14.0


def blank_view(pattern: FlatPattern, datum: Datum, over: float) -> Drawing:
    """Return the blank with its dimensions, lettered for a scale of 1:`over` [1]."""
    dims = _sizes(pattern, datum, over)
    shown = [replace(path, layer=VISIBLE) for path in (pattern.cut, *pattern.holes)]
    axes = datum_lines(pattern.sheet, datum, CENTRE)
    lines = [shapely.LineString(path.points) for d in dims for path in drawn(d).paths]
    crossed = [*lines, *(shapely.LineString(axis.points) for axis in axes)]
    numbers = _numbers(pattern, crossed, over)
    taken = [*crossed, *(shapely.Polygon(text_corners(label)) for label in numbers)]
    labels, arrows, round_ones = _inside(pattern, datum, taken, over)
    return Drawing(
        "blank",
        (*shown, *pattern.bends, *axes, *arrows),
        (*labels, *numbers),
        dimensions=(*dims, *round_ones),
    )


def _sizes(pattern: FlatPattern, datum: Datum, over: float) -> list[Dimension]:
    """Return the dimensions of the holes from the datum and of the whole blank, outermost last."""
    points = np.array(pattern.cut.dense(0.01))
    x0, y0 = points.min(axis=0).tolist()
    height, row = LETTERS * over, ROW * over
    holes = pattern.sheet.holes if len(pattern.sheet.holes) <= HOLES else ()
    found, below, beside = [], y0 - row, x0 - row
    for axis, angle in ((0, 0.0), (1, 90.0)):
        ways = [(hole.centre, f"H{i + 1}") for i, hole in enumerate(holes)]
        ways = [way for way in ways if abs(datum.of(way[0])[axis]) > 0.005]
        for centre, name in sorted(ways, key=lambda way: abs(datum.of(way[0])[axis])):
            if axis == 0:
                a, at = (datum.u, y0), (datum.u, below)
                below -= row
            else:
                a, at = (x0, datum.v), (beside, datum.v)
                beside -= row
            found.append(Dimension(a, centre, at, angle, height, "", 2, name))
    # A tenth would do for buying the blank; cutting is held to the hundredths in the file.
    left, right = (tuple(points[points[:, 0].argmin()]), tuple(points[points[:, 0].argmax()]))
    low, top = (tuple(points[points[:, 1].argmin()]), tuple(points[points[:, 1].argmax()]))
    found.append(Dimension(left, right, (0.0, below), 0.0, height, "", 2, "width"))
    found.append(Dimension(low, top, (beside, 0.0), 90.0, height, "", 2, "height"))
    return found


def _inside(
    pattern: FlatPattern,
    datum: Datum,
    taken: list[shapely.Geometry],
    over: float,
) -> tuple[list[Label], list[Path], list[Dimension]]:
    """Return what is written within the bends, clear of what is taken: holes, datum, up, grain."""
    blank = shapely.Polygon(pattern.cut.dense(0.05))
    room = Room(sheet_room(pattern, blank), 0.8 * over)
    for each in taken:
        room.block(each)
    height = LETTERS * over
    for hole in pattern.sheet.holes:
        room.block(shapely.Point(hole.centre).buffer(hole.diameter / 2))
    for path in pattern.holes[len(pattern.sheet.holes) :]:
        room.block(shapely.Polygon(path.dense(0.05)))
    sizes = [
        (hole, f"H{i}", diameter(room, hole, f"H{i}", height))
        for i, hole in enumerate(pattern.sheet.holes, 1)
    ]
    for hole, name, made in sizes:
        off = hole.diameter / 2 + 1.6 * height
        near = (hole.centre[0] + off, hole.centre[1] + off)
        # The table beside has the figure where not even its text has room.
        if made is None and not room.write((f"{name} Ø{hole.diameter:.2f} mm",), height, near):
            room.write((name,), height, near)
    room.write(("DATUM", "X 0, Y 0"), height, (datum.u + 5 * height, datum.v + 2.5 * height))
    (x0, y0), (x1, y1) = pattern.sheet.outline.min(axis=0), pattern.sheet.outline.max(axis=0)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    arrows = [*_arrow(room, "UP", 90.0, (middle[0] + 0.2 * (x1 - x0), y1), over)]
    grain = grain_of(pattern.tabs)
    if grain is not None:
        near = (middle[0] - 0.2 * (x1 - x0), middle[1] + 0.15 * (y1 - y0))
        arrows += _arrow(room, "GRAIN", grain.angle, near, over, both=True)
    room.write(("SEEN FROM AFT,", "LOOKING FORWARD"), height, (middle[0] + 0.25 * (x1 - x0), y0))
    room.write(("RIGHT",), height, (x1, middle[1]))
    room.write(("LEFT",), height, (x0, middle[1]))
    return room.labels, arrows, [made for _, _, made in sizes if made]


def _arrow(
    room: Room, word: str, angle: float, near: Point, over: float, both: bool = False
) -> list[Path]:
    """Return an arrow along an angle [deg, 0 or 90] with its word, where there is room for both."""
    long, height = ARROW * over, LETTERS * over
    wide = width_of(word, height)
    upright = angle == 90.0
    size = (max(wide, 2 * height), long + 2 * height) if upright else (
        max(long, wide), 3.2 * height)  # fmt: skip
    at = room.place(size, near)
    if at is None:
        return []
    turn = math.radians(angle)
    way = np.array([math.cos(turn), math.sin(turn)])
    side = np.array([-way[1], way[0]])
    centre = np.array(at) - (np.array([0.0, height]) if upright else np.array([0.0, height / 2]))
    # The word stands over the arrow.
    top = centre[1] + (long / 2 if upright else height) + 0.6 * height
    room.labels.append(Label((at[0], float(top)), word, height, 0.0, "middle", TEXT))
    tips = [centre + way * long / 2] + ([centre - way * long / 2] if both else [])
    shaft = line(
        (float((centre - way * long / 2)[0]), float((centre - way * long / 2)[1])),
        (float(tips[0][0]), float(tips[0][1])),
        TEXT,
        word.lower(),
    )
    heads = []
    for i, tip in enumerate(tips):
        back = tip - (1 if i == 0 else -1) * way * long / 7
        ends = [back + side * long / 16, tip, back - side * long / 16]
        heads.append(
            Path(tuple((float(x), float(y)) for x, y in ends), (), False, TEXT, f"{word} head")
        )
    return [shaft, *heads]


def _numbers(pattern: FlatPattern, lines: list[shapely.LineString], over: float) -> list[Label]:
    """Return number and zone of each tab where they can be read, of every fifth where not."""
    found = []
    deep = _root_depth(pattern)
    for tab in pattern.tabs:
        height = _height(tab, over)
        inward = height < LEAST * over
        if inward and tab.number != 1 and tab.number % 5:
            continue
        room = shapely.Polygon([*tab.bend, *tab.ends[::-1]])
        places = [
            _number(tab, max(smaller * height, LEAST * over), deep if inward else None, share)
            for smaller in SMALLER
            for share in ALONG
        ]
        found += [label for label in places if _free(label, lines, None if inward else room)][:1]
    return found


def _free(label: Label, lines: list[shapely.LineString], room: shapely.Polygon | None) -> bool:
    box = shapely.Polygon(text_corners(label))
    inside = room is None or room.contains(box)
    return inside and not any(box.intersects(each) for each in lines)


def _height(tab: Tab, over: float) -> float:
    shortest = min(math.dist(*tab.bend), math.dist(*tab.ends))
    words = f"{tab.number}{tab.zone}"
    return min(NUMBER * over, 0.8 * shortest / width_of(words, 1.0), 0.55 * tab.flat)


def _root_depth(pattern: FlatPattern) -> float:
    """Return how far [mm] the root of the first relief cut lies inside of the bend line beside."""
    if not pattern.tabs:
        return 0.0
    cut, (a, b) = pattern.cut, np.array(pattern.tabs[0].bend)
    root = Path(cut.points[2:4], (cut.bulges[2], 0.0), False)
    out = np.array([b[1] - a[1], a[0] - b[0]]) / np.linalg.norm(b - a)
    return float(((b - np.array(root.dense(0.01))) @ out).max())


def _number(tab: Tab, height: float, deep: float | None, share: float) -> Label:
    """Return a tab's number on the tab, or within the bends beyond a depth [mm]."""
    (ax, ay), (bx, by) = tab.bend
    length = math.dist(*tab.bend)
    along = np.array([bx - ax, by - ay]) / length
    out = np.array([along[1], -along[0]])
    reach = tab.flat / 2 if deep is None else -(1.2 * height + deep + 1.0)
    at = np.array([ax + bx, ay + by]) / 2 + reach * out + share * length * along
    turn = math.degrees(math.atan2(along[1], along[0]))
    if not -90.0 < turn <= 90.0 + 1e-9:
        turn -= math.copysign(180.0, turn)
    down = np.array([math.sin(math.radians(turn)), -math.cos(math.radians(turn))])
    x, y = (at + 0.5 * height * down).tolist()
    return Label((x, y), f"{tab.number}{tab.zone}", height, turn, "middle", TEXT)
