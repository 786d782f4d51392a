"""A small sheet with all kinds of lines, texts and dimensions, for the tests of its files."""

import math

from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import (
    CENTRE,
    FORMER,
    HATCH,
    HIDDEN,
    NEW,
    OPEN,
    SECTION,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    circle,
    line,
)

QUARTER = math.tan(math.pi / 8)
TITLE = Title("Demo pusher", "side view", "B", fingerprint="a1b2c3", note="Hidden edges dashed.")
TALL = 25.0
EDGE = Path(
    ((0, 0), (2600, 0), (2900, 300), (2900, 700), (0, 700)),
    (0, QUARTER, 0, 0, 0),
    True,
    VISIBLE,
    "pod",
)
PATHS = (
    EDGE,
    Path(((300, 100), (900, 100)), (-0.4, 0), False, VISIBLE, "canopy"),
    Path(((1700, 200), (1900, 200)), (1.6, 0), False, NEW, "large arc"),
    circle((1500, 350), 200, HIDDEN, "fan"),
    circle((600, 350), 150, OPEN, "mouth"),
    circle((600, 350), 110, SECTION),
    line((-100, 350), (3050, 350), CENTRE, "thrust line"),
    Path(((2000, 100), (2400, 100), (2400, 600), (2000, 600)), (), True, FORMER, "old hatch"),
    *(line((500 + 20 * i, 260), (560 + 20 * i, 440), HATCH) for i in range(7)),
)
DIMENSIONS = (
    Dimension((0, 0), (2900, 700), (1000, -250), 0.0, TALL, "length ", 1, "length"),
    Dimension((0, 0), (0, 700), (-250, 300), 90.0, TALL, "", 0, "height"),
    Dimension((2400, 600), (2420.25, 620), (2450, 900), 0.0, TALL, "gap ", 1, "gap"),
    Dimension((2600, 0), (2900, 300), (3100, 100), 45.0, TALL, "chord ", 2, "chord"),
)
LABELS = (
    Label((1150, 400), "STA 1500 \u00e4 < 2 & \u2265 1", TALL, 0.0, "middle"),
    Label((250, 150), "WL 820", TALL, 90.0),
    Label((2700, 500), "aft", TALL, -30.0, "end"),
)
DRAWING = Drawing("side_view", PATHS, LABELS, ("Stations from the datum.",), DIMENSIONS)
SHEET = Sheet(DRAWING, "A3", 10, "first angle")
