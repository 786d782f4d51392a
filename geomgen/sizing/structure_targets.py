"""Targets of the inside structure: frames, spars, ribs, fittings, room of controls and hands."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.limits import limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.records.structure.wing import RibRow, Spar

# How far a bond's gap may depart from what is stated, and a notch be tighter [mm]: own choice.
BOND, NOTCH = 0.2, 0.05
# How far a sheet's faces may be off their planes [mm]: own choice, far below any saw.
FACE = 0.01
FRAMING = Group(
    "FRAMES AND STRINGERS",
    "Geometry and bookkeeping, not strength: where frames stand, how thick they are and how they "
    "are bonded has to be designed and checked by someone qualified.",
)


@declared(
    FRAMING,
    {
        "frame.fit": "How far the gap between a frame's edge and the inner skin departs from its "
        "gap, in the worst place round the edge and through the thickness. Left out: what lies in "
        f"a stringer's notch. Limit: {BOND:g} mm (own choice)."
    },
)
def _fit(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "frame.fit.*", "how far the gap for the bond departs from what is stated", "at most", "mm",
        high=BOND, formula=f"frames.gap, {BOND:g} mm more or less",
        source="own choice: what a filled bond takes",
        advice="another station, tilt or gap; where the skin bends tightly no sheet fits well",
        if_any=not p.frames,
    )  # fmt: skip


@declared(
    FRAMING,
    {
        "frame.notch": "Least room between a frame and the stringers that pass it, beyond their "
        f"notch_clearance. Limit: -{NOTCH:g} mm, for outlines are "
        "measured that finely (own choice)."
    },
)
def _frame_notch(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "frame.notch.*", "room round stringers in their notches, beyond the stated clearance",
        "at least", "mm", low=-NOTCH, formula="stringers.notch_clearance", source="own choice",
        if_any=True, advice="more notch_clearance, or move the stringer",
    )  # fmt: skip


@declared(
    FRAMING,
    {
        "frame.sheet": "How far the faces of a frame's solid are off the two planes that station, "
        f"tilt and thickness of its table give. Limit: {FACE:g} mm (own choice)."
    },
)
def _sheet(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "frame.sheet.*", "how far the sheet's faces are off the planes stated for them", "at most",
        "mm", high=FACE, formula="frames.station, frames.tilt, frames.thickness",
        source="own choice", if_any=not p.frames,
    )  # fmt: skip


@declared(
    FRAMING,
    {
        "stringer.fit": "How far the gap of a stringer's corners at the inner skin departs from "
        "its gap, in the worst place along it; a stringer that stands out of the pod fails. "
        f"Limit: {BOND:g} mm (own choice)."
    },
)
def _stringer_fit(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "stringer.fit.*", "how far the gap for the bond departs from what is stated", "at most",
        "mm", high=BOND, formula=f"stringers.gap, {BOND:g} mm more or less",
        source="own choice: what a filled bond takes",
        advice="another place or a narrower strip; where the skin bends tightly none fits well",
        if_any=not p.stringers,
    )  # fmt: skip


FRAMES = (_sheet, _fit, _frame_notch, _stringer_fit)


SPARS = Group(
    "SPARS AND RIBS",
    "Geometry, nothing of strength: spars, ribs and their joints must be designed and checked by "
    "somebody qualified.",
)
CLEAR = "own choice: what lies against a spar chafes or is crushed by it"
INWARD = (
    "move it inward: {0}.skin is what its builder counts on; a cut-out of the {1}, such as that "
    "for a boom, has a skin, too"
)


def _tables(p: "Parameters") -> tuple[tuple[str, "Sequence[Spar | RibRow]"], ...]:
    return ("spar", p.spars), ("rib", p.ribs)


@declared(
    SPARS,
    {
        "spar.skin, rib.skin": "Least distance of a spar's pieces, or of a row of ribs, to the "
        "surface of what they stand in, measured inside it; less than nothing where a piece comes "
        "through. Where a joint cuts the wing, the cut counts as surface. Limit: skin of the row."
    },
)
def _skin(p: "Parameters") -> Iterator[Target]:
    for kind, rows in _tables(p):
        for i, row in enumerate(rows):
            yield Target(
                f"{kind}.skin.{row.name}", f"distance to the skin of the {row.of}, inside it",
                "at least", "mm", low=row.skin, formula=f"{kind}s.{i}.skin",
                source=f"{kind}s.{i}.skin of the parameter file",
                advice=INWARD.format(f"{kind}s.{i}", row.of),
            )  # fmt: skip


@declared(
    SPARS,
    {
        "spar.to_pilot, spar.to_engine": "Least distance of a spar to the pilot as he sits, and to "
        "the engine. Limit: positive, and rules.engine_clearance (own choice)."
    },
)
def _others(p: "Parameters") -> Iterator[Target]:
    for spar in p.spars:
        if p.pilot is not None:
            yield Target(
                f"spar.to_pilot.{spar.name}", "distance of the spar to the pilot", "more than",
                "mm", low=0.0, formula="positive clearance", source=CLEAR,
                advice="move the spar, or the seat",
            )  # fmt: skip
        if p.engine is not None:
            room = limit(p.rules.engine_clearance)
            yield Target(
                f"spar.to_engine.{spar.name}", "distance of the spar to the engine", "at least",
                "mm", low=room.value, formula="rules.engine_clearance", source=room.source,
            )  # fmt: skip


@declared(
    SPARS,
    {
        "rib.notch": "Least gap between a row of ribs and the spars that pass through its notches. "
        "Limit: notch_gap of the row; positive, whatever that says (own choice)."
    },
)
def _notch(p: "Parameters") -> Iterator[Target]:
    for i, row in enumerate(p.ribs):
        if any(spar.of == row.of for spar in p.spars):
            yield Target(
                f"rib.notch.{row.name}", "gap between ribs and spars",
                "at least" if row.notch_gap else "more than", "mm", low=row.notch_gap,
                formula=f"ribs.{i}.notch_gap", source=f"ribs.{i}.notch_gap of the parameter file",
                if_any=True,
            )  # fmt: skip


WING_STRUCTURE = (
    _skin,
    _others,
    _notch,
    to_read(
        SPARS,
        "spar.depth.*",
        "mm",
        "Least depth of wing, tailplane or fin between its skins along a spar, without a limit; "
        "the note tells it along the span, with how deep the spar is.",
    ),
)


FITTINGS = Group(
    "FITTINGS, CONTROLS AND ACCESS",
    "Geometry, nothing of strength: bolts, plates, what carries them and the controls must be "
    "designed and checked by somebody qualified. What is not in the file is not seen: nuts, tools, "
    "cables that sag, parts that bend; nor are controls measured against the pilot's limbs.",
)
JOINTS = Group(
    "WHERE THE OUTER WING COMES OFF",
    "Geometry, nothing of strength: plates, pins and what holds them must be designed and checked "
    "by somebody qualified. That plates lie on their web and on each other, and their edge "
    "distances, are told by structure.on_structure, .backed and .edge_distance.",
)
# How far holes may be off their pins [mm]: own choice, what is drilled through both at once keeps.
HOLE = 0.01
# How far a foot may stand off beyond its gap, and be sunk [mm]: own choice.
SUNK = 0.05
# Edge distances of bolts, in diameters.
LEAST_EDGE, USUAL_EDGE = 1.0, 2.0
# Share of a joint's plate that lies on something [1]: own choice.
LAPPED = 0.95


def _hands(name: str, mirrored: bool) -> tuple[str, ...]:
    return (f"{name}_right", f"{name}_left") if mirrored else (name,)


def _feet(p: "Parameters") -> Iterator[tuple[str, str, float, float, str]]:
    """Yield name, table, gap, least share backed and key of the holes' size of each foot."""
    for i, row in enumerate(p.fittings):
        for name in _hands(row.name, row.mirrored):
            yield name, f"fittings.{i}", row.gap, row.backed, "bolts.diameter"
    for i, spar in enumerate(p.spars):
        if (joint := spar.wing_joint) is not None:
            bare = joint.gap / (joint.plate_length + joint.overlap)
            yield (f"joint_plate_{spar.name}.*", f"spars.{i}.wing_joint", joint.plate_gap,
                   LAPPED - bare, "pin_diameter")  # fmt: skip


@declared(
    FITTINGS,
    {
        "structure.on_structure": "Distance of a fitting's plate to the nearest frame, spar, rib "
        "or firewall, of a joint's plate to its web or the plate under it; minus the depth where "
        f"it is sunk. Limit: its gap and {BOND:g} mm, sunk by at most {SUNK:g} mm (own choice)."
    },
)
def _on_structure(p: "Parameters") -> Iterator[Target]:
    for name, key, gap, _, _ in _feet(p):
        yield Target(
            f"structure.on_structure.{name}", "distance of the fitting to what carries it",
            "between", "mm", low=-SUNK, high=gap + BOND, formula=f"{key}, gap and {BOND:g} mm",
            source="own choice: what a filled bond takes",
            advice="move it onto what carries it: fittings.on puts it on a sheet",
        )  # fmt: skip


@declared(
    FITTINGS,
    {
        "structure.backed": "Share of the foot of a fitting, or of a joint's plate, that has "
        f"structure under it, no farther off than its gap and {BOND:g} mm. Limit: backed of the "
        f"fitting; {LAPPED:g} of a joint's plate, less the gap of the joint (own choice)."
    },
)
def _backed(p: "Parameters") -> Iterator[Target]:
    for name, key, _, backed, _ in _feet(p):
        yield Target(
            f"structure.backed.{name}", "share of the foot with structure under it", "at least",
            "1", low=backed, formula=f"{key}, backed", source="the parameter file; own choice",
            advice="move or turn it, move the opening under it, or let it overhang on purpose: "
            "fittings.backed",
        )  # fmt: skip


@declared(
    FITTINGS,
    {
        "structure.edge_distance": "Least distance from the middle of a bolt, or a joint's pin, to "
        "the edge of its plate, and to the edge or an opening of what is under it, in diameters of "
        f"its hole. Limit: {LEAST_EDGE:g} (own choice: below it no washer is carried); it warns "
        f"below {USUAL_EDGE:g} (common practice)."
    },
)
def _edge_distance(p: "Parameters") -> Iterator[Target]:
    for name, key, _, _, size in _feet(p):
        yield Target(
            f"structure.edge_distance.{name}", "distance from bolts or pins to edges, in diameters",
            "at least", "1", low=LEAST_EDGE, wanted=USUAL_EDGE, formula=f"{key}.{size}",
            source=f"own choice; {USUAL_EDGE:g} diameters: common practice",
            advice=f"a larger plate, smaller bolts or pins, or less pitch: {key}",
        )  # fmt: skip


@declared(
    FITTINGS,
    {
        "controls.room": "Least distance of any part to the box that a control sweeps, or to a run "
        "of pushrod or cable, which may pass openings that are in the file; minus the depth. Not "
        "measured against what its through names. Limit: controls.clearance (own choice when left "
        "out)."
    },
)
def _control_room(p: "Parameters") -> Iterator[Target]:
    if p.controls is None:
        return
    boxes = [(box.name, box.mirrored) for box in p.controls.boxes]
    for row in (*boxes, *((run.name, run.mirrored) for run in p.controls.runs)):
        for name in _hands(*row):
            yield Target(
                f"controls.room.{name}", "distance of parts to the room of a control", "at least",
                "mm", low=p.controls.clearance, formula="controls.clearance",
                source="controls.clearance of the parameter file",
                advice="move the control or the part, or give the part an opening there",
            )  # fmt: skip


@declared(
    FITTINGS,
    {
        "access.hand": "Widest ball that passes along the straight way of a hand, from where it "
        "starts to the place; the way must lead through an opening of the sheet that its through "
        "names. Limit: hand of the row."
    },
)
def _access(p: "Parameters") -> Iterator[Target]:
    for i, row in enumerate(p.access):
        yield Target(
            f"access.hand.{row.name}", "widest hand that gets there", "at least", "mm",
            low=row.hand, formula=f"access.{i}.hand",
            source=f"access.{i}.hand of the parameter file",
            advice="a larger opening, another way, or what stands in it moved aside",
            shut="the way does not lead through the opening",
        )  # fmt: skip


@declared(
    FITTINGS,
    {
        "assembly.order": "With [assembly]: parts that can't be put in along a straight way, with "
        "the parts before them in place. Looked for backwards, along the axes and square to "
        "sheets that lean; touching by 0.25 mm or less does not bar, nor does the edge of a sheet "
        "as thin as that. The note tells the order, from which side each part comes, what bars "
        "one. The pod's skin counts as two halves, parted at assembly.pod_split; what stands "
        "inside the wing is laid into it, and what is not drawn bars nothing. Limit: none but "
        "those in assembly.built_in_place (own choice)."
    },
)
def _order(p: "Parameters") -> Iterator[Target]:
    if p.assembly is not None:
        yield Target(
            "assembly.order", "parts that no straight way leads to their place", "at most", "1",
            high=0.0, formula="assembly.order, assembly.built_in_place",
            source="own choice: what can't be put in can't be built",
            advice="another assembly.order or pod_split, a larger opening, a part in two pieces; "
            "what is bent in or built round others stands in assembly.built_in_place",
        )  # fmt: skip


@declared(
    JOINTS,
    {
        "joint.holes": "How far the middle of a hole, of a plate or a web, is off that of the "
        f"pin in it. Limit: {HOLE:g} mm (own choice).",
        "joint.pin_room": "Least room of a pin in its holes, all round. Limit: half of "
        f"pin_clearance, less {HOLE:g} mm (own choice).",
        "joint.slides_off": "What bars the outer half, with all that stands outward of the "
        "joint, from sliding off straight along the spar, pins drawn. Limit: nothing. The skin, "
        "which is parted there, is not counted.",
        "joint.pins_out": "Pins that can be drawn straight neither forward nor aft. Limit: "
        "none. The note tells which way, what bars, and where a pin leaves the skin, which needs "
        "an opening there that is not drawn.",
    },
)
def _wing_joints(p: "Parameters") -> Iterator[Target]:
    named = (
        (f"{spar.name}_{hand}", f"spars.{i}.wing_joint", spar.wing_joint.pin_clearance)
        for i, spar in enumerate(p.spars) if spar.wing_joint for hand in ("right", "left")
    )  # fmt: skip
    for name, key, clearance in named:
        said, least = f"{key}.pin_clearance", max(clearance / 2 - HOLE, 0.0)
        for id_, what, unit, low, high, formula, advice in (
            ("holes", "middle of a hole off that of its pin", "mm", None, HOLE, key, ""),
            ("pin_room", "room of a pin in its hole", "mm", least, None, said, ""),
            ("slides_off", "what bars the outer half", "1", None, 0.0, key,
             "move or part what bars it; a spar that runs across ends there and a further one "
             "begins beyond, or has a wing_joint there, too"),
            ("pins_out", "pins that can't be drawn", "1", None, 0.0, key,
             "move the joint or the part that bars, or shorten pin_ends"),
        ):  # fmt: skip
            yield Target(
                f"joint.{id_}.{name}", what, "at most" if low is None else "at least", unit,
                low=low, high=high, formula=formula, source="own choice", advice=advice,
            )  # fmt: skip


@declared(
    JOINTS,
    {
        "joint.plate_skin, joint.pin_skin": "Least distance of a joint's plates, or pins, to the "
        "surface of what they stand in, inside it. Limit: skin of the spar."
    },
)
def _joint_skin(p: "Parameters") -> Iterator[Target]:
    for i, spar in enumerate(p.spars):
        for kind in ("plate", "pin") if spar.wing_joint else ():
            yield Target(
                f"joint.{kind}_skin.{spar.name}", f"distance to the skin of the {spar.of}, inside",
                "at least", "mm", low=spar.skin, formula=f"spars.{i}.skin",
                source=f"spars.{i}.skin of the parameter file",
                advice="less plate_depth, fewer layers, less pin_ends, or the other side",
            )  # fmt: skip


WING_JOINTS = (_wing_joints, _joint_skin)
ATTACHMENTS = (_on_structure, _backed, _edge_distance, _control_room, _access, _order)
