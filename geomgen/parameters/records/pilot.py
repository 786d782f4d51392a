"""Records of the pilot as he sits, and of the canopy that he looks through."""

from types import SimpleNamespace
from typing import Annotated, cast

from pydantic import Field

from geomgen.parameters.values.materials import GLAZING
from geomgen.parameters.values.place_values import ButtockLine, Station, Waterline
from geomgen.parameters.values.quantities import OneOf, Record, Within, stated

# British adults, 19 to 65 years [mm]: 5th, 50th and 95th of a hundred, men and then women. Read in
# the tables of "Online Anthropometry" (City University of Hong Kong, chapter 2, dimensions 8, 10,
# 12, 15, 17, 19, 22, 23); what `FROM_MEMORY` names could not be read there and is from MEMORY.
SURVEY: dict[str, tuple[tuple[float, float, float], tuple[float, float, float]]] = {
    "sitting_height": ((850.0, 910.0, 965.0), (795.0, 850.0, 910.0)),
    "eye_height": ((735.0, 790.0, 845.0), (685.0, 740.0, 795.0)),
    "shoulder_height": ((540.0, 595.0, 645.0), (505.0, 555.0, 610.0)),
    "shoulder_breadth": ((420.0, 465.0, 510.0), (355.0, 395.0, 435.0)),
    "hip_breadth": ((310.0, 360.0, 405.0), (310.0, 370.0, 435.0)),
    "thigh_thickness": ((135.0, 160.0, 185.0), (125.0, 155.0, 180.0)),
    "buttock_to_knee": ((540.0, 595.0, 645.0), (520.0, 570.0, 620.0)),
    "knee_height": ((490.0, 545.0, 595.0), (455.0, 500.0, 540.0)),
    "upper_arm": ((330.0, 365.0, 395.0), (300.0, 330.0, 360.0)),
    "forearm_reach": ((440.0, 475.0, 510.0), (400.0, 430.0, 460.0)),
    "foot_length": ((240.0, 265.0, 285.0), (215.0, 235.0, 255.0)),
}
FROM_MEMORY = {
    "man": ("eye_height", "buttock_to_knee", "foot_length"),
    "woman": (
        *("sitting_height", "eye_height", "shoulder_height", "thigh_thickness"),
        *("buttock_to_knee", "knee_height", "forearm_reach", "foot_length"),
    ),
}
RANKS = ("5th", "50th", "95th")
PERCENTILES = tuple(f"{rank} {who}" for rank in RANKS for who in ("man", "woman"))
OR_SURVEY = "; that of pilot.percentile when left out"
LINE, OPENING, GLAZED = "line", "opening", "glazing"
BUILT_AS = (LINE, OPENING, GLAZED)


class Pilot(Record):
    """The pilot: lengths as he sits upright, where the seat is, where his hands and feet are."""

    percentile: Annotated[str, OneOf(PERCENTILES)] | None = stated(
        None,
        "whose lengths are taken where none is written: 5th, 50th or 95th of a hundred British "
        "men or women of 19 to 65 years, some of them from memory. Nobody is the 50th in every "
        "length: measure yourself",
    )
    percentiles: Annotated[tuple[Annotated[str, OneOf(PERCENTILES)], ...], Field(max_length=5)] = (
        stated(
            (),
            "others who fly it too, in the same seat, said as in pilot.percentile: room and sight "
            "are looked at for each of them as well, and the least counts",
        )
    )
    sitting_height: Annotated[float, Within("length", "0.6 m", "1.2 m")] | None = stated(
        None, f"seat to crown of the head, sitting upright{OR_SURVEY}"
    )
    eye_height: Annotated[float, Within("length", "0.5 m", "1.1 m")] | None = stated(
        None, f"seat to corner of the eye, sitting upright{OR_SURVEY}"
    )
    shoulder_height: Annotated[float, Within("length", "0.4 m", "0.9 m")] | None = stated(
        None, f"seat to the bony point of the shoulder, sitting upright{OR_SURVEY}"
    )
    shoulder_breadth: Annotated[float, Within("length", "0.25 m", "0.8 m")] | None = stated(
        None, f"breadth over the upper arms{OR_SURVEY}"
    )
    hip_breadth: Annotated[float, Within("length", "0.22 m", "0.8 m")] | None = stated(
        None, f"breadth of the hips, sitting{OR_SURVEY}"
    )
    thigh_thickness: Annotated[float, Within("length", "80 mm", "200 mm")] | None = stated(
        None, f"seat to top of the thigh at its thickest{OR_SURVEY}"
    )
    buttock_to_knee: Annotated[float, Within("length", "0.4 m", "0.9 m")] | None = stated(
        None, f"back of the buttocks to front of the knee, sitting{OR_SURVEY}"
    )
    knee_height: Annotated[float, Within("length", "0.35 m", "0.8 m")] | None = stated(
        None, f"floor to top of the knee, sitting, with the shoes that you fly in{OR_SURVEY}"
    )
    upper_arm: Annotated[float, Within("length", "0.22 m", "0.55 m")] | None = stated(
        None, f"bony point of the shoulder to underside of the bent elbow{OR_SURVEY}"
    )
    forearm_reach: Annotated[float, Within("length", "0.3 m", "0.65 m")] | None = stated(
        None, f"back of the bent elbow to the finger tips{OR_SURVEY}"
    )
    foot_length: Annotated[float, Within("length", "0.18 m", "0.4 m")] | None = stated(
        None, f"heel to tip of the longest toe, or of the shoe{OR_SURVEY}"
    )
    helmet: Annotated[float, Within("length", "0 mm", "80 mm")] = stated(
        "35 mm",
        "added all round the head; the default is that of a safety helmet in the same tables, "
        "write 0 mm for a bare head",
    )
    room: Annotated[float, Within("length", "0 mm", "100 mm")] = stated(
        "10 mm",
        "added all round trunk, arms, legs and feet: clothes, harness, room to move; the default "
        "is our own choice",
    )
    seat_station: Annotated[float, Station] = Field(
        description="station (STA) of the line in which top of the seat and front of its back "
        "meet, cushions pressed down by the pilot"
    )
    seat_waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of that line: what he sits on, cushion pressed down"
    )
    seat_back_angle: Annotated[float, Within("angle", "0 deg", "70 deg")] = stated(
        "20 deg", "lean of the seat's back from upright, top aft; the default is our own choice"
    )
    hand_station: Annotated[float, Station] = Field(
        description="station (STA) of the fist on the stick"
    )
    hand_waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the fist on the stick"
    )
    hand_buttock_line: Annotated[float, ButtockLine] = stated(
        "0 mm", "buttock line (BL) of the right fist; the left one is its mirror"
    )
    pedal_station: Annotated[float, Station] = Field(
        description="station (STA) of the pedals, where the ball of the foot presses"
    )
    pedal_waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the pedals, where the ball of the foot presses"
    )
    pedal_buttock_line: Annotated[float, ButtockLine] = stated(
        "100 mm", "buttock line (BL) of the right pedal; the left one is its mirror"
    )


class Canopy(Record):
    """The glazed part of the pod: what lies above the sill line between two stations."""

    fore_station: Annotated[float, Station] = Field(
        description="station (STA) where the glass begins"
    )
    aft_station: Annotated[float, Station] = Field(description="station (STA) where the glass ends")
    fore_sill: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the sill at the fore end; straight from there to the aft end"
    )
    aft_sill: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the sill at the aft end"
    )
    built_as: Annotated[str, OneOf(BUILT_AS)] = stated(
        LINE,
        "line: the sill is only drawn on the pod; opening: the pod is cut out above it; glazing: "
        "cut out, and the canopy is a part of its own. Plugs, moulds and foam keep the whole "
        "outside in all three",
    )
    thickness: Annotated[float, Within("length", "0.5 mm", "20 mm")] | None = stated(
        None, "thickness of the glazing, inward from the pod's outside; needed for glazing alone"
    )
    gap: Annotated[float, Within("length", "0.3 mm", "20 mm")] = stated(
        "2 mm",
        "joint gap all round between glazing and pod, for sealant and for the sheet to grow when "
        "warm; the default is our own choice",
    )
    material: Annotated[str, OneOf(GLAZING)] | None = stated(
        None,
        "what the glazing is of; its usual density gives the mass where no row of [[mass]] names "
        "the canopy; an item that weighs the sheet too counts it twice; needed for glazing alone",
    )


def length_of(pilot: Pilot, key: str) -> float | None:
    """Return a length [mm] as written, else that of the percentile; None where neither is there.

    >>> from types import SimpleNamespace
    >>> short = SimpleNamespace(percentile="5th woman", sitting_height=None, eye_height=700.0)
    >>> length_of(short, "sitting_height"), length_of(short, "eye_height")
    (795.0, 700.0)
    """
    written: float | None = getattr(pilot, key)
    if written is not None or pilot.percentile is None:
        return written
    rank, who = pilot.percentile.split()
    return SURVEY[key][("man", "woman").index(who)][RANKS.index(rank)]


def sitters(pilot: Pilot) -> list[tuple[str, Pilot]]:
    """Return all who are seated: whose words, and the pilot with the lengths; the file's first.

    >>> from types import SimpleNamespace
    >>> sitters(SimpleNamespace(percentiles=()))[0][0]
    ''
    """
    if not pilot.percentiles:
        return [("", pilot)]
    # Asked one by one, for a builder's view of the records hands on values, not methods.
    seat = {name: None if name in SURVEY else getattr(pilot, name) for name in Pilot.model_fields}
    others = [SimpleNamespace(**(seat | {"percentile": who})) for who in pilot.percentiles]
    return [("", pilot), *((f" of the {one.percentile}", cast(Pilot, one)) for one in others)]


def said_of_lengths(pilot: Pilot) -> str:
    """Return where all pilots' lengths come from, and which of them are from memory."""
    said = _said_of_one(pilot)
    if not pilot.percentiles:
        return said
    unread = [f"{who}: {', '.join(FROM_MEMORY[who.split()[1]])}" for who in pilot.percentiles]
    others = ", the ".join(pilot.percentiles)
    return f"{said}; also the {others}, from memory: of the {'; '.join(unread)}"


def _said_of_one(pilot: Pilot) -> str:
    """Return where the pilot's lengths come from, and which of them are from memory."""
    taken = [key for key in SURVEY if getattr(pilot, key) is None]
    if not taken or pilot.percentile is None:
        return "the pilot's lengths as the file gives them"
    unread = [key for key in taken if key in FROM_MEMORY[pilot.percentile.split()[1]]]
    words = f"lengths of the {pilot.percentile} (British adults, 19 to 65 years)"
    if unread:
        words += f", from memory: {', '.join(unread)}"
    return f"{words}; measure yourself"
