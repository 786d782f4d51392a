"""Records of the engine bay: firewall, scoops, engine."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.body import EitherSide, Gap
from geomgen.parameters.values.place_values import Mouth, Station, Waterline
from geomgen.parameters.values.quantities import (
    Matching,
    OneOf,
    Record,
    Text,
    Within,
    YesNo,
    stated,
    worked_out,
)

SLUG = Matching("[a-z0-9][a-z0-9_-]{0,39}", "1 to 40 lower-case letters, digits, - and _")
# Density of the sheet [kg/m^3]: usual handbook figures (MEMORY); titanium as Ti-6Al-4V.
DENSITY = {
    "stainless steel": 8000.0,
    "mild steel": 7850.0,
    "terne plate": 7850.0,
    "monel": 8800.0,
    "titanium": 4430.0,
    "aluminium": 2700.0,
}
FITTINGS = ("steel", "stainless steel", "brass", "copper", "titanium", "aluminium")
Size = Within("length", "1 mm", "3 m")
# What may hang on the engine and move with it: never hull, wing, booms, tail or wheels.
ON_ENGINE = ("exit", "tail_fairing", "scoop", "pylon", "firewall")


class Penetration(Record):
    """One hole through the firewall."""

    use: Annotated[str, Text(60)] = Field(description="what goes through: fuel, throttle, wiring")
    buttock_line: Annotated[float, EitherSide] = Field(
        description="buttock line (BL) of the hole, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of the hole")
    diameter: Annotated[float, Within("length", "1 mm", "300 mm")] = Field(
        description="diameter of the hole in the sheet"
    )
    fitting: Annotated[str, OneOf(FITTINGS)] = Field(description="metal of the fitting in it")


class Firewall(Record):
    """The firewall: a sheet across the pod, with its flange along the skin."""

    station: Annotated[float, Station] = Field(
        description="station (STA) of its front face on the thrust line"
    )
    tilt: Annotated[float, Within("angle", "-30 deg", "30 deg")] = stated(
        "0 deg", "lean of the sheet, positive: top aft"
    )
    thickness: Annotated[float, Within("length", "0.1 mm", "6 mm")] = Field(
        description="thickness of the sheet, never a gauge number"
    )
    material: Annotated[str, OneOf(tuple(DENSITY))] = Field(description="what the sheet is made of")
    density: Annotated[float, Within("density", "1000 kg/m^3", "12000 kg/m^3")] = worked_out(
        lambda data: f"{DENSITY[data['material']]} kg/m^3",
        "density of the sheet; that of the material when left out",
    )
    gap: Annotated[float, Gap] = stated("0.2 mm", "gap to the inside of the skin")
    flange: Annotated[float, Within("length", "0 mm", "100 mm")] = stated(
        "0 mm", "width of the flange along the skin; 0 mm for none"
    )
    flange_direction: Annotated[str, OneOf(("aft", "forward"))] = stated(
        "aft", "the way the flange is bent"
    )
    penetrations: Annotated[tuple[Penetration, ...], Field(max_length=60)] = stated(
        (), "holes through the sheet, each with its fitting"
    )


class Scoop(Record):
    """One cooling-air scoop on the pod's skin."""

    name: Annotated[str, SLUG] = Field(description="short name; it becomes part of file names")
    mirrored: Annotated[bool, YesNo()] = stated(True, "whether its mirror stands on the other side")
    clock_angle: Annotated[float, Within("angle", "-180 deg", "180 deg")] = stated(
        "0 deg",
        "where round the pod, seen from behind: 0 deg is to the right, 90 deg up, -90 deg below",
    )
    mouth: Annotated[float | str, Mouth()] = Field(
        description='station (STA) of the mouth, or "at firewall": where its plane meets the skin'
    )
    mouth_ahead: Annotated[float, Within("length", "-2 m", "2 m")] = stated(
        "0 mm", 'with "at firewall": how far ahead of it the mouth stands'
    )
    width: Annotated[float, Within("length", "10 mm", "1 m")] = Field(
        description="width of the mouth, along the skin"
    )
    height: Annotated[float, Within("length", "8 mm", "500 mm")] = Field(
        description="height of the mouth, off the skin"
    )
    corner_radius: Annotated[float, Within("length", "0.5 mm", "250 mm")] = Field(
        description="radius of the mouth's corners"
    )
    lip_radius: Annotated[float, Within("length", "0.2 mm", "50 mm")] = Field(
        description="radius of the rounded lip"
    )
    wall: Annotated[float, Within("length", "0.5 mm", "60 mm")] = Field(
        description="thickness of the scoop's wall"
    )
    boundary_layer_gap: Annotated[float, Within("length", "0 mm", "200 mm")] = stated(
        "0 mm", "how far the mouth's lower edge stands off the skin (boundary layer)"
    )
    passage_length: Annotated[float, Within("length", "20 mm", "3 m")] = Field(
        description="length of the passage, from the mouth into the bay"
    )
    fairing_length: Annotated[float, Within("length", "30 mm", "4 m")] = Field(
        description="length of the outer fairing, longer than the passage"
    )
    gap: Annotated[float, Gap] = stated("0.2 mm", "gap to the skin it sits on")


class EngineBox(Record):
    """A box of the engine's envelope."""

    name: Annotated[str, Text(40)] = stated("box", "what it stands for")
    station: Annotated[float, Station] = Field(description="station (STA) of its front")
    length: Annotated[float, Size] = Field(description="length, fore and aft")
    width: Annotated[float, Size] = Field(description="width, left to right")
    height: Annotated[float, Size] = Field(description="height")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")


class EngineCylinder(Record):
    """A cylinder of the engine's envelope."""

    name: Annotated[str, Text(40)] = stated("cylinder", "what it stands for")
    station: Annotated[float, Station] = Field(
        description="station (STA) of its front, or of its centre when it lies across"
    )
    length: Annotated[float, Size] = Field(description="length along its axis")
    diameter: Annotated[float, Size] = Field(description="diameter")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")
    axis: Annotated[str, OneOf(("x", "y", "z"))] = stated(
        "x", "its axis: x fore and aft, y across, z upright"
    )


class FanFace(Record):
    """The face through which the engine's fan draws its air."""

    station: Annotated[float, Station] = Field(description="station (STA) of its centre")
    buttock_line: Annotated[float, EitherSide] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")
    diameter: Annotated[float, Size] = Field(description="diameter of the fan")
    facing: Annotated[str, OneOf(("forward", "aft", "left", "right", "up", "down"))] = stated(
        "forward", "the way the fan looks; air enters against it"
    )


class Engine(Record):
    """The engine's envelope: boxes and cylinders that touch each other."""

    boxes: Annotated[tuple[EngineBox, ...], Field(max_length=60)] = stated(
        (), "boxes: crankcase, muffler, gearbox"
    )
    cylinders: Annotated[tuple[EngineCylinder, ...], Field(max_length=60)] = stated(
        (), "cylinders: cylinder barrels, shaft, carburettor"
    )
    fan_face: FanFace | None = stated(None, "the fan that draws the cooling air")
    fixed_parts: Annotated[
        tuple[Annotated[str, OneOf(ON_ENGINE)], ...], Field(max_length=len(ON_ENGINE))
    ] = stated(
        (),
        "parts that the engine itself carries, such as the tail fairing about its shaft: they need "
        "no joint to the pod, and no room is asked for between it and them",
    )
