"""Targets of the inside structure: frames, spars, ribs, fittings, room of controls and hands."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.records.structure.wing import RibRow, Spar

# How far a bond's gap may depart from what is stated, a notch be tighter, ends nearer [mm]: own
# choice.
BOND, NOTCH, NEARER = 0.2, 0.05, 0.05
ELSEWHERE = "end it elsewhere: another top or bottom, or under, over"
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
        f"a stringer's notch, and straight ends. Limit: {BOND:g} mm (own choice)."
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
        "tilt and thickness of its table give, and straight ends off theirs. Limit: "
        f"{FACE:g} mm (own choice)."
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


@declared(
    FRAMING,
    {
        "frame.ends, frame.skin_beyond": "Of a half frame the least distance to the wing, what "
        "stands in it, and the canopy; how far the pod's skin goes on past its ends, less than "
        f"nothing where it ends short of them. Limit: end_gap less {NEARER:g} mm; positive (own "
        "choice)."
    },
)
def _ends(p: "Parameters") -> Iterator[Target]:
    from geomgen.parameters.records.structure.framing import frame_parts, is_half

    halves = [(i, frame) for i, frame in enumerate(p.frames) if is_half(frame)]
    for part, i, gap in ((part, i, f.end_gap) for i, f in halves for part in frame_parts(f)):
        yield Target(
            f"frame.ends.{part}", "distance of a half frame to wing, spars and canopy", "at least",
            "mm", low=gap - NEARER, formula=f"frames.{i}.end_gap, {NEARER:g} mm less",
            source="the parameter file; own choice", advice=ELSEWHERE, if_any=True,
        )  # fmt: skip
    yield Target(
        "frame.skin_beyond.*", "how far the skin goes on past its ends", "more than", "mm", low=0.0,
        formula="skin along all of its edge", source="own choice: no bond without skin",
        advice=ELSEWHERE, if_any=not halves,
    )  # fmt: skip


FRAMES = (_sheet, _fit, _frame_notch, _ends, _stringer_fit)


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


ATTACHMENTS = (_on_structure, _backed, _edge_distance, _control_room)
