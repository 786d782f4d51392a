"""Targets of the pilot: room round him, what is behind him, what he sees."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

PILOT = Group(
    "PILOT",
    "Only where the file has a [pilot]. He is rods with round ends, his joints worked out from his "
    "lengths; head, chest, hands and thickness of the arms are the same for all (from memory, own "
    "choice). The head is looked at upright and leant back. Where he is outside the pod or inside "
    "a part the figure is negative. Not seen: seat, panel, stick and pedals, harness, how he gets "
    "in and out, and that no two people of one height are alike: sit in a mock-up.",
)
SIGHT = Group(
    "SIGHT",
    "Only where the file has a [pilot], and of the glass a [canopy]. Angles from a point between "
    "the eyes, head still, waterlines level. Not seen: panel, knees, frames of the canopy. The "
    "report has a picture of it.",
)
GLAZING = Group(
    "CANOPY",
    'Only where [canopy] says built_as = "glazing". Not seen: frame, hinges, latches, whether the '
    "joint is sealed or the sheet strong enough. It hangs on the pod and holds no other part.",
)
TO_READ = "Limit: none, to be read, but your own, which warns, in "
COMPARE = (
    "For comparison: MIL-STD-850B asks 35 deg of military transports, 70 to 110 deg from ahead "
    "(read in a table made from it, not in the standard)."
)
UNJUDGED = "to be read: 14 CFR 23.773, before Amdt 23-64, asks for an extensive view in words only"
# The id after `sight.`, what it is, what to change.
ROUND = (
    (
        "side",
        "angle below the horizon seen to the side",
        "lower fore_sill or aft_sill of [canopy], or raise the seat",
    ),
    (
        "up",
        "angle above the horizon seen straight ahead",
        "move what bars it, or the seat forward, or canopy.fore_station forward",
    ),
    (
        "into_turn",
        "bank up to which the horizon is seen into a turn",
        "move the seat ahead of the wing, or lower fore_sill or aft_sill of [canopy]",
    ),
)
LOOK = "seat_station, seat_waterline, seat_back_angle, or the pod's stations, or move what is named"
# The id, what it is, its rule, what to change.
ROOMS = (
    ("head_room", "room round the pilot's head", "head_room", LOOK),
    ("shoulder_room", "room round shoulders and arms", "shoulder_room", LOOK),
    ("seat_room", "room round trunk, hips and thighs", "seat_room", LOOK),
    ("knee_room", "room round knees and shanks", "knee_room", f"pedal_station, {LOOK}"),
    ("foot_room", "room round the feet", "foot_room", f"pedal_station, pedal_waterline, {LOOK}"),
    ("behind", "room from head and back to firewall and engine", "room_behind", LOOK),
    (
        "to_propeller",
        "room from the stretched arms to the swept volume",
        "reach_to_propeller",
        "seat_station, or where the propeller stands",
    ),
)


@declared(
    PILOT,
    {
        "pilot.head_room": "Least room round the head with its helmet (pilot.helmet) to the pod's "
        "inside and every part but the engine. Limit: your own, rules.head_room (own choice).",
        "pilot.shoulder_room": "The same of shoulders, upper arms and forearms, beyond pilot.room. "
        "Limit: rules.shoulder_room (own choice).",
        "pilot.seat_room": "The same of trunk, hips and thighs. Limit: rules.seat_room, 0 mm: "
        "what seat and cushion need is yours to add (own choice).",
        "pilot.knee_room": "The same of knees and shanks. Limit: rules.knee_room (own choice).",
        "pilot.foot_room": "The same of the feet on the pedals. Limit: rules.foot_room "
        "(own choice).",
        "pilot.behind": "Least room from head and back to firewall and engine; what is behind the "
        "firewall is negative. Limit: rules.room_behind (own choice).",
        "pilot.to_propeller": "Least room from what the stretched arms sweep about the shoulders, "
        "head and feet to the swept volume, as if no wall stood between. Limit: "
        "rules.reach_to_propeller (own choice).",
    },
)
def _rooms(p: "Parameters") -> Iterator[Target]:
    if p.pilot is None:
        return
    from geomgen.parameters.records.pilot import said_of_lengths

    said = said_of_lengths(p.pilot)
    for name, what, key, change in ROOMS:
        least = limit(getattr(p.rules, key))
        yield Target(
            f"pilot.{name}",
            what,
            "at least",
            "mm",
            low=least.value,
            formula=f"rules.{key}",
            source=f"{least.source}; {said}",
            advice=f"change in [pilot] {change}",
        )


@declared(
    SIGHT,
    {
        "sight.over_nose": "Angle below the horizon that is seen straight ahead over the pod's "
        "nose: in level flight (waterlines level), in the climb where flight.climb_pitch is "
        "written, and standing with a nosewheel. What lies above the sill of [canopy] is glass; "
        "without one the pod bars the sight as drawn, and that warns. Limit: "
        "rules.sight_over_nose; less warns (own choice). In the climb and on all wheels of a "
        "tailwheel machine it is only to be read: many show nothing straight ahead.",
    },
)
def _over_nose(p: "Parameters") -> Iterator[Target]:
    if p.pilot is None:
        return
    from geomgen.parameters.records.pilot import said_of_lengths

    least = limit(p.rules.sight_over_nose)
    yield Target(
        "sight.over_nose.*",
        "angle below the horizon seen over the nose",
        "at least",
        "deg",
        low=least.value,
        formula="rules.sight_over_nose",
        source=f"{least.source}; {said_of_lengths(p.pilot)}",
        severity="warn",
        advice="raise the seat, lower the pod's crown ahead of it, or move canopy.fore_station "
        "forward"
        if p.canopy
        else "describe the glazed part in [canopy]",
    )
    for name, words in (("tail_down", "standing"), ("climb", "in the climb")):
        yield Target(
            f"sight.over_nose.{name}",
            f"angle below the horizon seen over the nose, {words}",
            "none",
            "deg",
            severity="info",
        )


@declared(
    SIGHT,
    {
        "sight.side": "Angle below the horizon that is seen to the side, square to the flight "
        "path, past pod, wing, legs and all else: the lesser of both sides. "
        + TO_READ
        + "rules.sight_side. "
        + COMPARE,
        "sight.up": "Angle above the horizon that is seen straight ahead, under or ahead of the "
        "wing: where climbing traffic comes from. 90 deg where nothing is above. "
        + TO_READ
        + "rules.sight_up.",
        "sight.into_turn": "Bank up to which the horizon stays in sight on the inside of a turn, "
        "from straight ahead to square to the side: what a wing hides just where the turn leads. "
        "The lesser of both sides; 0 deg where the horizon is hidden already in level flight, "
        "90 deg where nothing hides it. What stands behind the beam does not count: the picture "
        "shows it. " + TO_READ + "rules.sight_into_turn.",
    },
)
def _round(p: "Parameters") -> Iterator[Target]:
    if p.pilot is None:
        return
    from geomgen.parameters.records.pilot import said_of_lengths

    for name, what, change in ROUND:
        own = getattr(p.rules, f"sight_{name}")
        least = limit(own) if own else None
        yield Target(
            f"sight.{name}",
            what,
            "at least" if least else "none",
            "deg",
            low=least.value if least else None,
            formula=f"rules.sight_{name}" if least else "",
            source=f"{least.source if least else UNJUDGED}; {said_of_lengths(p.pilot)}",
            severity="warn" if least else "info",
            advice=change if p.canopy else "describe the glazed part in [canopy]",
        )


@declared(
    SIGHT,
    {
        "canopy.flat_wrap": "Strain that is left when the glazed part is laid flat, as a fraction: "
        "none where it bends about one axis. Needs [canopy]. Limit: none, to be read, but your "
        "own in rules.flat_wrap, which warns: by how much your sheet may be stretched or pressed, "
        "cold or warm. More has to be blown or moulded."
    },
)
def _flat_wrap(p: "Parameters") -> Iterator[Target]:
    if p.canopy is None:
        return
    own = p.rules.flat_wrap
    most = limit(own) if own else None
    yield Target(
        "canopy.flat_wrap",
        "strain of the glazed part when it is laid flat",
        "at most" if most else "none",
        "1",
        high=most.value if most else None,
        formula="rules.flat_wrap" if most else "",
        source=most.source if most else "",
        severity="warn" if most else "info",
        advice="straighten crown or breadth line along the glass, shorten it, or have it blown",
    )


# How far a built canopy may be off what the file asks [mm], or of its thickness [1]: own choice,
# less than a sheet or a saw is.
AS_ASKED, SHARE = 0.1, 0.03


@declared(
    GLAZING,
    {
        "canopy.gap": "Least and widest gap of the joint all round, from the canopy's edges to the "
        f"pod, measured on the two solids. Limit: canopy.gap, {AS_ASKED:g} mm more or less (own "
        "choice).",
        "canopy.thickness": f"Thickness of the glazing. Limit: canopy.thickness, {AS_ASKED:g} mm "
        "or 3 % of it more or less, whichever is more (own choice).",
        "canopy.area": "Area of the glazing, in the middle of its thickness. No limit, to be read: "
        "what you buy is more.",
    },
)
def _glazing(p: "Parameters") -> Iterator[Target]:
    from geomgen.parameters.records.pilot import GLAZED

    c = p.canopy
    if c is None or c.built_as != GLAZED or c.thickness is None:
        return
    give = max(AS_ASKED, SHARE * c.thickness)
    rows = (
        ("gap.*", "gap between canopy and pod", c.gap, AS_ASKED, "fore_station, aft_station"),
        ("thickness", "thickness of the glazing", c.thickness, give, "thickness"),
    )
    for name, what, asked, off, keys in rows:
        yield Target(
            f"canopy.{name}",
            what,
            "between",
            "mm",
            low=asked - off,
            high=asked + off,
            formula=f"canopy.{name.removesuffix('.*')} +- {off:g} mm",
            source="own choice: as the file asks",
            advice=f"change in [canopy] {keys}, fore_sill or aft_sill",
        )
    yield Target("canopy.area", "area of the glazing", "none", "mm2", severity="info")


PILOT_CHECKS = (_rooms, _over_nose, _round, _flat_wrap, _glazing)
