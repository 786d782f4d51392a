"""Targets of the pod's inside structure: that frames fit the skin, and stringers their notches."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

# How far a bond's gap may depart from what is stated, and a notch be tighter [mm]: own choice.
BOND, NOTCH = 0.2, 0.05
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
def _notch(p: "Parameters") -> Iterator[Target]:
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


FRAMES = (_fit, _notch)
