"""Records of what weighs: parts, items without a solid, tanks."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.body import EitherSide
from geomgen.parameters.values.materials import MATERIALS
from geomgen.parameters.values.place_values import Station, Waterline
from geomgen.parameters.values.quantities import (
    Matching,
    OneOf,
    Record,
    Text,
    Within,
    YesNo,
    stated,
)

USEFUL, SAFETY, POWERPLANT = "useful load", "safety device", "powerplant"
ENGINE, PROPELLER = "engine", "propeller"
# Families of parts that are often one weight before they are drawn.
INNER = ("canopy", "frame", "stringer", "spar", "rib", "fitting", "joint_plate", "joint_pin")
GROUPS = ("structure", POWERPLANT, "systems", "equipment", SAFETY, USEFUL)
PART = Matching(
    "[a-z0-9_-]{1,60}",
    "a family (pod, boom, wing) or the name of a part as in the set (boom_left)",
)
Mass = Within("mass", "1 g", "2000 kg")
Band = Within("mass", "0 kg", "2000 kg")
Side = Within("length", "0 mm", "10 m")
Share = Within("fraction", "0", "1")
Volume = Within("volume", "0 l", "500 l")
TANK_KINDS = ("box", "cylinder")
TankSide = Within("length", "20 mm", "3 m")


class PartMass(Record):
    """What the solids of a family, or one part, weigh: worked out from the solid, or weighed."""

    part: Annotated[str, PART] = Field(
        description="family or part; the name of a part goes before that of its family"
    )
    material: Annotated[str, OneOf(tuple(MATERIALS))] | None = stated(
        None, "what the solid is full of, or its wall is of; its usual density is taken"
    )
    density: Annotated[float, Within("density", "5 kg/m^3", "25000 kg/m^3")] | None = stated(
        None, "density of that material; goes before the usual one"
    )
    wall: Annotated[float, Within("length", "0.05 mm", "100 mm")] | None = stated(
        None, "thickness of the wall where the solid is built hollow, a tube; full when left out"
    )
    laminate: Annotated[bool, YesNo()] = stated(
        False, "whether the laminate of [handoff.laminate] lies on all of its skin but the joints"
    )
    skin: Annotated[float, Within("areal weight", "10 g/m^2", "50 kg/m^2")] | None = stated(
        None, "areal weight of another skin on all of its surface but the joints"
    )
    weighed: Annotated[float, Mass] | None = stated(
        None, "what the scales said, of one piece; goes before all that is worked out"
    )
    band: Annotated[float, Share] = stated(
        0.1, "how far the mass may be off, as a fraction; 0.005 of what was weighed (own choice)"
    )
    source: Annotated[str, Text(300)] | None = stated(
        None, "where density, skin or weight come from"
    )


class MassItem(Record):
    """One thing that has no solid of its own, or is weighed by itself."""

    name: Annotated[str, Text(60)] = Field(description="what it is")
    group: Annotated[str, OneOf(GROUPS)] = Field(
        description="structure, powerplant, systems, equipment, safety device, or useful load, "
        "which is in no empty mass: every loading is worked out with it and without"
    )
    mass: Annotated[float, Mass] = Field(description="its mass; of one piece of a mirrored pair")
    band: Annotated[float, Band] = stated("0 kg", "how far off the mass may be, both ways")
    weight_of: Annotated[str, OneOf((ENGINE, PROPELLER))] | None = stated(
        None,
        "engine or propeller, where it is the weight of it, alone or with others; when no item "
        "says so, what of the powerplant stands at the engine or near the blades counts",
    )
    includes: Annotated[tuple[Annotated[str, OneOf(INNER)], ...], Field(max_length=len(INNER))] = (
        stated(
            (),
            "families of parts that are in this mass, drawn or not: their solids are not counted "
            "beside it, no row of [[mass]] may weigh them, nor another item include them; not in "
            "useful load, which is no part of the machine",
        )
    )
    at: Annotated[str, PART] | None = stated(
        None, "name of a part in whose centre it stands; station and waterline are left out then"
    )
    station: Annotated[float, Station] | None = stated(None, "station (STA) of its centre")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] | None = stated(None, "waterline (WL) of its centre")
    length: Annotated[float, Side] = stated("0 mm", "its own length, fore and aft, for the inertia")
    width: Annotated[float, Side] = stated("0 mm", "its own width, for the inertia")
    height: Annotated[float, Side] = stated("0 mm", "its own height, for the inertia")
    mirrored: Annotated[bool, YesNo()] = stated(
        False, "whether a second one stands on the other side"
    )
    source: Annotated[str, Text(300)] | None = stated(None, "where the mass comes from")


OUT_SIDES = ("above", "aft", "fore", "the right", "the left", "below")
PartNames = Annotated[tuple[Annotated[str, PART], ...], Field(max_length=20)]


class TankShape(Record):
    """A tank as a solid: a box or a cylinder with a wall, upright or level, its middle's place."""

    kind: Annotated[str, OneOf(TANK_KINDS)] = Field(description="box, or cylinder with flat ends")
    station: Annotated[float, Station] = Field(description="station (STA) of its middle")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its middle, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its middle")
    length: Annotated[float, TankSide] = Field(
        description="outside: of a box fore and aft, of a cylinder along its axis"
    )
    width: Annotated[float, TankSide] | None = stated(None, "of a box, left to right, outside")
    height: Annotated[float, TankSide] | None = stated(None, "of a box, outside")
    diameter: Annotated[float, TankSide] | None = stated(None, "of a cylinder, outside")
    axis: Annotated[str, OneOf(("x", "y", "z"))] | None = stated(
        None, "of a cylinder: x fore and aft, y across, z upright; x when left out"
    )
    wall: Annotated[float, Within("length", "0.2 mm", "30 mm")] = Field(
        description="thickness of its wall, inward"
    )
    gap: Annotated[float, Within("length", "0 mm", "200 mm")] = stated(
        "5 mm", "least room all round it; the default is our own choice"
    )
    rests_on: PartNames = stated((), "parts or families that it may touch: what carries it")
    out: Annotated[str, OneOf(OUT_SIDES)] | None = stated(
        None, "side on which it is to come straight out again; not judged when left out"
    )
    off: PartNames = stated((), "parts or families that are taken off before it comes out")


class Tank(Record):
    """One fuel tank."""

    name: Annotated[str, Text(60)] = Field(description="which tank it is")
    usable: Annotated[float, Volume] = Field(description="fuel that can be used")
    unusable: Annotated[float, Volume] = stated(
        "0 l", "fuel that stays in it; it counts in the empty mass"
    )
    density: Annotated[float, Within("density", "600 kg/m^3", "1000 kg/m^3")] = stated(
        "720 kg/m^3", "density of the fuel; petrol when left out, 6 lb a US gallon (from memory)"
    )
    station: Annotated[float, Station] | None = stated(
        None, "station (STA) of the centre of the fuel in the full tank; left out with a shape"
    )
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of that centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) of that centre; left out with a shape"
    )
    low_station: Annotated[float, Station] | None = stated(
        None, "station (STA) of the last fuel in it; as in the full tank when left out"
    )
    low_waterline: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) of the last fuel in it; as in the full tank when left out"
    )
    expansion: Annotated[float, Share] = stated(
        0.02,
        "of the room inside its shape, the share that stays empty for the fuel to expand; 2 % by "
        "14 CFR 23.969 (as of 2014) when left out",
    )
    shape: TankShape | None = stated(
        None, "the tank as a solid: its room is measured, and where the fuel is when full"
    )
