"""A part larger than the sheets that are bought: its pieces, butt straps over their joints."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.section import regions
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import PlyShop
from geomgen.parameters.records.structure.wing import RibRow, Spar
from geomgen.shops.ply_patterns.findings import passing
from geomgen.shops.ply_patterns.marks import SheetMark
from geomgen.shops.ply_patterns.outline import CHORD, OFF, SLIVER, PlyPattern, drawn, one_piece
from geomgen.shops.ply_patterns.stock import turns_of
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# A part is cut in a grid of so many at most.
MOST = 12
# A joint, across (0) or level (1) and where [mm], with what of a part is near it.
Reached = tuple[tuple[int, float], shapely.Polygon]
# Left between a strap and what stands beside it, which is looked at so far below its faces [mm].
CLEAR, BELOW = 0.5, 0.01
# A strap goes on the front face unless on the other one it is so much larger [mm2].
LARGER = 1.0
FACES, NONE = ("front", "aft"), "none: the edge is square"
# Straps may be so much smaller than what is within their reach before it is told [1].
MISSING = 0.1
# Ends of a line across a part reach past it [mm].
PAST = 1.0


def fits(made: PlyPattern, shop: PlyShop) -> bool:
    """Say whether a pattern has room on a sheet, its grain as it is asked for."""
    room = (shop.sheet_length - 2 * shop.gap, shop.sheet_width - 2 * shop.gap)
    ways = (made.turned(turn) for turn in turns_of(made.name, shop))
    return any(a <= room[0] and b <= room[1] for a, b in ways)


def in_pieces(made: PlyPattern, shop: PlyShop, word: str) -> list[PlyPattern]:
    """Return a pattern in as few pieces as have room on a sheet; `word` names them.

    They are cut across in equal lengths, a frame in two on its centre line, or level at equal
    heights, or both. Whole where it has room, or where no grid helps.
    """
    if fits(made, shop):
        return [made]
    grids = [(m, n) for m in range(1, MOST + 1) for n in range(1, MOST // m + 1)]
    for columns, rows in sorted(grids, key=lambda grid: (grid[0] * grid[1], grid[1])):
        pieces = _cut(made, columns, rows, word)
        if all(fits(piece, shop) for piece in pieces):
            return pieces
    return [made]


def _cut(made: PlyPattern, columns: int, rows: int, word: str) -> list[PlyPattern]:
    x0, y0, x1, y1 = made.whole.bounds
    across = np.linspace(x0, x1, columns + 1).tolist()
    up = np.linspace(y0, y1, rows + 1).tolist()
    lines = (*((0, x) for x in across[1:-1]), *((1, y) for y in up[1:-1]))
    shapes = [
        part
        for low, high in zip(up, up[1:], strict=False)
        for left, right in zip(across, across[1:], strict=False)
        for part in shapely.get_parts(made.whole.intersection(shapely.box(left, low, right, high)))
        if part.area > SLIVER
    ]
    return [
        drawn(
            replace(
                made,
                name=f"{made.name}_{word}_{number}",
                whole=one_piece(shape),
                least=_least(made, shape),
                joints=tuple(line for line in lines if _on(shape, *line)),
                faces=(),
            )
        )
        for number, shape in enumerate(shapes, start=1)
    ]


def _least(made: PlyPattern, shape: shapely.Polygon) -> shapely.Polygon:
    """Return the smaller face of a piece; the piece itself where it is all bevel."""
    least = made.least.intersection(shape)
    return one_piece(least if least.area > SLIVER else shape)


def _on(shape: shapely.Polygon, axis: int, at: float) -> bool:
    """Say whether a piece was cut along a line across (axis 0) or level (1)."""
    low, high = shape.bounds[axis], shape.bounds[axis + 2]
    return bool(min(abs(low - at), abs(high - at)) < 1e-6)


def joint_marks(made: PlyPattern, ratio: float | None) -> Iterator[SheetMark]:
    """Yield the joint under a strap, or where a strap reaches to on a piece, by `ratio` [1].

    Nothing on a piece where no straps are asked for.
    """
    if ratio is None:
        return
    x0, y0, x1, y1 = made.whole.bounds
    for axis, at in made.joints:
        low, high = (x0, x1) if axis == 0 else (y0, y1)
        reach = ratio * made.thickness
        to, words = at, "JOINT"
        if not made.face:
            to = at + reach if at - low < high - at else at - reach
            words = f"BUTT STRAP {reach:g} mm FROM THE JOINT"
        ends = (
            ((to, y0 - PAST), (to, y1 + PAST)) if axis == 0 else ((x0 - PAST, to), (x1 + PAST, to))
        )
        a, b = (made.frame.lifted(end) for end in ends)
        yield SheetMark(words, a, b)


def straps(
    p: Parameters, model: Model, sheet: str, whole: PlyPattern, reached: Sequence[Reached],
    thickness: float,
) -> list[PlyPattern]:  # fmt: skip
    """Return butt straps, as thick as the stock [mm], over what `reached` gives of a sheet.

    Each is the sheet's smaller face as far as a strap reaches, clear of all else that stands there,
    on the face that has more room.
    """
    found: list[PlyPattern] = []
    plate = replace(whole, thickness=thickness, larger=NONE, faces=())
    free = {face: _free(p, model, sheet, whole, thickness, face) for face in FACES if reached}
    for joint, area in reached:
        front, aft = (free[face][1].intersection(area) for face in FACES)
        face, shape = ("aft", aft) if aft.area > front.area + LARGER else ("front", front)
        if shape.area > SLIVER:
            name, one = f"{whole.name}_strap_{len(found) + 1}", one_piece(shape)
            strap = replace(plate, name=name, frame=free[face][0], face=face, joints=(joint,))
            found.append(drawn(replace(strap, whole=one, least=one)))
    return found


def reached_by_straps(
    whole: PlyPattern, pieces: Sequence[PlyPattern], ratio: float,
    bends: Sequence[tuple[int, float]] = (),
) -> list[Reached]:  # fmt: skip
    """Return each joint with what of the part a strap over it reaches, once, in one piece each.

    `ratio` [1] is how many thicknesses it reaches to each side; `bends` [mm] get a strap as well.
    """
    x0, y0, x1, y1 = whole.whole.bounds
    left, found = whole.least, []
    for axis, at in dict.fromkeys((*(joint for piece in pieces for joint in piece.joints), *bends)):
        low, high = (at + way * ratio * whole.thickness for way in (-1.0, 1.0))
        band = shapely.box(low, y0, high, y1) if axis == 0 else shapely.box(x0, low, x1, high)
        areas = shapely.get_parts(left.intersection(band))
        found += [((axis, at), area) for area in areas if area.area > SLIVER]
        left = left.difference(band)
    return found


def _free(
    p: Parameters, model: Model, sheet: str, whole: PlyPattern, thick: float, face: str
) -> tuple[Frame, shapely.Geometry]:
    """Return the plane of straps on a face of a sheet, and what of it is clear of other parts."""
    frame = whole.frame.moved(-thick if face == "front" else whole.thickness)
    part, area = model.sheets[sheet].part or sheet, whole.least
    box, skin, gaps = loose_box(model.parts[part]), _skin_of(p, part), passing(p, model, sheet)
    inside: dict[float, list[shapely.Geometry]] = {}
    for name, solid in model.parts.items():
        if name == part or not boxes_meet(box, loose_box(solid), thick):
            continue
        for at in (BELOW, thick - BELOW):
            cut = [one.polygon() for one in regions(frame.moved(at), solid, name, CHORD)]
            if skin is not None and model.families.get(name) == skin[0]:
                inside.setdefault(at, []).extend(cut)
                continue
            gap = max(CLEAR, gaps.get(name, 0.0))
            grown = [one.buffer(gap, join_style="mitre") for one in cut]
            area = area.difference(shapely.union_all(grown))
    # A skin in several parts holds what lies in any of them.
    for cut in inside.values():
        area = area.intersection(shapely.union_all(cut).buffer(-skin[1])) if cut and skin else area
    return frame, area


def _skin_of(p: Parameters, part: str) -> tuple[str, float] | None:
    """Return what body a spar or rib stands in, and the skin over it [mm]; None for a frame."""
    rows: list[tuple[str, Spar | RibRow]] = [(f"spar_{spar.name}_", spar) for spar in p.spars]
    rows += [(f"rib_{row.name}_", row) for row in p.ribs]
    own = [(stem, row) for stem, row in rows if part.startswith(stem)]
    if not own:
        return None
    _, row = max(own, key=lambda one: len(one[0]))
    return row.of, row.skin


def straps_finding(
    whole: PlyPattern, reached: Sequence[Reached], made: Sequence[PlyPattern], density: float
) -> Check:
    """Return how much of what straps reach they leave out; `density` [kg/m3] is the stock's."""
    have = sum(one.drawn().area for one in made)
    mass = sum(one.drawn().area * one.thickness for one in made) * 1e-9 * density
    return found(
        f"ply.straps.{whole.name}", whole.name,
        "butt straps cut away for what stands in their way, as a share of their area",
        max(0.0, 1.0 - have / sum(area.area for _, area in reached)), "1", high=MISSING,
        severity="warn", method="the lines to cut as polygons, against the part near its joints",
        where=f"{len(made)} straps, {mass:.3f} kg in all, which no mass of the aircraft has",
        source="own choice", advice="sheets of another size move the joint; look at its straps",
    )  # fmt: skip


def pieces_finding(name: str, whole: PlyPattern, pieces: Sequence[PlyPattern]) -> Check:
    """Return how far the pieces as drawn miss or overlap the whole, by the length of its lines."""
    shapes = [piece.drawn() for piece in pieces]
    laid = shapely.union_all(shapes)
    missed = laid.symmetric_difference(whole.drawn()).area
    twice = sum(shape.area for shape in shapes) - laid.area
    lines = sum(shape.length for shape in shapes)
    return found(
        f"ply.pieces.{name}", name,
        f"{len(pieces)} pieces, as it has no room on a sheet: area missed or cut twice, by their "
        "edges", (missed + twice) / lines, "mm", high=OFF,
        method="the lines to cut of all pieces as polygons, against those of the whole part",
        source="own choice",
    )  # fmt: skip
