"""The diameter of a hole as a dimension through it, where there is room for its figure."""

import math

import numpy as np
import shapely

from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import text_corners
from geomgen.drafting.record import Dimension
from geomgen.drafting.text_room import Room
from geomgen.shops.sheet_metal.flat_pattern.solid import Hole

# Directions that are tried [deg], those to the upper right first.
WAYS = sorted(range(-85, 91, 5), key=lambda way: (abs(way - 30), way))


def diameter(room: Room, hole: Hole, name: str, height: float) -> Dimension | None:
    """Return the dimension of a hole through its middle, and take its place; None without room.

    Its arrows and figure may stand on either side; what is next to the hole's rim is its own.
    `height` is that of the figure [mm].
    """
    (x, y), radius = hole.centre, hole.diameter / 2
    rim = shapely.Point(hole.centre).buffer(radius + 2 * room.clear)
    for way in WAYS:
        turn = math.radians(way)
        out = np.array([math.cos(turn), math.sin(turn)])
        a, b = ((x + s * radius * out[0], y + s * radius * out[1]) for s in (-1.0, 1.0))
        for side in (1.0, -1.0):
            at = (x + 9 * side * radius * out[0], y + 9 * side * radius * out[1])
            made = Dimension(
                a, b, at, height=height, prefix=f"{name} ", decimals=2, name=f"{name} diameter",
                kind="diameter",
            )  # fmt: skip
            lines = drawn(made)
            text = shapely.Polygon(text_corners(lines.label))
            runs = [shapely.LineString(path.dense()) for path in lines.paths]
            taken = shapely.union_all([text, *(run.difference(rim) for run in runs)])
            if room.free.contains(taken):
                room.block(taken)
                return made
    return None
