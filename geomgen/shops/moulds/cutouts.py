"""Where other parts pass through a moulded body: said with each piece, drawn for the trimmer.

A mould and what is moulded in it go through without a hole; it is cut in the skin afterwards, by
the outline in which the part meets the body's outside.
"""

from collections.abc import Sequence

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.drafting.own_lengths import grid_step
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import CUT, REF, Drawing, Label, Path, line
from geomgen.errors import GeometryError
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.solids.probing import edges_between, edges_in
from geomgen.kernel.visibility.shadow import frame_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.assembly.pilot_places import glass
from geomgen.shops.moulds.marks import mark_words
from geomgen.shops.moulds.skin import Moulded
from geomgen.shops.moulds.split import MouldHalf
from geomgen.shops.moulds.trim import TrimEnd, trim_words
from geomgen.shops.page_view import loft_word
from geomgen.shops.passing_parts import Passing, passing_words
from geomgen.shops.product import Hand, ShopSheet
from geomgen.shops.skin_lines.curves import SkinSide
from geomgen.shops.skin_lines.package import WantedLines
from geomgen.shops.skin_lines.planes import edge_plane

# Points on an edge of the outline; ends nearer than this [mm] are one; letters [mm].
POINTS, ONE_END, LETTERS = 200, 1e-3, 5.0
# An edge that lies in the split to this [mm] is not on the outside.
IN_SPLIT = 1e-3


def passing_note(parts: Sequence[Passing], start: float, end: float) -> str:
    """Return what the note on a piece from `start` to `end` [mm] says of parts that pass through.

    It is empty where none does.
    """
    words = passing_words(parts, start, end)
    return f"{words}: no hole in it, cut the skin by the sheet cut_out" if words else ""


def wanted_lines(
    p: Parameters,
    mould: Mould,
    skin: float,
    ends: Sequence[TrimEnd],
    through: Sequence[Passing],
    finished: TopoDS_Shape | None,
) -> WantedLines:
    """Return the lines to build to that a mould is to have; its skin lies `skin` [mm] inside."""
    alike = "also for the left hand: the mirror image" if mould.part == "wing_tip" else ""
    remarks = (trim_words(mould, list(ends)), mark_words(mould), alike)
    return WantedLines(
        mould.part,
        skin,
        [edge_plane(f"trim line, {end.name}", end.axis, end.at) for end in ends],
        through,
        glass(p) if mould.part == "pod" else None,
        finished,
        tuple(words for words in remarks if words),
    )


def sides_of(finished: Sequence[Moulded]) -> list[SkinSide]:
    """Return the finished halves as lines are laid on them."""
    return [SkinSide(q.half.name, q.half.pull, q.half.solid, q.faces) for q in finished]


def cut_out_sheets(
    part: str, halves: Sequence[tuple[MouldHalf, Hand]], parts: Sequence[Passing]
) -> list[ShopSheet]:
    """Return a full-size sheet for each half that parts pass through: the hole along its pull.

    GeometryError where the outline in which a part meets the body does not close.
    """
    made = []
    for half, hand in halves:
        for passing in parts:
            area = _hole(half, passing)
            if area.is_empty:
                continue
            drawing = _drawing(f"cut-out for the {passing.family}", area, half)
            note = (
                f"hole for the {passing.family} in the {half.name} half's skin, "
                f"{passing.gap:g} mm round it"
            )
            name = f"cut_out_{part}_{half.name}_{passing.family}"
            made.append(ShopSheet(name, part, full_size(drawing), hand, note))
    return made


def _hole(half: MouldHalf, passing: Passing) -> shapely.Geometry:
    """Return what passing solids take out of a half's outside, seen along its pull, gap laid on."""
    right, up, d = frame_of(half.pull)
    lines = [
        np.stack([points @ right, points @ up], axis=-1)
        for solid in passing.solids.values()
        for points in _edges(half.solid, solid)
        if np.abs(points @ d - _split_height(half, d)).max() > IN_SPLIT
    ]
    if not lines:
        return shapely.Polygon()
    ends = shapely.union_all([shapely.LineString(run) for run in lines], grid_size=ONE_END)
    area = shapely.union_all(shapely.get_parts(shapely.polygonize(shapely.get_parts(ends))))
    if area.is_empty:
        raise GeometryError(
            f"the outline in which the {passing.family} meets it does not close",
            part="pod",
            step="cut-out of a mould",
            look_at=["joints", "handoff.moulds"],
        )
    return area.buffer(passing.gap)


def _split_height(half: MouldHalf, d: Floats) -> float:
    """Return the height of a half's lowest point along its pull [mm]: that of a plane split."""
    return float(min(np.array(points) @ d for points in _corners(half.solid)))


def _corners(solid: TopoDS_Shape) -> list[tuple[float, float, float]]:
    found = []
    for edge in edges_in(solid):
        curve = EdgeCurve(edge)
        found += [curve.at(curve.first), curve.at(curve.last)]
    return found


def _edges(body: TopoDS_Shape, part: TopoDS_Shape) -> list[Floats]:
    """Return the edges (n, 3) [mm] in which two solids' surfaces meet."""
    curves = map(EdgeCurve, edges_between(body, part))
    return [curve.points(curve.even(POINTS)) for curve in curves]


def _drawing(name: str, area: shapely.Geometry, half: MouldHalf) -> Drawing:
    """Return the hole with stations and waterlines, or buttock lines, across it."""
    right, up, _ = frame_of(half.pull)
    x0, y0, x1, y1 = area.bounds
    paths = [
        Path(tuple((float(x), float(y)) for x, y in ring.coords[:-1]), (), True, CUT, name)
        for part in shapely.get_parts(area.simplify(0.01))
        for ring in (part.exterior, *part.interiors)
    ]
    labels, step = [], grid_step()
    for axis, (way, a, b) in enumerate(((right, x0, x1), (up, y0, y1))):
        for k in range(int(np.ceil(a / step)), int(np.floor(b / step)) + 1):
            words = loft_word(way, k * step)
            if axis == 0:
                paths.append(line((k * step, y0 - 15), (k * step, y1 + 15), REF, words))
                at, anchor = (k * step, y1 + 17.0), "middle"
            else:
                paths.append(line((x0 - 15, k * step), (x1 + 15, k * step), REF, words))
                at, anchor = (x1 + 17.0, k * step - LETTERS / 2), "start"
            labels.append(Label(at, words, LETTERS, 0.0, anchor))
    top = (x0, y1 + 17.0 + 2 * LETTERS)
    labels.append(Label(top, f"{name}, {half.name} half, seen along its pull", LETTERS))
    notes = (
        f"cut-out as seen along the pull of the {half.name} half: hold it square to the split",
        "material: the moulded skin; datum: STA, BL, WL of the aircraft; up is up",
        "tolerance: saw inside the line, file to it with the part in place; for trimming only",
    )
    return Drawing(name, tuple(paths), tuple(labels), notes)
