"""Records of the pod's inside structure: frames and stringers. Geometry, nothing of strength."""

from typing import Annotated

from pydantic import Field

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
    worked_out,
)

NAME = Matching("[a-z0-9][a-z0-9_-]{0,39}", "1 to 40 lower-case letters, digits, - and _")
# What a frame may end clear of, below it or above it.
WING, CANOPY = "wing", "canopy"
BondGap = Within("length", "0 mm", "10 mm")
Size = Within("length", "2 mm", "2 m")
Side = Within("length", "-3 m", "3 m")
Density = Within("density", "5 kg/m^3", "25000 kg/m^3")


def usual_density(data: dict[str, str]) -> str:
    """Return the density of a row's material, as text with its unit.

    >>> usual_density({"material": "steel"})
    '7850.0 kg/m^3'
    """
    return f"{MATERIALS[data['material']].density} kg/m^3" if "material" in data else "5 kg/m^3"


class FrameOpening(Record):
    """One opening of a frame, square to its sheet: round, or a rectangle with round corners."""

    use: Annotated[str, Text(60)] = Field(
        description="what it is for: legs, tank, controls, spar, duct, belt fitting"
    )
    buttock_line: Annotated[float, Side] = stated(
        "0 mm", "buttock line (BL) of its centre, right-hand positive"
    )
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")
    mirrored: Annotated[bool, YesNo()] = stated(False, "whether its mirror is on the other side")
    diameter: Annotated[float, Size] | None = stated(
        None, "diameter of a round one; width and height are left out then"
    )
    width: Annotated[float, Size] | None = stated(None, "width of a rectangle, left to right")
    height: Annotated[float, Size] | None = stated(
        None, "height of a rectangle, measured along the frame's sheet"
    )
    corner_radius: Annotated[float, Within("length", "0 mm", "1 m")] = stated(
        "0 mm", "radius of a rectangle's corners"
    )


class FrameSheet(Record):
    """One frame or bulkhead: a sheet across the pod that follows the inside of its skin.

    Cut off straight above, below or both it is a floor frame, a half frame or, of a ring, two side
    pieces.
    """

    name: Annotated[str, NAME] = Field(description="short name; it becomes part of file names")
    station: Annotated[float, Station] = Field(
        description="station (STA) of its front face on the thrust line"
    )
    tilt: Annotated[float, Within("angle", "-30 deg", "30 deg")] = stated(
        "0 deg", "lean of the frame, positive: top aft"
    )
    thickness: Annotated[float, Within("length", "0.3 mm", "60 mm")] = Field(
        description="thickness of the sheet; of a sandwich with its skins"
    )
    material: Annotated[str, OneOf(tuple(MATERIALS))] = stated(
        "birch plywood", "what the sheet is made of; of a sandwich its core"
    )
    density: Annotated[float, Density] = worked_out(
        usual_density,
        "density of the sheet, of a sandwich as a whole; the material's when left out",
    )
    gap: Annotated[float, BondGap] = stated("0.5 mm", "gap for the bond to the inside of the skin")
    width: Annotated[float, Within("length", "5 mm", "1 m")] | None = stated(
        None, "width of an open ring, inward along the sheet; full when left out"
    )
    top: Annotated[float, Waterline] | None = stated(
        None,
        "waterline (WL) where a floor or half frame is cut off straight above, on its front face",
    )
    bottom: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) where it is cut off straight below, on its front face"
    )
    under: Annotated[str, OneOf((WING, CANOPY))] | None = stated(
        None,
        "in place of top: it ends under the wing that passes through the pod, or under the sill of "
        "the canopy",
    )
    over: Annotated[str, OneOf((WING,))] | None = stated(
        None, "in place of bottom: it ends over the wing that passes through the pod"
    )
    end_gap: Annotated[float, Within("length", "0.5 mm", "200 mm")] = stated(
        "3 mm", "least room between its straight ends and the wing, spars or canopy"
    )
    openings: Annotated[tuple[FrameOpening, ...], Field(max_length=30)] = stated(
        (), "openings through the sheet"
    )


def is_half(frame: FrameSheet) -> bool:
    """Say whether a frame stands over a part of the contour only.

    >>> table = {"name": "floor", "station": "1 m", "thickness": "6 mm"}
    >>> [is_half(FrameSheet.model_validate({**table, **more})) for more in ({}, {"top": "0.7 m"})]
    [False, True]
    """
    return _cut_above(frame) or _cut_below(frame)


def frame_parts(frame: FrameSheet) -> tuple[str, ...]:
    """Return the names of the parts that a frame's table makes: of a ring cut off twice two.

    >>> table = {"name": "side", "station": "1 m", "thickness": "6 mm", "top": "0.9 m",
    ...     "bottom": "0.7 m"}
    >>> frame_parts(FrameSheet.model_validate(table))
    ('frame_side',)
    >>> frame_parts(FrameSheet.model_validate({**table, "width": "40 mm"}))
    ('frame_side_right', 'frame_side_left')
    """
    name = f"frame_{frame.name}"
    two = frame.width is not None and _cut_above(frame) and _cut_below(frame)
    return (f"{name}_right", f"{name}_left") if two else (name,)


def _cut_above(frame: FrameSheet) -> bool:
    return frame.top is not None or frame.under is not None


def _cut_below(frame: FrameSheet) -> bool:
    return frame.bottom is not None or frame.over is not None


class Stringer(Record):
    """One stringer or longeron: a straight-sided strip along the inside of the skin."""

    name: Annotated[str, NAME] = Field(description="short name; it becomes part of file names")
    mirrored: Annotated[bool, YesNo()] = stated(
        True, "whether its mirror is on the other side; one in the centre plane has none"
    )
    waterline: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) that its middle keeps; girth is left out then"
    )
    girth: Annotated[float, Within("fraction", "0", "1")] | None = stated(
        None, "its middle as a share of the way round the inside: 0 at the keel, 1 at the crown"
    )
    start: Annotated[float, Station] = Field(description="station (STA) of its fore end")
    end: Annotated[float, Station] = Field(description="station (STA) of its aft end")
    width: Annotated[float, Within("length", "2 mm", "200 mm")] = Field(
        description="width of its section, along the skin"
    )
    depth: Annotated[float, Within("length", "1 mm", "200 mm")] = Field(
        description="depth of its section, inward from the skin"
    )
    material: Annotated[str, OneOf(tuple(MATERIALS))] = stated("spruce", "what it is made of")
    density: Annotated[float, Density] = worked_out(
        usual_density, "density of it; the material's when left out"
    )
    gap: Annotated[float, BondGap] = stated(
        "0.5 mm", "gap for the bond, from its edges to the inside of the skin"
    )
    notch_clearance: Annotated[float, Within("length", "0 mm", "10 mm")] = stated(
        "0.3 mm", "room on each side of it in the notches of frames"
    )
