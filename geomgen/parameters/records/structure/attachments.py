"""Records of what is bolted on inside: fittings, room of controls, ways for a hand. No strength."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.structure.framing import Density, usual_density
from geomgen.parameters.values.materials import MATERIALS
from geomgen.parameters.values.place_values import Station, Waterline
from geomgen.parameters.values.quantities import (
    Count,
    Matching,
    OneOf,
    Record,
    Text,
    Within,
    YesNo,
    stated,
    worked_out,
)

NAME = Matching("[a-z0-9][a-z0-9-]{0,29}", "1 to 30 lower-case letters, digits and -")
SHEET_PART = Matching(
    "firewall|frame_[a-z0-9][a-z0-9_-]{0,39}", "firewall, or frame_ and the name of a frame"
)
POD = "pod"
INSIDE = (POD, "wing", "tailplane", "fin")
FORE, AFT = "fore", "aft"
SIDES = (FORE, AFT, "above", "below", "inboard", "outboard")
SKINS = ("pod", "wing", "boom", "tailplane", "fin", "pylon", "firewall")
EitherSide = Within("length", "-10 m", "10 m")
Size = Within("length", "5 mm", "2 m")


class BoltPattern(Record):
    """The bolts of a fitting, in columns and rows about the middle of its plate."""

    diameter: Annotated[float, Within("length", "2 mm", "30 mm")] = Field(
        description="diameter of the bolts and of their holes"
    )
    columns: Annotated[int, Count(1, 12)] = stated(2, "how many stand side by side, along width")
    rows: Annotated[int, Count(1, 12)] = stated(2, "how many stand in a column, along height")
    pitch: Annotated[float, Size] | None = stated(
        None, "from one bolt's middle to the next along width"
    )
    row_pitch: Annotated[float, Size] | None = stated(
        None, "from one bolt's middle to the next along height; as pitch when left out"
    )


class BoltedFitting(Record):
    """One fitting as a bolted plate: the place where it is fixed, not the lug that it carries."""

    name: Annotated[str, NAME] = Field(description="short name; it becomes part of file names")
    use: Annotated[str, Text(60)] = Field(
        description="what it is for: engine mount, boom, gear, seat, belt, control bracket"
    )
    inside: Annotated[str, OneOf(INSIDE)] = stated(
        POD, "what it stands inside: pod, wing, tailplane or fin"
    )
    on: Annotated[str, SHEET_PART] | None = stated(
        None, "firewall, or frame_ and a frame's name, on whose face its foot is put; station, "
        "tilt and sweep are left out then"
    )  # fmt: skip
    side: Annotated[str, OneOf(SIDES)] = Field(
        description="the side of what it is bolted to that it lies on: fore, aft, above, below, "
        "inboard or outboard; with on: fore or aft"
    )
    station: Annotated[float, Station] | None = stated(
        None, "station (STA) of the face that it is bolted to, in the middle of its foot"
    )
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of that middle, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of that middle")
    mirrored: Annotated[bool, YesNo()] = stated(False, "whether its mirror is on the other side")
    tilt: Annotated[float, Within("angle", "-60 deg", "60 deg")] = stated(
        "0 deg", "lean of what it is bolted to, as of a frame, positive: top aft"
    )
    sweep: Annotated[float, Within("angle", "-60 deg", "60 deg")] = stated(
        "0 deg", "sweep of what it is bolted to, as of a spar, positive: outer end aft"
    )
    width: Annotated[float, Size] = Field(
        description="width of its plate, left to right; inboard or outboard: fore and aft"
    )
    height: Annotated[float, Size] = Field(
        description="height of its plate; above or below: fore and aft"
    )
    thickness: Annotated[float, Within("length", "0.5 mm", "100 mm")] = Field(
        description="thickness of its plate"
    )
    gap: Annotated[float, Within("length", "0 mm", "1 mm")] = stated(
        "0.2 mm", "gap under its foot, for bond or sealant; a shim counts as plate"
    )
    backed: Annotated[float, Within("fraction", "0.05", "1")] = stated(
        0.95, "least share of its foot that must have structure under it; less for a plate that "
        "overhangs"
    )  # fmt: skip
    bolts: BoltPattern = Field(description="its bolts")
    material: Annotated[str, OneOf(tuple(MATERIALS))] = stated("steel", "what it is made of")
    density: Annotated[float, Density] = worked_out(
        usual_density, "density of it; the material's when left out"
    )


class WayPoint(Record):
    """One point of a straight way."""

    station: Annotated[float, Station] = Field(description="station (STA)")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL), right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL)")


class ControlBox(Record):
    """The box that a control takes up in all its positions: stick, pedals, levers. Not built."""

    name: Annotated[str, NAME] = Field(description="short name: stick, pedals, throttle")
    station: Annotated[float, Station] = Field(description="station (STA) of its front")
    length: Annotated[float, Size] = Field(description="length, fore and aft")
    width: Annotated[float, Size] = Field(description="width, left to right")
    height: Annotated[float, Size] = Field(description="height")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")
    mirrored: Annotated[bool, YesNo()] = stated(False, "whether its mirror is on the other side")


class ControlRun(Record):
    """A pushrod, tube or cable: straight from point to point. Not built."""

    name: Annotated[str, NAME] = Field(description="short name: aileron, elevator, rudder")
    diameter: Annotated[float, Within("length", "1 mm", "200 mm")] = Field(
        description="diameter that it needs, with how far it swings or sags"
    )
    points: Annotated[tuple[WayPoint, ...], Field(min_length=2, max_length=20)] = Field(
        description="its points in order, straight from one to the next"
    )
    mirrored: Annotated[bool, YesNo()] = stated(False, "whether its mirror is on the other side")
    through: tuple[Annotated[str, OneOf(SKINS)], ...] = stated(
        (), "parts that it passes through or runs inside and whose openings for it the file does "
        "not have; against these it is not measured"
    )  # fmt: skip


class ControlRoom(Record):
    """Room that the controls need: boxes that they sweep, straight runs, what keeps clear."""

    clearance: Annotated[float, Within("length", "0 mm", "200 mm")] = stated(
        "5 mm", "least distance of controls to every part (default: own choice)"
    )
    boxes: Annotated[tuple[ControlBox, ...], Field(max_length=20)] = stated(
        (), "boxes that stick, pedals and levers sweep"
    )
    runs: Annotated[tuple[ControlRun, ...], Field(max_length=20)] = stated(
        (), "pushrods and cables"
    )


class HandAccess(Record):
    """A place that a hand must reach along a straight way, through an opening."""

    name: Annotated[str, NAME] = Field(description="short name of the place: fuel-cock, mount-bolt")
    hand: Annotated[float, Within("length", "10 mm", "500 mm")] = stated(
        "100 mm",
        "diameter of the ball that hand and tool need (default: own choice)",
    )
    through: Annotated[str, SHEET_PART] | None = stated(
        None, "firewall, or frame_ and a frame's name, through whose opening the way must lead"
    )
    start: WayPoint = Field(description="where the hand's middle starts, outside")
    end: WayPoint = Field(description="where the hand's middle is at work, beside the place")
