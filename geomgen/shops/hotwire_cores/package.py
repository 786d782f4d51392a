"""Hot-wire cores of the wing: templates for both ends of each core, right and left."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import Drawing
from geomgen.errors import GeometryError, ParameterError
from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Cores
from geomgen.shapes.lifting import wing_sections
from geomgen.shops.hotwire_cores.gaps import (
    Gap,
    beyond,
    gap_findings,
    gaps,
    notch_findings,
    station_findings,
)
from geomgen.shops.hotwire_cores.outline import along_chord, trough
from geomgen.shops.hotwire_cores.pieces import CorePiece, pieces
from geomgen.shops.hotwire_cores.plan import core_plan
from geomgen.shops.hotwire_cores.printed_face import FACES
from geomgen.shops.hotwire_cores.proof import Cut, core_findings, hand_finding
from geomgen.shops.hotwire_cores.sections import STEP, Span, clean_ends, cut_away, panel, takes_away
from geomgen.shops.hotwire_cores.spar_slots import (
    WebSlot,
    ending_within,
    slot_findings,
    slots_of,
    taken_out,
)
from geomgen.shops.hotwire_cores.templates import Template, template_drawing
from geomgen.shops.hotwire_cores.words import ENDS, foam_between, template_notes, template_words
from geomgen.shops.laminate import areal_weight, schedule, skin_note, thickness
from geomgen.shops.layout_lines import InsidePart, Laid, inside_parts, laid_along
from geomgen.shops.product import Item, Package, ShopSheet, found
from geomgen.shops.stock import within_stock
from geomgen.shops.wing_parts import whole_wing
from geomgen.verdicts.check import Check

SHOP = "wing_cores"
SIDES = (1, -1)
# Families of parts that a core's templates have lines for.
IN_WING = ("spar", "rib", "web", "boom", "pylon")
# How well the solid's washout agrees with the file's [deg].
WASHOUT = 0.05


@dataclass(frozen=True)
class Asked:
    """What is asked of the cores: the shop's record, the skin taken off [mm], end of the last."""

    cores: Cores
    skin: float
    panels: int
    tip_from: float | None
    skin_notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Core:
    """One core: the piece of a panel that it is, and what it is cut with."""

    piece: CorePiece
    cut: Cut
    slots: tuple[tuple[WebSlot, WebSlot], ...] = ()
    lost: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Return the core's name."""
        return f"core_{self.piece.name}"


def cores_package(p: Parameters, model: Model) -> Package:
    """Return the templates, findings and parts list of the wing's hot-wire cores.

    Outlines are taken from the finished wing, in however many parts it is. ParameterError when no
    cores or no laminate are asked for, GeometryError when the solid gives no clean sections or a
    template can't be drawn.

    Where a moulded wing tip is asked for, the outermost core ends where the tip begins.
    """
    p = within_stock(p)
    asked, wing = _asked(p), whole_wing(model)
    inside = inside_parts(model, families=IN_WING)
    pairs = _pairs(wing, asked, p, inside)
    missing = _missing(wing, model, pairs, _filled(asked, p))
    every_gap = [gap for hand in missing for gap in hand]
    made = [[_core(piece, asked, every_gap, inside) for piece in pair] for pair in pairs]
    every = [core for pair in made for core in pair]
    findings = [finding for core in every for finding in _findings(p, core)]
    findings += [row for core in every for row in _slotted(core, asked.cores, inside)]
    findings += [hand_finding(right.cut, left.cut) for right, left in made]
    findings += [*_left_out(wing, asked, p), *_gap_findings(p, asked, missing)]
    return Package(
        SHOP,
        sheets=(
            *(sheet for core in every for sheet in _sheets(core)),
            *_plans(made, asked.cores, missing),
        ),
        findings=tuple(findings),
        items=tuple(_item(p, asked, core) for core in every),
    )


def _missing(
    wing: TopoDS_Shape, model: Model, pairs: Sequence[tuple[CorePiece, ...]], filled: Span
) -> list[list[Gap]]:
    """Return the gaps of each hand."""
    return [
        gaps(wing, model, [pair[i] for pair in pairs], filled, side) for i, side in enumerate(SIDES)
    ]


def _gap_findings(p: Parameters, asked: Asked, missing: list[list[Gap]]) -> list[Check]:
    inner = [section.buttock_line for section in p.wing.sections[1:-1]]
    return [row for hand in missing for row in gap_findings(hand, inner, bool(asked.cores.caps))]


def _name(piece: CorePiece, end: str) -> str:
    return f"core_{piece.name}_{end}"


def _pairs(
    wing: TopoDS_Shape, asked: Asked, p: Parameters, inside: Sequence[InsidePart] = ()
) -> list[tuple[CorePiece, ...]]:
    """Return the right and the left piece of each core, from the centre plane out."""
    pairs: list[tuple[CorePiece, ...]] = []
    for number in _numbers(wing, asked, p):
        sides = [_pieces(wing, asked, p, number, side, inside) for side in SIDES]
        # Where other parts stand nearer on one side, both hands are cut in as many pieces.
        many = max(len(side) for side in sides)
        sides = [
            made if len(made) == many else _pieces(wing, asked, p, number, side, inside, many)
            for made, side in zip(sides, SIDES, strict=True)
        ]
        pairs += zip(*sides, strict=True)
    return pairs


def _numbers(wing: TopoDS_Shape, asked: Asked, p: Parameters) -> list[int]:
    """Return the numbers of the panels of which something is left."""
    every = range(1, asked.panels + 1)
    return [number for number in every if not takes_away(wing, number, *_ends(p, number))]


def _ends(p: Parameters, number: int) -> Span:
    inner, outer = (p.wing.sections[number - i].buttock_line for i in (1, 0))
    return inner, outer


def _filled(asked: Asked, p: Parameters) -> Span:
    """Return from where to where cores are to fill the wing: a moulded tip is no gap in them."""
    inner, outer = (p.wing.sections[i].buttock_line for i in (0, -1))
    return inner, outer if asked.tip_from is None else min(outer, asked.tip_from)


def _left_out(wing: TopoDS_Shape, asked: Asked, p: Parameters) -> list[Check]:
    """Say which panels have no core, because another part takes their place."""
    made, rows = _numbers(wing, asked, p), []
    for number in range(1, asked.panels + 1):
        if number not in made:
            low, high = _ends(p, number)
            rows.append(
                found(
                    f"core.none.panel{number}", "wing",
                    "no core: a joint leaves no clean section of this panel; its width",
                    high - low, "mm", where=f"BL {low:.1f} to {high:.1f} mm",
                    method="boxes and cut faces of the finished parts of the wing",
                    severity="info",
                )
            )  # fmt: skip
    return rows


def _asked(p: Parameters) -> Asked:
    h = p.handoff
    if h is None or h.cores is None:
        raise ParameterError("no cores are asked for", key="handoff.cores")
    if h.cores.inset_skin and h.laminate is None:
        raise ParameterError(
            "cores are to be smaller by the skin, but there is no laminate",
            key="handoff.laminate",
            advice="describe the laminate, or set handoff.cores.inset_skin to false",
        )
    skin = thickness(h.laminate) if h.cores.inset_skin and h.laminate else 0.0
    tips = [mould.from_buttock_line for mould in h.moulds if mould.part == "wing_tip"]
    notes = (skin_note(h.laminate, "wing"),) if h.laminate else ()
    return Asked(h.cores, skin, len(p.wing.sections) - 1, tips[0] if tips else None, notes)


def _pieces(
    wing: TopoDS_Shape,
    asked: Asked,
    p: Parameters,
    number: int,
    side: int,
    inside: Sequence[InsidePart],
    least: int = 1,
) -> list[CorePiece]:
    """Return the pieces of a panel on one side."""
    inner, outer = _ends(p, number)
    whole = panel(wing, number, side, inner, outer)
    away = cut_away(wing, whole)
    low, high = clean_ends(whole, away)
    if number == asked.panels and asked.tip_from is not None and asked.tip_from < high:
        high = asked.tip_from
        if high <= low:
            raise GeometryError(
                f"the moulded tip begins at BL {high:.0f} mm and takes all of panel {number}",
                part="wing",
                step=STEP,
                look_at=["handoff.moulds", "wing.sections"],
            )
    return pieces(wing, whole, (low, high), away, asked.cores, asked.skin, least, inside)


def _core(
    piece: CorePiece, asked: Asked, missing: Sequence[Gap], inside: Sequence[InsidePart]
) -> Core:
    both = [laid_along(inside, end.buttock_line, shapely.Polygon(end.ring())) for end in piece.ends]
    wanted = asked.cores.spar_slots
    slots = tuple(slots_of(piece, both)) if wanted else ()
    root, tip = (
        template_drawing(_template(asked, piece, i, missing, both[i], [pair[i] for pair in slots]))
        for i in (0, 1)
    )
    lost = tuple(ending_within(piece, both, inside)) if wanted else ()
    return Core(piece, _cut(piece, asked, root, tip), slots, lost)


def _cut(piece: CorePiece, asked: Asked, root: Drawing, tip: Drawing) -> Cut:
    shop = asked.cores
    return Cut(
        *(piece.panel, root, tip, piece.ends, shop.kerf, asked.skin),
        *(shop.surface_tolerance, piece.name),
    )


def _template(
    asked: Asked,
    piece: CorePiece,
    end: int,
    missing: Sequence[Gap],
    laid: Laid,
    slots: Sequence[WebSlot],
) -> Template:
    core, shop, section = piece.outlines[end], asked.cores, piece.ends[end]
    cut = [slot.name for slot in slots]
    return Template(
        _name(piece, ENDS[end]),
        piece.panel.side,
        FACES[end],
        core,
        piece.guides[end],
        tuple(trough(core, cap, shop.kerf) for cap in shop.caps),
        tuple(f"CAP {cap.width:g} x {cap.depth:g} mm - 2ND PASS" for cap in shop.caps),
        piece.ends[end].angle,
        shop.ticks,
        template_words(piece, end, asked.panels, shop, asked.skin),
        (
            *template_notes(piece, end, shop),
            *beyond(piece, end, missing),
            *laid.words,
            *asked.skin_notes,
        ),
        tuple(
            (path.name, along_chord(section, np.array(path.points)))
            for path in laid.lines
            if path.name not in cut
        ),
        tuple((slot.name, slot.words, slot.way(core, shop.kerf)) for slot in slots),
    )


def _sheets(core: Core) -> list[ShopSheet]:
    return [
        ShopSheet(
            drawing.name,
            "wing",
            full_size(drawing),
            core.cut.hand,
            f"hot-wire template, {_told(core.piece)}, {end}; printed face out of the foam, seen "
            f"from {face}",
        )
        for drawing, end, face in zip((core.cut.root, core.cut.tip), ENDS, FACES, strict=True)
    ]


def _plans(made: list[list[Core]], shop: Cores, missing: list[list[Gap]]) -> list[ShopSheet]:
    """Return the plan of the cores of each hand."""
    return [
        core_plan([pair[i].piece for pair in made], made[0][i].cut.hand, shop, missing[i])
        for i in (range(len(SIDES)) if made else ())
    ]


def _told(piece: CorePiece) -> str:
    of = f", piece {piece.number} of {piece.of}" if piece.of > 1 else ""
    return f"panel {piece.panel.number}{of}"


def _findings(p: Parameters, core: Core) -> list[Check]:
    return [
        *core_findings(core.cut),
        _washout(p, core),
        *station_findings(core.piece),
        *notch_findings(core.piece),
    ]


def _washout(p: Parameters, core: Core) -> Check:
    """Judge whether the solid's sections stand at the angles that the file asks for."""
    frames = wing_sections(p, p.wing)
    at = [frame.nose[1] for frame in frames]
    noses = np.array([frame.points()[len(frame.outline) // 2] for frame in frames])
    tails = np.array([frame.trailing_edge() for frame in frames])
    worst = 0.0
    for section in core.piece.ends:
        way = [np.interp(abs(section.buttock_line), at, (tails - noses)[:, i]) for i in (0, 2)]
        angle = math.degrees(math.atan2(-way[1], way[0]))
        worst = max(worst, abs(section.angle - angle))
    return found(
        f"core.washout.{core.cut.name}",
        "wing",
        "angle of the solid's chord to the waterlines against the parameter file: difference",
        worst,
        "deg",
        high=WASHOUT,
        where=f"BL {abs(core.piece.ends[0].buttock_line):.1f} and "
        f"{abs(core.piece.ends[1].buttock_line):.1f} mm",
        method="nose and middle of the trailing edge on the solid",
        source="own choice",
        advice="do not cut: the wing was not built as the file says",
    )


def _slotted(core: Core, shop: Cores, inside: Sequence[InsidePart]) -> list[Check]:
    drawings = (core.cut.root, core.cut.tip)
    return slot_findings(core.piece, core.slots, core.lost, drawings, inside, shop)


def _item(p: Parameters, asked: Asked, core: Core) -> Item:
    piece, blank = core.piece, core.piece.blank
    density = asked.cores.density * 1e-9
    low, high = piece.span
    skin = piece.panel.area(low, high)
    note = (
        f"BL {low:.1f} to {high:.1f} mm: {foam_between(piece)}; blank {blank.volume * density:.2f} "
        f"kg, square-cornered, laid along the {blank.along} edge; the core's ends are "
        f"{abs(blank.sweep):.1f} deg (sweep) and {abs(blank.rise):.1f} deg (dihedral) off square "
        "in it"
    )
    if p.handoff is not None and p.handoff.laminate is not None:
        laminate = p.handoff.laminate
        note += f"; skin {skin * 1e-6 * areal_weight(laminate):.2f} kg: " + "; ".join(
            schedule(laminate, "wing")
        )
    left = blank.core
    if core.slots:
        taken = taken_out(piece, core.slots, asked.cores)
        left -= taken
        names = " and ".join(pair[0].name for pair in core.slots)
        note += f"; parted at {names}, slots of {taken * 1e-3:.1f} cm³ taken out"
    return Item(
        core.name, "wing", core.cut.hand, f"foam, {asked.cores.density:g} kg/m³, hot-wire",
        blank.size, 1, left, left * density, skin,
        tuple(sheet.name for sheet in _sheets(core)), note, stock=blank.volume,
    )  # fmt: skip
