"""Details of the sheet shop's drawing: a tab laid flat, the flange in section, the sheet's lean.

Each is drawn larger or smaller than the blank beside it; its dimensions know by how much.
"""

import math
from dataclasses import replace

import numpy as np

from geomgen.drafting.record import (
    BEND,
    CENTRE,
    SECTION,
    TEXT,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    Point,
    line,
)
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.fold import rolled
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab

# Scales of ISO 5455 that a detail may have, and the room it may take [mm on paper].
SCALES = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02)
LETTERS = 2.5
# Web that is shown beside a bend, over the flange's width.
WEB = 0.6
# Of an angle's arc, over the height of the letters.
ARC = 2.0


def detail_scale(size: float, room: float) -> float:
    """Return the largest scale at which a length [mm] fits a room on paper [mm].

    >>> detail_scale(25.0, 60.0), detail_scale(800.0, 45.0)
    (2.0, 0.05)
    """
    return next((scale for scale in SCALES if size * scale <= room), SCALES[-1])


def scale_words(scale: float) -> str:
    """Return a scale [1] as it is written.

    >>> scale_words(2.0), scale_words(0.05)
    ('2:1', '1:20')
    """
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def titled(drawing: Drawing, words: tuple[str, ...], height: float) -> Drawing:
    """Return a detail with its title above it, in letters of a height [mm of the drawing]."""
    from geomgen.drafting.dimension_lines import drawn_out
    from geomgen.drafting.lettering import extent

    (x, _), (_, top) = extent(drawn_out(drawing))
    labels = tuple(
        Label((x, top + (1.0 + 1.7 * i) * height), text, height, layer=TEXT)
        for i, text in enumerate(reversed(words))
    )
    return replace(drawing, labels=drawing.labels + labels)


def tab_detail(pattern: FlatPattern, tab: Tab, over: float, room: float = 1.0) -> Drawing:
    """Return a tab laid flat with the relief cuts beside it, its bend line level, dimensioned.

    `room` is how many times [1] the usual room on paper a detail may take, on a sheet at
    1:`over` [1]; here and below.
    """
    cut = pattern.cut
    bend = [np.array(point) for point in tab.bend]
    along = (bend[1] - bend[0]) / np.linalg.norm(bend[1] - bend[0])
    # Seen with its edge up: from left to right is against the pattern's turn.
    axes = np.stack([-along, [along[1], -along[0]]])
    scale = detail_scale(max(math.dist(*tab.bend), 1.4 * tab.flat), 60.0 * room)
    times, height = scale * over, LETTERS * over

    def at(point: Point) -> Point:
        x, y = (axes @ (np.array(point) - bend[0]) * times).tolist()
        return (x, y)

    many = len(cut.points)
    first = (4 * (tab.number - 1) - 3) % many
    rows = [(first + i) % many for i in range(8)]
    bulges = cut.bulges or (0.0,) * many
    outline = Path(
        tuple(at(cut.points[i]) for i in rows),
        tuple(bulges[i] for i in rows),
        False,
        VISIBLE,
        "tab",
    )
    drawn = next(path.points for path in pattern.bends if path.name == f"bend {tab.number}")
    inner, (e0, e1) = [at(point) for point in drawn], [at(point) for point in tab.ends]
    other = outline.points[0]
    turn = math.degrees(math.atan2(other[1] - e0[1], other[0] - e0[0]))
    root = min(outline.dense(0.01 * times), key=lambda point: point[1])
    left = min(point[0] for point in outline.dense(0.1 * times)) - 3 * height
    right = max(point[0] for point in outline.points) + 3 * height
    plain = {"height": height, "decimals": 2, "enlarged": times}
    dims = (
        dimension(inner[0], inner[1], (0.0, root[1] - 3.5 * height), 0.0, plain, "bend line"),
        dimension(e0, e1, (0.0, max(e0[1], e1[1]) + 6 * height), 0.0, plain, "edge"),
        dimension(inner[1], e1, (left, 0.0), 90.0, plain, "flat"),
        dimension(root, inner[0], (right, root[1]), 90.0, plain, "root"),
        dimension(
            e0, other, (max(e0[0], other[0]), max(e0[1], other[1]) + 2.5 * height), turn, plain,
            "relief",
        ),
    )  # fmt: skip
    made = Drawing("tab", (outline, line(inner[0], inner[1], BEND, "bend line")), dimensions=dims)
    title = (
        f"TAB {tab.number}, ZONE {tab.zone}, FLAT ({scale_words(scale)})",
        "bend line, edge, flat, relief cut",
    )
    return titled(made, title, height)


def dimension(
    a: Point, b: Point, at: Point, angle: float, plain: dict[str, float], name: str
) -> Dimension:
    """Return a dimension of a detail at an angle [deg].

    `plain` holds its height [mm of the drawing], decimals, enlargement.
    """
    return Dimension(
        a, b, at, angle, plain["height"], "", int(plain["decimals"]), name, plain["enlarged"]
    )


def section_detail(pattern: FlatPattern, tab: Tab, over: float, room: float = 1.0) -> Drawing:
    """Return the flange of a tab in section, dimensioned: sheet, flange, its depth and radius.

    It is drawn as the sheet lies on the bench, aft up, for a sheet at 1:`over` [1].
    """
    up = 1.0 if pattern.sheet.frame.toward > 0 else -1.0
    bending = pattern.bending
    allowance = bending.allowance(tab.angle)
    whole = tab.flat + allowance / 2
    scale = detail_scale(tab.width, 52.0 * room)
    times, height = scale * over, LETTERS * over
    flat = np.array([-WEB * whole, 0.0, allowance, whole])
    outer, inner = (
        [
            (float(x) * times, up * float(y) * times)
            for x, y in zip(*rolled(flat, tab.angle, bending, depth), strict=True)
        ]
        for depth in (0.0, bending.thickness)
    )
    bulge = up * math.tan(math.radians(tab.angle) / 4)
    outline = Path(
        (*outer, *inner[::-1]),
        (0.0, bulge, 0.0, 0.0, 0.0, -bulge, 0.0, 0.0),
        True,
        SECTION,
        "section",
    )
    mould = (times * bending.setback(tab.angle), 0.0)
    plain = {"height": height, "decimals": 2, "enlarged": times}
    right = max(x for x, _ in outer)
    beside = (right + 5 * height, outer[3][1] / 2)
    dims = (
        dimension(
            mould, outer[3], aside(mould, outer[3], up * 3 * height), up * tab.angle, plain,
            "outside",
        ),
        dimension(
            outer[0], inner[0], (outer[0][0] - 3 * height, -2 * height), 90.0, plain, "thickness",
        ),
        dimension(mould, outer[3], (beside[0] + 3 * height, beside[1]), 90.0, plain, "depth"),
        *bend_dimensions(bending, tab.angle, up, mould, plain),
    )  # fmt: skip
    title = (
        f"SECTION, ZONE {tab.zone} ({scale_words(scale)})",
        "aft is up; angle from flat, outside, depth, sheet",
    )
    return titled(Drawing("section", (outline,), dimensions=dims), title, height)


def bend_dimensions(
    bending: Bending, angle: float, up: float, mould: Point, plain: dict[str, float]
) -> tuple[Dimension, Dimension]:
    """Return how far a flange is bent from flat [deg], and its inside radius.

    The angle is drawn at the `mould` point between the web and the flange's line run on beyond it;
    `up` is 1 for a flange that comes up, -1 for one that goes down.
    """
    turn, times, far = math.radians(angle), plain["enlarged"], ARC * plain["height"]
    web = (mould[0] - far, mould[1])
    beyond = (mould[0] - 0.5 * far * math.cos(turn), mould[1] - 0.5 * far * up * math.sin(turn))
    a, b = (web, beyond) if up > 0 else (beyond, web)
    centre = (0.0, up * times * (bending.thickness + bending.radius))
    way = (math.sin(turn / 2), -up * math.cos(turn / 2))
    run = times * bending.radius
    arc = (centre[0] + run * way[0], centre[1] + run * way[1])
    away = (centre[0] - run * way[0], centre[1] - run * way[1])
    size = plain["height"]
    return (
        Dimension(a, b, web, 0.0, size, "", 1, "angle", kind="angle", corner=mould),
        Dimension(centre, arc, away, 0.0, size, "", 2, "radius", times, "radius"),
    )


def aside(a: Point, b: Point, off: float) -> Point:
    """Return the middle of two points, moved `off` [mm] to the right of the way between them."""
    length = math.dist(a, b)
    way = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return (a[0] + b[0]) / 2 + off * way[1], (a[1] + b[1]) / 2 - off * way[0]


def lean_detail(pattern: FlatPattern, words: str, over: float, room: float = 1.0) -> Drawing:
    """Return the sheet seen from the left, as it stands in the aircraft: aft is to the right.

    It is for a sheet at 1:`over` [1].
    """
    sheet = pattern.sheet
    low, high = float(sheet.outline[:, 1].min()), float(sheet.outline[:, 1].max())
    rim = sheet.rim if sheet.rim is not None else sheet.inside
    corners = np.array([(0.0, low, rim), (0.0, low, 0.0), (0.0, high, 0.0), (0.0, high, rim)])
    space = sheet.frame.space(corners)[:, [0, 2]]
    scale = detail_scale(float(np.ptp(space[:, 1])), 48.0 * room)
    times, height = scale * over, LETTERS * over
    places = ((space - space[1]) * times).tolist()
    points = tuple((float(x), float(z)) for x, z in places)
    top = max(z for _, z in points)
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    paths = [
        Path(points, (), False, VISIBLE, "sheet from the left"),
        line((0.0, -2 * height), (0.0, top + 2 * height), CENTRE, "plumb line"),
    ]
    y = -4.5 * height
    labels = (
        Label((left - 1.5 * height, top / 2), "FWD", height, 0.0, "end", TEXT),
        Label((right + 1.5 * height, top / 2), "AFT", height, 0.0, "start", TEXT),
        Label((0.0, y), words, height, 0.0, "middle", TEXT),
    )
    title = (f"FROM THE LEFT ({scale_words(scale)})",)
    return titled(Drawing("lean", tuple(paths), labels), title, height)
