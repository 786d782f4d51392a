"""Targets of the inside structure: frames in the pod, spars and ribs in wing and tail."""

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
        "frame.fit.*",
        "how far the gap for the bond departs from what is stated",
        "at most",
        "mm",
        high=BOND,
        formula=f"frames.gap, {BOND:g} mm more or less",
        source="own choice: what a filled bond takes",
        advice="another station, tilt or gap; where the skin bends tightly no sheet fits well",
        if_any=not p.frames,
    )


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
        "frame.notch.*",
        "room round stringers in their notches, beyond the stated clearance",
        "at least",
        "mm",
        low=-NOTCH,
        formula="stringers.notch_clearance",
        source="own choice",
        if_any=True,
        advice="more notch_clearance, or move the stringer",
    )


@declared(
    FRAMING,
    {
        "frame.sheet": "How far the faces of a frame's solid are off the two planes that station, "
        f"tilt and thickness of its table give. Limit: {FACE:g} mm (own choice)."
    },
)
def _sheet(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "frame.sheet.*",
        "how far the sheet's faces are off the planes stated for them",
        "at most",
        "mm",
        high=FACE,
        formula="frames.station, frames.tilt, frames.thickness",
        source="own choice",
        if_any=not p.frames,
    )


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
        "stringer.fit.*",
        "how far the gap for the bond departs from what is stated",
        "at most",
        "mm",
        high=BOND,
        formula=f"stringers.gap, {BOND:g} mm more or less",
        source="own choice: what a filled bond takes",
        advice="another place or a narrower strip; where the skin bends tightly none fits well",
        if_any=not p.stringers,
    )


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
                f"{kind}.skin.{row.name}",
                f"distance to the skin of the {row.of}, inside it",
                "at least",
                "mm",
                low=row.skin,
                formula=f"{kind}s.{i}.skin",
                source=f"{kind}s.{i}.skin of the parameter file",
                advice=INWARD.format(f"{kind}s.{i}", row.of),
            )


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
                f"spar.to_pilot.{spar.name}",
                "distance of the spar to the pilot",
                "more than",
                "mm",
                low=0.0,
                formula="positive clearance",
                source=CLEAR,
                advice="move the spar, or the seat",
            )
        if p.engine is not None:
            room = limit(p.rules.engine_clearance)
            yield Target(
                f"spar.to_engine.{spar.name}",
                "distance of the spar to the engine",
                "at least",
                "mm",
                low=room.value,
                formula="rules.engine_clearance",
                source=room.source,
            )


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
                f"rib.notch.{row.name}",
                "gap between ribs and spars",
                "at least" if row.notch_gap else "more than",
                "mm",
                low=row.notch_gap,
                formula=f"ribs.{i}.notch_gap",
                source=f"ribs.{i}.notch_gap of the parameter file",
                if_any=True,
            )


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
