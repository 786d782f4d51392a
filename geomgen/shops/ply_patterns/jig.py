"""The jig that frames are set up in: a level board, where each stands on it, how high, its legs.

All is measured on the frames' front faces, as bevelled; of a frame that leans, along its sheet.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
import shapely
from shapely.affinity import affine_transform

from geomgen import units
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.own_lengths import in_inches
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.record import (
    CENTRE,
    REF,
    TEXT,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    Point,
    joined,
    line,
    rectangle,
)
from geomgen.drafting.tables import table
from geomgen.parameters.records.shops import CROWN_DOWN, Jig
from geomgen.shops.ply_patterns.drawing import CAUTION
from geomgen.shops.ply_patterns.outline import PlyPattern
from geomgen.shops.product import ShopSheet

# The board reaches so far past the frames on it [mm]: own choice. Outlines are drawn within FINE.
PAST, FINE = 100.0, 0.05
LETTERS, ROW = 2.5, 7.0
HEAD = ("", "frame", "", "STA", "from no 1", "top aft", "low edge", "high edge", "breadth",
        "legs, BL", "leg")  # fmt: skip


@dataclass(frozen=True)
class JigFrame:
    """A frame as it stands on the board, seen from aft: places across, right positive, and up.

    `station` [mm] is where its front face meets the board's top. `outline` is measured along the
    sheet from there, as are `thrust`, up to the thrust line, and `legs`: where one stands across,
    and how long it is from the board to the frame's edge [mm]. Along the sheet `way` runs aft and
    up [1].
    """

    name: str
    station: float
    thickness: float
    outline: shapely.Polygon
    thrust: float
    legs: tuple[Point, ...]
    way: Point

    @property
    def heights(self) -> tuple[float, float]:
        """Return how high its lowest and its highest edge stand above the board [mm]."""
        _, low, _, high = self.outline.bounds
        return float(low) * self.way[1], float(high) * self.way[1]


def jig_frames(whole: Sequence[PlyPattern], jig: Jig) -> list[JigFrame]:
    """Return frames as they stand in their jig, fore to aft, from their patterns in one piece.

    The lowest edge of all is as far above the level board as the jig's clearance says. With the
    crown down all are turned over about the body's axis.
    """
    turn = -1.0 if jig.way == CROWN_DOWN else 1.0
    edges = [edge for made in whole for edge in _edges(made, turn)]
    board = turn * (min(edges) - jig.clearance)
    return sorted((_set_up(made, jig, board, turn) for made in whole), key=lambda one: one.station)


def _edges(made: PlyPattern, turn: float) -> Iterator[float]:
    """Yield how high the edges of both faces stand [mm], turned over by -1."""
    for by, face in zip((0.0, made.thickness), made.faces, strict=True):
        plane = made.frame.moved(by)
        yield from (turn * plane.lifted(at)[2] for at in face.exterior.coords)


def _set_up(made: PlyPattern, jig: Jig, board: float, turn: float) -> JigFrame:
    (x, _, z), up = made.frame.origin, made.frame.up
    foot = (board - z) / up[2]
    outline = affine_transform(made.faces[0], [turn, 0.0, 0.0, turn, 0.0, -turn * foot])
    legs = tuple(_legs(outline, jig))
    way = (turn * up[0], up[2])
    return JigFrame(made.name, x + foot * up[0], made.thickness, outline, -turn * foot, legs, way)


def _legs(outline: shapely.Polygon, jig: Jig) -> Iterator[Point]:
    """Yield where two legs stand across and how long they are; one where there is room for one.

    One of a frame that is all on one side stands in its middle.
    """
    if jig.leg_spacing is None:
        return
    x0, y0, x1, y1 = outline.bounds
    half = jig.leg_spacing / 2
    two = min(-x0, x1) >= half + jig.leg_width / 2
    middle = 0.0 if x0 < 0.0 < x1 else (x0 + x1) / 2
    for at in (-half, half) if two else (middle,):
        upright = shapely.LineString([(at, y0 - 1.0), (at, y1 + 1.0)])
        yield at, float(upright.intersection(outline.exterior).bounds[1])


def jig_sheets(frames: Sequence[JigFrame], jig: Jig) -> list[ShopSheet]:
    """Return the sheet of the board with all frames, and one of each frame on it, to scale."""
    each = [_sheet(f"ply_jig_{one.name}", partial(_stood, one, jig)) for one in frames]
    return [_sheet("ply_jig", partial(_board, frames, jig), "first angle"), *each]


def _sheet(name: str, drawn: Callable[[float], Drawing], projection: str = "") -> ShopSheet:
    paper = on_smallest(
        lambda over, _: [drawn(LETTERS * over)], "frame", ["handoff.ply.jig"], projection=projection
    )
    return ShopSheet(name, "frame", paper, note="to set frames up by; look, don't measure on it")


def _board(frames: Sequence[JigFrame], jig: Jig, height: float) -> Drawing:
    """Return the board from above, above that the frames from the left, below it the table."""
    row = height * ROW / LETTERS
    plan, side = _plan(frames, jig, height, row), _side(frames, height, row)
    (left, low), (_, top) = extent(drawn_out(plan))
    (_, foot), _ = extent(drawn_out(side))
    rows = [cells for n, one in enumerate(frames, 1) for cells in _rows(n, one, frames[0])]
    title = f"FRAMES ON THE JIG, {jig.way.upper()}; STA where their front faces meet the board"
    words = table((left, low - row), title, HEAD, rows, height).drawing
    notes = (
        CAUTION,
        "Board level both ways, its centre line straight; forward is on the left. Edges, of front "
        "faces, above the board; a leg along the frame from the board to its edge: add what laps "
        "the frame.",
    )
    return joined("ply_jig", (side.moved(0.0, top + row - foot), plan, words), notes)


def _ends(frames: Sequence[JigFrame]) -> tuple[float, float]:
    return frames[0].station - PAST, frames[-1].station + frames[-1].thickness + PAST


def _plan(frames: Sequence[JigFrame], jig: Jig, height: float, row: float) -> Drawing:
    (low, high), paths, labels, dims = _ends(frames), [], [], []
    half = PAST + max(max(map(abs, one.outline.bounds[::2])) for one in frames)
    places = _places(frames)
    for station, numbers in places.items():
        at, said = (station, half + 0.3 * row), " ".join(map(str, numbers))
        labels.append(Label(at, said, height, 0.0, "middle", TEXT))
    for one in frames:
        x0, _, x1, _ = one.outline.bounds
        paths.append(line((one.station, x0), (one.station, x1), VISIBLE, one.name))
        for y, _ in one.legs:
            behind = one.station + one.thickness
            corners = (
                (behind, y - jig.leg_width / 2),
                (behind + jig.leg_width, y + jig.leg_width / 2),
            )
            paths.append(rectangle(*corners, REF, f"leg of {one.name}"))
    paths += [
        rectangle((low, -half), (high, half), VISIBLE, "board"),
        line((low, 0.0), (high, 0.0), CENTRE, "centre line"),
    ]
    rows = [(1, "spacing", a, b) for a, b in pairwise(places)]
    rows += [(2, "to no 1", low, frames[0].station), (3, "board, length", low, high)]
    for down, name, a, b in rows:
        ends, at = ((a, -half), (b, -half)), ((a + b) / 2, -half - down * row)
        dims.append(Dimension(*ends, at, 0.0, height, name=name))
    sides = (high, -half), (high, half)
    dims.append(Dimension(*sides, (high + row, 0.0), 90.0, height, name="board, width"))
    return Drawing("plan", tuple(paths), tuple(labels), dimensions=tuple(dims))


def _places(frames: Sequence[JigFrame]) -> dict[float, list[int]]:
    """Return the stations on the board, each with the numbers of the frames that share it."""
    found: dict[float, list[int]] = {}
    for number, one in enumerate(frames, start=1):
        near = next((x for x in found if abs(x - one.station) < FINE), one.station)
        found.setdefault(near, []).append(number)
    return found


def _side(frames: Sequence[JigFrame], height: float, row: float) -> Drawing:
    low, high = _ends(frames)
    thrust = frames[0].thrust * frames[0].way[1]
    paths = [line((low, 0.0), (high, 0.0), VISIBLE, "board, top")]
    paths.append(line((low, thrust), (high, thrust), CENTRE, "thrust line"))
    for one in frames:
        _, y0, _, y1 = one.outline.bounds
        a, b = ((one.station + y * one.way[0], y * one.way[1]) for y in (y0, y1))
        paths.append(line(a, b, VISIBLE, one.name))
    at = (high + row, thrust / 2)
    ends = (high, 0.0), (high, thrust)
    rise = Dimension(*ends, at, 90.0, height, "thrust line ", name="thrust line")
    return Drawing("side", tuple(paths), dimensions=(rise,))


def _rows(number: int, one: JigFrame, first: JigFrame) -> Iterator[tuple[str, ...]]:
    """Yield the rows of a frame in the table, in mm and in inches, the builder's own unit first."""
    x0, _, x1, _ = one.outline.bounds
    lean = np.degrees(np.arctan2(*one.way)) + 0.0
    rows = (("mm", 1.0, 1), ("in", units.INCH, 3))
    first_unit, *_ = ordered = rows[::-1] if in_inches() else rows
    for unit, size, places in ordered:

        def told(value: float, size: float = size, places: int = places) -> str:
            return f"{value / size:.{places}f}"

        yield (
            *((f"{number}", one.name) if unit == first_unit[0] else ("", "")), unit,
            told(one.station), told(one.station - first.station),
            f"{lean:.1f} deg" if unit == first_unit[0] else "",
            *(told(edge) for edge in one.heights), told(x1 - x0),
            " and ".join(told(at) for at, _ in one.legs) or "none",
            " and ".join(told(long) for _, long in one.legs),
        )  # fmt: skip


def _stood(one: JigFrame, jig: Jig, height: float) -> Drawing:
    """Return a frame on the board from aft, with what a tape measures along its sheet."""
    row = height * ROW / LETTERS
    x0, y0, x1, y1 = map(float, one.outline.bounds)
    wide = max(-x0, x1) + PAST
    rings = (one.outline.exterior, *one.outline.interiors)
    paths = [
        *(
            Path(tuple(ring.simplify(FINE).coords[:-1]), (), True, VISIBLE, one.name)
            for ring in rings
        ),
        line((-wide, 0.0), (wide, 0.0), VISIBLE, "board, top"),
        line((0.0, 0.0), (0.0, y1 + row / 2), CENTRE, "centre line"),
        line((-wide, one.thrust), (wide, one.thrust), CENTRE, "thrust line"),
    ]
    dims = [
        Dimension((x0, y1), (x1, y1), (0.0, y1 + 1.5 * row), 0.0, height, name="breadth"),
        *(
            Dimension((x, 0.0), (x, y), (x + out, y / 2), 90.0, height, f"{name} ", name=name)
            for x, out, y, name in (
                (wide, row, one.thrust, "thrust line"),
                (-wide, -row, y0, "low edge"),
                (-wide, -2 * row, y1, "high edge"),
            )
        ),
    ]
    for x, long in one.legs:
        ends = (x - jig.leg_width / 2, 0.0), (x + jig.leg_width / 2, long)
        paths.append(rectangle(*ends, REF, "leg"))
        beside = x + (-1.0 if x < 0 else 1.0) * (jig.leg_width / 2 + row)
        dims.append(Dimension((x, 0.0), (x, long), (beside, long / 2), 90.0, height, name="leg"))
    if len(one.legs) == 2:
        (a, _), (b, _) = one.legs
        dims.append(Dimension((a, 0.0), (b, 0.0), (0.0, -row), 0.0, height, name="legs"))
    hands = ("RIGHT", "LEFT") if jig.way == CROWN_DOWN else ("LEFT", "RIGHT")
    labels = [
        Label((x, -2.5 * row), word, height, 0.0, "middle", TEXT)
        for x, word in zip((-0.8 * wide, 0.8 * wide), hands, strict=True)
    ]
    leans = "" if not one.way[0] else ", measured along the sheet, which leans"
    notes = (CAUTION, f"{jig.way}, seen from aft, looking forward; from the board's top{leans}")
    return Drawing(f"ply_jig_{one.name}", tuple(paths), tuple(labels), notes, tuple(dims))
