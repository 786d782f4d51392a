"""Targets of joints where the outer wing comes off."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

JOINTS = Group(
    "WHERE THE OUTER WING COMES OFF",
    "Geometry, nothing of strength: plates, pins and what holds them must be designed and checked "
    "by somebody qualified. That plates lie on their web and on each other, and their edge "
    "distances, are told by structure.on_structure, .backed and .edge_distance.",
)
# How far holes may be off their pins [mm]: own choice, what is drilled through both at once keeps.
HOLE = 0.01
# How far the gap of the skin may be less than stated [mm]: own choice.
SLIT = 0.01
# What warns alone: hands and tools may get there another way.
REACH = ("nut_room", "pin_access")


@declared(
    JOINTS,
    {
        "joint.holes": "How far the middle of a hole, of a plate or a web, is off that of the "
        f"pin in it. Limit: {HOLE:g} mm (own choice).",
        "joint.pin_room": "Least room of a pin in its holes, all round. Limit: half of "
        f"pin_clearance, less {HOLE:g} mm (own choice).",
        "joint.slides_off": "What bars the outer half, with all that stands outward of the "
        "joint, from sliding off straight along the spar, pins drawn. Limit: nothing. The outer "
        "part of the skin goes with it, and must pass all but what stands inside its own wing.",
        "joint.skin_gap": "Least gap between the inner and the outer part of the skin, measured "
        "on the solids; 0 where one runs across the joint. Limit: skin_gap, gap where that is left "
        f"out, less {SLIT:g} mm (own choice).",
        "joint.pins_out": "Pins that can be drawn straight neither forward nor aft. Limit: "
        "none. The note tells which way, what bars, and where a pin leaves the skin.",
        "joint.nut_room": "Ends of pins that no socket of socket_diameter gets straight onto over "
        "socket_length: past all parts but the skin, and of its own spar from outside, so that "
        "what is shut up in a box is told. Limit: none (own choice); warns.",
        "joint.pin_access": "Pins that can be drawn, but through no opening in the skin that they "
        "and a socket of socket_diameter get out through. Limit: none (own choice); warns. An "
        "opening from below or above, and what is reached by a lid, is not drawn.",
    },
)
def _wing_joints(p: "Parameters") -> Iterator[Target]:
    from geomgen.parameters.records.structure.wing import skin_gap_of

    named = (
        (f"{spar.name}_{hand}", f"spars.{i}.wing_joint", spar.wing_joint)
        for i, spar in enumerate(p.spars) if spar.wing_joint for hand in ("right", "left")
    )  # fmt: skip
    for name, key, joint in named:
        said, least = f"{key}.pin_clearance", max(joint.pin_clearance / 2 - HOLE, 0.0)
        for id_, what, unit, low, high, formula, advice in (
            ("holes", "middle of a hole off that of its pin", "mm", None, HOLE, key, ""),
            ("pin_room", "room of a pin in its hole", "mm", least, None, said, ""),
            ("slides_off", "what bars the outer half", "1", None, 0.0, key,
             "move or part what bars it; a spar that runs across ends there and a further one "
             "begins beyond, or has a wing_joint there, too"),
            ("skin_gap", "gap of the skin where the outer part comes off", "mm",
             skin_gap_of(joint) - SLIT, None, f"{key}.skin_gap", ""),
            ("pins_out", "pins that can't be drawn", "1", None, 0.0, key,
             "move the joint or the part that bars, or shorten pin_ends"),
            ("nut_room", "ends of pins whose nuts no socket gets onto", "1", None, 0.0, key,
             "plates on both faces (side), a C spar there, or of a box nut_hole in its other web, "
             "as wide as the socket"),
            ("pin_access", "pins behind a skin without an opening", "1", None, 0.0, key,
             "access_hole as wide as the socket, on the side that the pins come out; or open the "
             "skin by hand and count this warning as seen"),
        ):  # fmt: skip
            yield Target(
                f"joint.{id_}.{name}", what, "at most" if low is None else "at least", unit,
                low=low, high=high, formula=formula, source="own choice", advice=advice,
                severity="warn" if id_ in REACH else "fail",
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
