"""The mould maker's part of the hand-off: plugs, cores or male moulds, their flanges, findings."""

from dataclasses import dataclass, replace
from math import cos, radians

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.properties import bounding_box, kernel_box, volume
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.scoop import scoop_names
from geomgen.shops.figures import plain
from geomgen.shops.laminate import areal_weight, schedule
from geomgen.shops.moulds.boards import Board, boards
from geomgen.shops.moulds.bodies import (
    ON_LINES,
    body_grown,
    course_of,
    key_of,
    scoop_index,
    skin_deducted,
    tip_ended,
)
from geomgen.shops.moulds.cutouts import cut_out_sheets, passing_note, sides_of, wanted_lines
from geomgen.shops.moulds.findings import (
    dowel_finding,
    end_findings,
    end_words,
    flats_finding,
    mirror_findings,
    pitch_finding,
    skin_finding,
    volume_finding,
)
from geomgen.shops.moulds.flange import hole_volume
from geomgen.shops.moulds.marks import marked_pieces, piece_words
from geomgen.shops.moulds.pieces import FREE, MouldPiece, depth_of, pieces
from geomgen.shops.moulds.skin import Bounds, Moulded, moulded, skin_area
from geomgen.shops.moulds.split import halves
from geomgen.shops.moulds.tip import Tip
from geomgen.shops.moulds.trim import TrimEnd, trim_ends, trim_words
from geomgen.shops.passing_parts import Passing, passing_parts
from geomgen.shops.product import Hand, Item, Package, ShopSheet, ShopSolid
from geomgen.shops.skin_lines.curves import lines_finding
from geomgen.shops.skin_lines.opening_sheet import canopy_sheets
from geomgen.shops.skin_lines.package import line_sheets, mould_lines
from geomgen.shops.stock import over, router_room, within_stock
from geomgen.shops.wing_parts import outermost
from geomgen.verdicts.check import Check

SHORT = {"plug_outside": "plug", "core_minus_skin": "core", "male_mould": "male_mould"}
MATERIAL = {
    "plug_outside": "plug block, as the shop chooses",
    "core_minus_skin": "core foam, as the shop chooses",
    "male_mould": "mould block, as the shop chooses",
}
SIZE = {
    "plug_outside": "outside size",
    "core_minus_skin": "smaller by the skin of {skin:.3f} mm, the core stays inside",
    "male_mould": "the skin's inner face, {skin:.3f} mm inside the outside",
}


@dataclass(frozen=True)
class Made:
    """What was made for one entry of the file, as it stands on the right where it is mirrored."""

    mould: Mould
    skin: float
    finished: list[Moulded]
    cut: list[tuple[Moulded, list[MouldPiece]]]
    boards: list[Board]
    hands: tuple[Hand, ...]
    symmetric: bool
    through: tuple[Passing, ...] = ()
    early: Tip | None = None
    trimmed: tuple[TrimEnd, ...] = ()


def mould_package(p: Parameters, model: Model) -> Package:
    """Return the moulds of every part that the file names: solids, findings, items.

    `model` holds the finished solids [mm] that the moulds are measured against. Raises
    GeometryError for a part that the aircraft does not have, a forgotten laminate, a split or a
    joint that can't be made.
    """
    p = within_stock(p)
    solids: list[ShopSolid] = []
    findings: list[Check] = []
    items: list[Item] = []
    sheets: list[ShopSheet] = []
    for mould in p.handoff.moulds if p.handoff else ():
        made = _made(p, mould, model)
        bodies, flanges = _piece_solids(made), _board_solids(made)
        findings += _findings(p, made, model, bodies)
        halves_there = [(each.half, _hand_of(made, "", each.half.name)) for each in made.finished]
        sheets += cut_out_sheets(mould.part, halves_there, made.through)
        finished = _finished_solid(p, mould, model) if mould.part in ON_LINES else None
        wanted = wanted_lines(p, mould, made.skin, made.trimmed, made.through, finished)
        lines = mould_lines(model, wanted, sides_of(made.finished))
        sheets += line_sheets(wanted, lines, [hand for _, hand in halves_there])
        sheets += canopy_sheets(mould.part, lines)
        findings += lines_finding(mould.part, lines)
        cut, checked = marked_pieces(made.cut, lines, mould, p.output.mesh_tolerance)
        findings += checked
        if checked:
            bodies = _piece_solids(replace(made, cut=cut))
        solids += [*bodies, *flanges]
        items += _blank_items(bodies, MATERIAL[mould.treatment], router_room(p))
        items += [*_blank_items(flanges, "flange board"), *_skin_items(p, made, bodies)]
    return Package("mould_maker", tuple(solids), tuple(sheets), tuple(findings), tuple(items))


def _made(p: Parameters, mould: Mould, model: Model) -> Made:
    skin = skin_deducted(p, mould)
    early = _early(p, mould, skin)
    bounds = _bounds(p, mould, model, early)
    gap = mould.stock - skin
    finished = [moulded(half, bounds) for half in halves(p, mould, -skin)]
    rough = finished
    if mould.stock:
        rough = [moulded(half, bounds) for half in halves(p, mould, gap)]
    return Made(
        mould,
        skin,
        finished,
        [(each, pieces(p, mould, gap, each.half)) for each in rough],
        boards(p, mould, [each.half for each in finished]),
        _hands(p, mould),
        _symmetric(p, mould),
        tuple(passing_parts(p, model)) if mould.part == "pod" else (),
        early,
        tuple(_trimmed(p, mould)),
    )


def _trimmed(p: Parameters, mould: Mould) -> list[TrimEnd]:
    c = course_of(p, mould) if mould.part in ON_LINES else None
    return trim_ends(p, mould, c.start if c else None, c.end if c else None)


def _early(p: Parameters, mould: Mould, skin: float) -> Tip | None:
    """Return the body of a wing tip, no stock on it, that has to end early; None: no such part."""
    tip = tip_ended(p, mould, -skin) if mould.part == "wing_tip" else None
    return tip if tip and tip.early else None


def _hands(p: Parameters, mould: Mould) -> tuple[Hand, ...]:
    """Return the hands a part is made in; one, and no hand, where it is its own mirror image."""
    if mould.part in ON_LINES:
        return ("",)
    if mould.part == "wing_tip":
        return ("right", "left")
    names = scoop_names(p, scoop_index(p, mould))
    return ("right", "left") if len(names) == 2 else ("",)


def _symmetric(p: Parameters, mould: Mould) -> bool:
    """Say whether a part is its own mirror image."""
    if mould.part in ON_LINES:
        return True
    if mould.part == "wing_tip":
        return False
    return abs(cos(radians(p.scoops[scoop_index(p, mould)].clock_angle))) < 1e-9


def _bounds(p: Parameters, mould: Mould, model: Model, early: Tip | None) -> Bounds:
    if mould.part in ON_LINES:
        return Bounds()
    if mould.part == "wing_tip":
        runs = early.runs if early else ()
        spans = tuple((run[0].buttock_line, run[-1].buttock_line) for run in runs)
        return Bounds(end=None if early and early.short else (0.0, 1.0, 0.0), early=spans)
    return Bounds(model.parts["pod"], p.scoops[scoop_index(p, mould)].gap)


def _finished_solid(p: Parameters, mould: Mould, model: Model) -> TopoDS_Shape:
    name = mould.part
    if mould.part == "wing_tip":
        name = outermost(model)
    elif mould.part not in ON_LINES:
        name = scoop_names(p, scoop_index(p, mould))[0]
    if name not in model.parts:
        raise GeometryError(
            f"the set holds no {name} to measure it against",
            part=mould.part,
            step="mould against finished part",
            look_at=[key_of(p, mould, "part")],
        )
    return model.parts[name]


def _hand_of(made: Made, hand: Hand, half: str) -> Hand:
    if hand:
        return hand
    return "right" if half == "right" else "left" if half == "left" else ""


def _named(made: Made, hand: Hand, half: str, *more: str) -> str:
    words = [made.mould.part, hand, half, *more]
    return "_".join(word for word in words if word)


def _piece_solids(made: Made) -> list[ShopSolid]:
    found = []
    for hand in made.hands:
        for each, cut in made.cut:
            half = each.half
            for number, piece in enumerate(cut, start=1):
                last = made.mould.treatment
                if len(cut) > 1:
                    last = f"{SHORT[last]}_{number}of{len(cut)}"
                solid, marked = piece.solid, piece.marked
                if hand == "left":
                    solid, marked = mirrored(solid), marked and marked.mirrored()
                name = _named(made, hand, half.name, last)
                found.append(
                    ShopSolid(
                        name,
                        made.mould.part,
                        solid,
                        _hand_of(made, hand, half.name),
                        _piece_note(made, piece, number, len(cut), hand),
                        marked,
                    )
                )
    return found


def _piece_note(made: Made, piece: MouldPiece, number: int, count: int, hand: Hand) -> str:
    mould = made.mould
    words = [f"{mould.treatment}: {SIZE[mould.treatment].format(skin=made.skin)}"]
    if mould.stock:
        words.append(f"{plain(mould.stock)} mm stock left on, machine it off")
    else:
        words.append("no stock")
    if count > 1:
        words.append(
            f"piece {number} of {count}, STA {piece.start:z.1f} to {piece.end:z.1f}, "
            f"{_breadth_words(piece, hand)}"
            f"{piece.holes} joint dowel holes {plain(mould.dowel_diameter)} mm, "
            f"{plain(depth_of(mould))} mm deep"
        )
    if made.early:
        words.append(end_words(made.early))
    said = (trim_words(mould, list(made.trimmed)), piece_words(mould, piece))
    words += filter(None, said)
    passing = passing_note(made.through, piece.start, piece.end)
    if passing:
        words.append(passing)
    return "; ".join(words)


def _breadth_words(piece: MouldPiece, hand: Hand) -> str:
    """Return between which buttock lines and waterlines a piece lies that was cut across them."""
    if piece.cuts[1:] == (FREE, FREE):
        return ""
    box = bounding_box(piece.solid)
    low, high = box.low[1], box.high[1]
    if hand == "left":
        low, high = -high, -low
    return f"BL {low:z.1f} to {high:z.1f}, WL {box.low[2]:z.1f} to {box.high[2]:z.1f}, "


def _board_solids(made: Made) -> list[ShopSolid]:
    found = []
    for hand in made.hands:
        for board in made.boards:
            count = len(board.solids)
            for number, solid in enumerate(board.solids, start=1):
                last = "flange" if count == 1 else f"flange_{number}of{count}"
                found.append(
                    ShopSolid(
                        _named(made, hand, board.name, last),
                        made.mould.part,
                        mirrored(solid) if hand == "left" else solid,
                        _hand_of(made, hand, board.name),
                        _board_note(made, board, hand),
                    )
                )
    return found


def _board_note(made: Made, board: Board, hand: Hand) -> str:
    mould, plan = made.mould, board.plan
    x, y, z = plan.sheet.space(np.array([plan.flats]))[0]
    words = [
        f"flange {plain(mould.flange)} mm wide, {plain(mould.flange_thickness)} mm thick, behind "
        f"the split of the {board.name} half: its face towards that half lies in the split",
        f"{len(plan.dowels)} dowels {plain(mould.dowel_diameter)} mm at most {plan.pitch:.1f} mm "
        "apart, the same in both halves",
        "two datum flats, square to each other and to the split, their planes meet at "
        f"STA {x:.1f} BL {-y if hand == 'left' else y:.1f} WL {z:.1f}",
    ]
    if plan.near:
        words.append(f"bent along the split in flat facets, within {plan.near:.1f} mm of it")
    return "; ".join(words)


def _findings(p: Parameters, made: Made, model: Model, new: list[ShopSolid]) -> list[Check]:
    mould, part = made.mould, made.mould.part
    gap = mould.stock - made.skin
    cut = [piece for _, found in made.cut for piece in found]
    drilled = hole_volume(mould.dowel_diameter, depth_of(mould)) * sum(q.holes for q in cut)
    rough = [each for each, _ in made.cut]
    found = [
        skin_finding(part, rough, _finished_solid(p, mould, model), gap, _gentler(p, mould)),
        volume_finding(part, [q.solid for q in cut], drilled, body_grown(p, mould, gap)),
        dowel_finding(part, made.boards[0], mould.dowel_diameter),
        pitch_finding(part, made.boards[0], mould.dowel_pitch),
        flats_finding(part, made.boards[0]),
    ]
    if made.early:
        finished = [each.half.solid for each in made.finished]
        found += end_findings(made.early, finished, _finished_solid(p, mould, model), made.skin)
    if len(made.hands) == 2:
        each, own = made.cut[0]
        name = _named(made, "left", each.half.name)
        other = next(s.solid for s in new if s.name.startswith(name) and s.hand == "left")
        found += mirror_findings(part, own[0].solid, other)
    elif made.symmetric and rough[0].half.name == "right":
        found += mirror_findings(part, rough[0].half.solid, rough[1].half.solid)
    return found


def _gentler(p: Parameters, mould: Mould) -> str:
    """Return what makes the mould of a scoop miss less, a roof that falls less; else nothing.

    A scoop is grown section by section, which misses where its roof falls: measured on the
    example, 0.03 mm for each mm of stock or skin. Other bodies miss the same at any distance.
    """
    if mould.part in ON_LINES or mould.part == "wing_tip":
        return ""
    key = f"scoops.{p.scoops[scoop_index(p, mould)].name}"
    return f"a scoop that falls less: a smaller {key}.height, a longer {key}.passage_length"


def _blank_items(
    new: list[ShopSolid], material: str, room: tuple[float, ...] | None = None
) -> list[Item]:
    """Return a row for each piece or board: the size of its blank, its volume.

    What seems too large for a `room` [mm] is measured exactly: the quick box may be too wide.
    """
    return [
        Item(
            solid.name,
            solid.part,
            solid.hand,
            material,
            _size(solid.solid, room),
            volume=volume(solid.solid).value,
            files=solid.files,
            note=solid.note,
        )
        for solid in new
    ]


def _size(solid: TopoDS_Shape, room: tuple[float, ...] | None) -> Vec3:
    size = kernel_box(solid).size
    return bounding_box(solid).size if room and over(size, room) > 0.0 else size


def _skins(p: Parameters, made: Made) -> list[float]:
    """Return the area [mm2] of the skin of each half; the outside's where the core ends early."""
    if made.early is None:
        return [skin_area(each) for each in made.finished]
    outside = made.mould.model_copy(update={"treatment": "plug_outside"})
    whole = Bounds(end=(0.0, 1.0, 0.0))
    return [skin_area(moulded(half, whole)) for half in halves(p, outside, 0.0)]


def _skin_items(p: Parameters, made: Made, new: list[ShopSolid]) -> list[Item]:
    """Return a row for the skin of each half: its area, ply schedule and mass where described."""
    laminate = p.handoff.laminate if p.handoff else None
    found, laid = [], _skins(p, made)
    for hand in made.hands:
        for each, size in zip(made.finished, laid, strict=True):
            half = each.half
            name = _named(made, hand, half.name)
            files = tuple(file for s in new if s.name.startswith(name) for file in s.files)
            found.append(
                Item(
                    f"{name}_skin",
                    made.mould.part,
                    _hand_of(made, hand, half.name),
                    "laminate" if laminate else "laminate, none described in the file",
                    mass=areal_weight(laminate) * size * 1e-6 if laminate else None,
                    laminate_area=size,
                    files=files,
                    note="; ".join(schedule(laminate, made.mould.part)) if laminate else "",
                )
            )
    return found
