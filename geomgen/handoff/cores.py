"""Hot-wire cores of the wing: templates for both ends of each panel, right and left."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.drawings.record import Drawing
from geomgen.errors import GeometryError, ParameterError
from geomgen.handoff.core_blank import blank_of
from geomgen.handoff.core_faces import FACES
from geomgen.handoff.core_outline import Outline, core_outline, guide, in_chord_frame, trough
from geomgen.handoff.core_proof import Cut, core_findings, hand_finding
from geomgen.handoff.core_sections import (
    STEP,
    Panel,
    Section,
    Span,
    clean_ends,
    cut_away,
    panel,
    proved,
    takes_away,
)
from geomgen.handoff.core_templates import Template, template_drawing
from geomgen.handoff.laminate import areal_weight, schedule, thickness
from geomgen.handoff.product import Finding, Item, Package, ShopSheet, found
from geomgen.handoff.wing_parts import whole_wing
from geomgen.kernel.plain import Model
from geomgen.parameters.records import Parameters
from geomgen.parameters.shops import Cores
from geomgen.shapes.lifting import wing_sections

SHOP = "wing_cores"
SIDES, ENDS = (1, -1), ("root", "tip")
# How well the solid's washout agrees with the file's [deg].
WASHOUT = 0.05


@dataclass(frozen=True)
class Asked:
    """What is asked of the cores: the shop's record, the skin taken off [mm], end of the last."""

    cores: Cores
    skin: float
    panels: int
    tip_from: float | None


@dataclass(frozen=True)
class Core:
    """One core: its panel, the sections at its ends, what was cut away in it, its two templates.

    `outlines` are the wanted core at both ends.
    """

    panel: Panel
    ends: tuple[Section, Section]
    away: tuple[Span, ...]
    cut: Cut
    outlines: tuple[Outline, Outline]

    @property
    def name(self) -> str:
        """Return the core's name."""
        return f"core_{self.cut.name}"


def cores_package(p: Parameters, model: Model) -> Package:
    """Return the templates, findings and parts list of the wing's hot-wire cores.

    Outlines are taken from the finished wing, in however many parts it is. ParameterError when no
    cores or no laminate are asked for, GeometryError when the solid gives no clean sections or a
    template can't be drawn.

    Where a moulded wing tip is asked for, the outermost core ends where the tip begins.
    """
    asked = _asked(p)
    wing = whole_wing(model)
    made = _pairs(wing, asked, p)
    every = [core for pair in made for core in pair]
    findings = [finding for core in every for finding in _findings(p, core)]
    findings += [hand_finding(right.cut, left.cut) for right, left in made]
    findings += _left_out(wing, asked, p)
    return Package(
        SHOP,
        sheets=tuple(sheet for core in every for sheet in _sheets(core)),
        findings=tuple(findings),
        items=tuple(_item(p, asked, core) for core in every),
    )


def proof_of(p: Parameters, model: Model, drawings: Mapping[str, Drawing]) -> list[Finding]:
    """Return the proof of the cores' templates from other drawings, as read back from their files.

    `drawings` has each template by its sheet's name. Errors as for `cores_package`, and
    GeometryError when a template is missing or can't be read.
    """
    asked, wing = _asked(p), whole_wing(model)
    wanted = [
        _name(number, side, end)
        for number in _numbers(wing, asked, p)
        for side in SIDES
        for end in ENDS
    ]
    missing = [name for name in wanted if name not in drawings]
    if missing:
        raise GeometryError(f"no drawing {missing[0]}", part="wing", step="core proof")
    rows: list[Finding] = []
    for pair in _pairs(wing, asked, p):
        cuts = [
            replace(core.cut, root=drawings[core.cut.root.name], tip=drawings[core.cut.tip.name])
            for core in pair
        ]
        rows += [finding for cut in cuts for finding in core_findings(cut)]
        rows.append(hand_finding(cuts[0], cuts[1]))
    return rows


def _name(number: int, side: int, end: str) -> str:
    return f"core_panel{number}_{'right' if side > 0 else 'left'}_{end}"


def _pairs(wing: TopoDS_Shape, asked: Asked, p: Parameters) -> list[list[Core]]:
    """Return the right and the left core of each panel that has one."""
    numbers = _numbers(wing, asked, p)
    return [[_core(wing, asked, p, number, side) for side in SIDES] for number in numbers]


def _numbers(wing: TopoDS_Shape, asked: Asked, p: Parameters) -> list[int]:
    """Return the numbers of the panels of which something is left."""
    every = range(1, asked.panels + 1)
    return [number for number in every if not takes_away(wing, number, *_ends(p, number))]


def _ends(p: Parameters, number: int) -> Span:
    inner, outer = (p.wing.sections[number - i].buttock_line for i in (1, 0))
    return inner, outer


def _left_out(wing: TopoDS_Shape, asked: Asked, p: Parameters) -> list[Finding]:
    """Say which panels have no core, because another part takes their place."""
    made, rows = _numbers(wing, asked, p), []
    for number in range(1, asked.panels + 1):
        if number not in made:
            low, high = _ends(p, number)
            rows.append(
                Finding(
                    f"core.none.panel{number}",
                    "wing",
                    "no core: a joint leaves no clean section of this panel; its width",
                    high - low,
                    "mm",
                    where=f"BL {low:.1f} to {high:.1f} mm",
                    method="boxes and cut faces of the finished parts of the wing",
                )
            )
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
    return Asked(h.cores, skin, len(p.wing.sections) - 1, tips[0] if tips else None)


def _core(wing: TopoDS_Shape, asked: Asked, p: Parameters, number: int, side: int) -> Core:
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
    for y in (low, high):
        proved(wing, whole, y)
    ends = (whole.section(low), whole.section(high))
    a, b = (_template(asked, whole, ends, end) for end in (0, 1))
    cut = Cut(whole, template_drawing(a), template_drawing(b), ends, asked.cores.kerf, asked.skin)
    return Core(whole, ends, tuple(away), cut, (a.core, b.core))


def _template(asked: Asked, whole: Panel, ends: tuple[Section, Section], end: int) -> Template:
    section, kerf = ends[end], asked.cores.kerf
    core = core_outline(in_chord_frame(section), asked.skin)
    return Template(
        _name(whole.number, whole.side, ENDS[end]),
        whole.side,
        FACES[end],
        core,
        guide(core, kerf, asked.cores.lead),
        tuple(trough(core, cap, kerf) for cap in asked.cores.caps),
        tuple(f"CAP {cap.width:g} x {cap.depth:g} - 2ND PASS" for cap in asked.cores.caps),
        section.angle,
        asked.cores.ticks,
        _words(asked, whole, ends, end),
        _notes(asked),
    )


def _words(asked: Asked, whole: Panel, ends: tuple[Section, Section], end: int) -> tuple[str, ...]:
    section = ends[end]
    washout = round(ends[0].angle - ends[1].angle, 2) + 0.0
    x, _, z = section.nose
    kerf = asked.cores.kerf
    return (
        f"WING CORE - PANEL {whole.number} OF {asked.panels} - {ENDS[end].upper()} - "
        f"{whole.hand.upper()}",
        f"BL {abs(section.buttock_line):.1f}, chord {section.chord:.1f} mm",
        f"leading edge (x = 0) at STA {x:.1f}, WL {z:.1f}",
        f"chord {_updown(section.angle)}",
        f"washout of this panel {washout:+.2f} deg (plus: tip nose-down)",
        f"kerf {kerf:.2f}: edge {kerf / 2:.2f} mm outside the core",
        f"skin {asked.skin:.3f} mm taken off" if asked.skin else "no skin taken off",
        _set(ends),
    )


def _updown(angle: float) -> str:
    if abs(angle) < 0.005:
        return "level in flight"
    return f"{abs(angle):.2f} deg nose {'up' if angle > 0 else 'down'} in flight"


def _set(ends: tuple[Section, Section]) -> str:
    """Return how the tip template stands to the root template."""
    (x0, _, z0), (x1, _, z1) = ends[0].nose, ends[1].nose
    dx, dz = x1 - x0, z1 - z0
    return (
        f"tip's leading edge {abs(dx):.1f} mm {'aft of' if dx >= 0 else 'ahead of'} and "
        f"{abs(dz):.1f} mm {'above' if dz >= 0 else 'below'} the root's"
    )


def _notes(asked: Asked) -> tuple[str, ...]:
    rows = [
        "Both templates stand upright across the span, their level lines parallel.",
        "Call the numbers: the wire passes the same tick at the same time at both ends.",
        "Lead-in and lead-out: trim off the foam beyond LE and TE there.",
    ]
    if asked.cores.caps:
        rows.append("Troughs (layer CAP) are a second pass, after the outline.")
    return tuple(rows)


def _sheets(core: Core) -> list[ShopSheet]:
    return [
        ShopSheet(
            drawing.name,
            "wing",
            drawing,
            core.cut.hand,
            f"hot-wire template, panel {core.panel.number}, {end}; printed face out of the foam, "
            f"seen from {face}",
        )
        for drawing, end, face in zip((core.cut.root, core.cut.tip), ENDS, FACES, strict=True)
    ]


def _findings(p: Parameters, core: Core) -> list[Finding]:
    return [*core_findings(core.cut), _washout(p, core), *_moved(core), *_notched(core)]


def _washout(p: Parameters, core: Core) -> Finding:
    """Judge whether the solid's sections stand at the angles that the file asks for."""
    frames = wing_sections(p, p.wing)
    at = [frame.nose[1] for frame in frames]
    noses = np.array([frame.points()[len(frame.outline) // 2] for frame in frames])
    tails = np.array([frame.trailing_edge() for frame in frames])
    worst = 0.0
    for section in core.ends:
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
        where=f"BL {abs(core.ends[0].buttock_line):.1f} and "
        f"{abs(core.ends[1].buttock_line):.1f} mm",
        method="nose and middle of the trailing edge on the solid",
        source="own choice",
        advice="do not cut: the wing was not built as the file says",
    )


def _moved(core: Core) -> list[Finding]:
    """Say where a template had to be taken away from its panel's end."""
    rows = []
    ends = ((core.panel.low, core.ends[0], "root"), (core.panel.high, core.ends[1], "tip"))
    for wanted, section, end in ends:
        at = abs(section.buttock_line)
        if abs(at - wanted) > 1e-6:
            rows.append(
                Finding(
                    f"core.station.{core.cut.name}.{end}",
                    "wing",
                    f"the {end} template was taken {abs(at - wanted):.1f} mm inside the panel's "
                    "end: another part or a moulded tip stands there",
                    at,
                    "mm",
                    where=f"BL {at:.1f} instead of {wanted:.1f} mm",
                    method="nearest clean section of the solid",
                )
            )
    return rows


def _notched(core: Core) -> list[Finding]:
    low, high = (abs(section.buttock_line) for section in core.ends)
    return [
        Finding(
            f"core.notch.{core.cut.name}.{number}",
            "wing",
            "something else was cut out of the wing inside this core: width along the span",
            b - a,
            "mm",
            where=f"BL {a:.1f} to {b:.1f} mm",
            method="faces of the solid that are no skin of the panel",
            advice="the templates cut the core whole: notch it there to fit what passes through",
            verdict="warn",
        )
        for number, (a, b) in enumerate(core.away, start=1)
        if a > low and b < high
    ]


def _item(p: Parameters, asked: Asked, core: Core) -> Item:
    blank = blank_of(core.outlines, core.ends, asked.cores.caps)
    density = asked.cores.density * 1e-9
    low, high = (abs(section.buttock_line) for section in core.ends)
    skin = core.panel.area(low, high)
    note = (
        f"blank {blank.volume * density:.2f} kg, its ends {abs(blank.rise):.1f} deg (dihedral) and "
        f"{abs(blank.sweep):.1f} deg (sweep) off square; BL {low:.1f} to {high:.1f} mm"
    )
    if p.handoff is not None and p.handoff.laminate is not None:
        laminate = p.handoff.laminate
        note += f"; skin {skin * 1e-6 * areal_weight(laminate):.2f} kg: " + "; ".join(
            schedule(laminate)
        )
    return Item(
        core.name,
        "wing",
        core.cut.hand,
        f"foam, {asked.cores.density:g} kg/m3, hot-wire",
        blank.size,
        1,
        blank.core,
        blank.core * density,
        skin,
        tuple(sheet.name for sheet in _sheets(core)),
        note,
    )
