"""The dimensioned drawing of the blank: sizes, holes, bends, a section through the flange."""

import math
from collections.abc import Sequence

import numpy as np

from geomgen.drawings.record import REF, TEXT, Drawing, Label, Path, joined
from geomgen.handoff.flat_pattern import FlatPattern, Tab
from geomgen.handoff.fold import rolled
from geomgen.handoff.sheet_drawing import direction
from geomgen.handoff.sheet_tables import Placed, dimension, table
from geomgen.handoff.text_room import wide

NAME = "firewall_dimensions"
# The text is this share of the blank, the space between blocks so many heights.
SMALL, SPACE = 1 / 85, 4.0
SECTION = 15.0
Rows = Sequence[Sequence[str]]


def dimensions_drawing(
    pattern: FlatPattern, general: Rows, holes: Rows, notes: tuple[str, ...]
) -> Drawing:
    """Return the drawing to be looked at; `general` and `holes` are rows of its tables.

    A row of `general` is name and value, one of `holes` number, BL, WL, diameter, use, fitting.
    """
    points = np.array(pattern.cut.dense(0.01))
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    height = max(x1 - x0, y1 - y0) * SMALL
    off = SPACE * height
    sizes = [
        dimension((x0, y0), (x1, y0), off, f"{x1 - x0:.2f}", height),
        dimension((x0, y0), (x0, y1), -off, f"{y1 - y0:.2f}", height),
    ]
    names = [
        Label((u, v - 0.5 * height), f"H{i + 1}", height, 0.0, "start", TEXT)
        for i, (u, v) in enumerate(
            (h.centre[0] + h.diameter / 2 + 0.5 * height, h.centre[1]) for h in pattern.sheet.holes
        )
    ]
    own = (pattern.cut, *pattern.holes, *pattern.bends)
    blank = Drawing("blank", own, tuple([*names, *_numbers(pattern, height)]))
    column = x1 + 2 * off
    blocks = [table((column, y1), "SHEET", ("", ""), general, height)]
    if holes:
        head = ("no", "BL", "WL", "diameter", "for", "fitting")
        blocks.append(table((column, blocks[-1].bottom - off / 2), "HOLES", head, holes, height))
    if pattern.tabs:
        blocks.append(_section(pattern, (column, blocks[-1].bottom - off / 2), height))
    right = max(block.right for block in blocks)
    blocks += _bend_tables(pattern, (right + off, y1), y1 - y0, height)
    return joined(NAME, [blank, *sizes, *(block.drawing for block in blocks)], notes)


def _numbers(pattern: FlatPattern, height: float) -> list[Label]:
    """Return the numbers of every fifth tab and the first, inside of the bends."""
    found = []
    for tab in pattern.tabs:
        if tab.number == 1 or tab.number % 5 == 0:
            (ax, ay), (bx, by) = tab.bend
            length = math.hypot(bx - ax, by - ay)
            out = ((by - ay) / length, -(bx - ax) / length)
            at = ((ax + bx) / 2 - 2.2 * height * out[0], (ay + by) / 2 - 2.2 * height * out[1])
            found.append(
                Label((at[0], at[1] - height / 2), str(tab.number), height, 0, "middle", TEXT)
            )
    return found


def _bend_tables(
    pattern: FlatPattern, at: tuple[float, float], deep: float, height: float
) -> list[Placed]:
    """Return the table of bends in as many columns as the sheet's height asks for."""
    tabs = pattern.tabs
    if not tabs:
        return []
    up = "WL" if pattern.sheet.frame.normal[2] == 0.0 else "up"
    fits = max(8, int(deep / (1.7 * height)) - 3)
    columns = math.ceil(len(tabs) / fits)
    many = math.ceil(len(tabs) / columns)
    head = ("tab", "bend", "flat", "BL", up, "long")
    found: list[Placed] = []
    for first in range(0, len(tabs), many):
        x = found[-1].right + 2 * height if found else at[0]
        rows = [_row(tab) for tab in tabs[first : first + many]]
        title = "BENDS (deg, mm)" if first == 0 else "(continued)"
        found.append(table((x, at[1]), title, head, rows, height))
    return found


def _row(tab: Tab) -> tuple[str, ...]:
    (ax, ay), (bx, by) = tab.bend
    return (
        str(tab.number),
        f"{tab.angle:.1f}",
        f"{tab.flat:.2f}",
        f"{round((ax + bx) / 2, 1) + 0.0:.1f}",
        f"{round((ay + by) / 2, 1) + 0.0:.1f}",
        f"{math.hypot(bx - ax, by - ay):.2f}",
    )


def _section(pattern: FlatPattern, at: tuple[float, float], height: float) -> Placed:
    """Return the flange of tab 1 in section, enlarged, its upper left corner at a place."""
    tab, bending = pattern.tabs[0], pattern.bending
    allowance = bending.allowance(tab.angle)
    whole = tab.flat + allowance / 2
    web = 0.6 * whole
    scale = SECTION * height / max(tab.width, 1.0)
    flat = np.array([-web, 0.0, allowance, whole])
    profiles = [
        np.stack(rolled(flat, tab.angle, bending, depth), axis=-1)
        for depth in (0.0, bending.thickness)
    ]
    shown = [scale * profile for profile in profiles]
    every = np.concatenate(shown)
    shift = np.array([at[0] + 6 * height, at[1] - 4 * height]) - [
        every[:, 0].min(),
        every[:, 1].max(),
    ]
    outer, inner = (profile + shift for profile in shown)
    bulge = math.tan(math.radians(tab.angle) / 4)
    points = [(float(x), float(y)) for x, y in (*outer, *inner[::-1])]
    outline = Path(
        tuple(points), (0.0, bulge, 0.0, 0.0, 0.0, -bulge, 0.0, 0.0), True, REF, "section"
    )
    mould = (float(shift[0]) + scale * bending.setback(tab.angle), float(shift[1]))
    width = dimension(mould, points[3], 3 * height, f"{tab.width:.2f}", height)
    title = Label((at[0], at[1] - height), f"SECTION AT TAB 1, {scale:.1f} : 1", height, layer=TEXT)
    x, y = (outer[0] + inner[0]) / 2
    words = (
        f"bent {direction(pattern).lower()} {tab.angle:.1f} deg,",
        f"inside radius {bending.radius:g}",
    )
    below = float(min(outer[:, 1].min(), y)) - 2 * height
    labels = [
        title,
        *(
            Label((float(x), below - i * 1.7 * height), text, height, layer=TEXT)
            for i, text in enumerate(words)
        ),
    ]
    drawing = joined("section", [Drawing("profile", (outline,), tuple(labels)), width])
    right = max(drawing.box()[1][0], float(x) + wide(words[0], height)) + 2 * height
    return Placed(drawing, below - 3 * height, right)
