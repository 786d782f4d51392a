"""Records of the landing gear: wheels, their legs, and what tyre and strut give way."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.body import Gap
from geomgen.parameters.records.engine_bay import SLUG
from geomgen.parameters.values.place_values import ButtockLine, Station, Waterline
from geomgen.parameters.values.quantities import OneOf, Record, Within, YesNo, stated

Travel = Within("length", "0 mm", "600 mm")
LeafBreadth = Within("length", "5 mm", "400 mm")
LeafThickness = Within("length", "1 mm", "100 mm")
# What a leg may stand in, as families of parts.
ROOTED_IN = ("pod", "boom", "wing")


class Leg(Record):
    """The leg of a wheel: straight from its root to beside the wheel, or to a fork over it."""

    kind: Annotated[str, OneOf(("tube", "leaf"))] = Field(
        description="tube, or leaf: a flat spring, level across"
    )
    rooted_in: Annotated[str, OneOf(ROOTED_IN)] = Field(
        description="the part that its root stands in, to whose skin it is cut back"
    )
    gap: Annotated[float, Gap] = stated("0.3 mm", "gap left between leg and that skin")
    station: Annotated[float, Station] = Field(
        description="station (STA) of the middle of its root, inside that part"
    )
    buttock_line: Annotated[float, ButtockLine] = stated(
        "0 mm", "buttock line (BL) of the middle of the right-hand root"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the middle of its root"
    )
    diameter: Annotated[float, Within("length", "5 mm", "200 mm")] | None = stated(
        None, "outside diameter of a tube"
    )
    wall: Annotated[float, Within("length", "0.3 mm", "50 mm")] | None = stated(
        None, "wall of a tube, for its mass; a solid bar when left out"
    )
    root_breadth: Annotated[float, LeafBreadth] | None = stated(
        None, "breadth of a leaf at its root: level, fore and aft where it stands out sideways"
    )
    root_thickness: Annotated[float, LeafThickness] | None = stated(
        None, "thickness of a leaf at its root"
    )
    tip_breadth: Annotated[float, LeafBreadth] | None = stated(None, "breadth of a leaf at its end")
    tip_thickness: Annotated[float, LeafThickness] | None = stated(
        None, "thickness of a leaf at its end"
    )
    fork: Annotated[bool, YesNo()] = stated(
        False, "whether it ends in a fork over the wheel; else it ends beside the wheel"
    )
    axle_diameter: Annotated[float, Within("length", "4 mm", "100 mm")] = stated(
        "20 mm", "diameter of the axle from leg to hub; the blades of a fork are as thick"
    )
    tyre_gap: Annotated[float, Within("length", "1 mm", "200 mm")] = stated(
        "10 mm", "how far leg and fork stand off the tyre"
    )


class Wheel(Record):
    """One wheel, or a pair of them."""

    name: Annotated[str, SLUG] = Field(description="short name; it becomes part of file names")
    role: Annotated[str, OneOf(("main", "nose", "tail"))] = Field(
        description="main, nose or tail wheel"
    )
    station: Annotated[float, Station] = Field(description="station (STA) of the axle")
    buttock_line: Annotated[float, ButtockLine] = stated(
        "0 mm", "buttock line (BL) of the right-hand wheel's middle"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the axle with no load on the gear"
    )
    diameter: Annotated[float, Within("length", "50 mm", "1.2 m")] = Field(
        description="diameter of the tyre"
    )
    width: Annotated[float, Within("length", "10 mm", "500 mm")] = Field(
        description="width of the tyre"
    )
    deflection: Annotated[float, Travel] = stated(
        "0 mm", "how far tyre and strut give way together under the static load"
    )
    flat: Annotated[float, Travel] = stated(
        "0 mm", "how far the axle drops further when the tyre is flat"
    )
    rated_load: Annotated[float, Within("mass", "1 kg", "3000 kg")] | None = stated(
        None,
        "largest static load that the tyre's maker allows on one tyre, as the mass that may stand "
        "on it; gear.tyre_load is not judged when left out",
    )
    travel: Annotated[float, Travel] | None = stated(
        None,
        "strut travel of this wheel from the static position until it is bottomed; "
        "gear.strut_travel when left out",
    )
    mirrored: Annotated[bool, YesNo()] = stated(
        True, "whether its mirror stands on the other side (off the centre plane)"
    )
    leg: Leg | None = stated(None, "the leg that carries it; none is drawn when left out")


class Gear(Record):
    """The landing gear."""

    layout: Annotated[str, OneOf(("tricycle", "tailwheel"))] = Field(
        description="tricycle (nosewheel) or tailwheel"
    )
    rotation: Annotated[float, Within("angle", "0 deg", "30 deg")] = Field(
        description="largest nose-up pitch of a normal take-off and landing"
    )
    take_off_pitch: Annotated[float, Within("angle", "0 deg", "30 deg")] | None = stated(
        None,
        "nose-up pitch of a normal take-off with a nosewheel, where the blades keep their full "
        "clearance; gear.rotation when left out",
    )
    strut_travel: Annotated[float, Travel] = stated(
        "0 mm",
        "strut travel from the static position until it is bottomed, of each wheel that has no "
        "travel of its own",
    )
    wheels: Annotated[tuple[Wheel, ...], Field(min_length=2, max_length=20)] = Field(
        description="the wheels"
    )


def travel_of(gear: Gear, wheel: Wheel) -> float:
    """Return how far a wheel's strut travels from standing until it is bottomed [mm].

    >>> from types import SimpleNamespace
    >>> gear = SimpleNamespace(strut_travel=60.0)
    >>> travel_of(gear, SimpleNamespace(travel=None)), travel_of(gear, SimpleNamespace(travel=0.0))
    (60.0, 0.0)
    """
    return gear.strut_travel if wheel.travel is None else wheel.travel


def on_all_wheels(gear: Gear) -> str:
    """Return what the machine stands on when no wheel is up, each of a pair counted.

    >>> from types import SimpleNamespace
    >>> rows = [SimpleNamespace(mirrored=True, buttock_line=y) for y in (700.0, 0.0)]
    >>> on_all_wheels(SimpleNamespace(wheels=rows)), on_all_wheels(SimpleNamespace(wheels=rows[:1]))
    ('on all 3 wheels', 'on both wheels')
    """
    count = sum(2 if w.mirrored and w.buttock_line != 0.0 else 1 for w in gear.wheels)
    return "on both wheels" if count == 2 else f"on all {count} wheels"
