"""Records of the bodies: pod, exit with its tail fairing, booms."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.place_values import ButtockLine, Station, Waterline
from geomgen.parameters.values.quantities import Fullness, OneOf, Record, Within, stated

EitherSide = Within("length", "-3 m", "3 m")
Gap = Within("length", "0 mm", "20 mm")


class PodStation(Record):
    """One control station of the pod."""

    station: Annotated[float, Station] = Field(description="station (STA), aft of the datum")
    crown: Annotated[float, Waterline] = Field(description="waterline (WL) of the crown line")
    keel: Annotated[float, Waterline] = Field(description="waterline (WL) of the keel line")
    breadth: Annotated[float, Within("length", "0 mm", "3 m")] = Field(
        description="full maximum breadth, left to right"
    )
    breadth_height: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the maximum-breadth line"
    )
    fullness_upper: Annotated[float, Fullness()] = stated(
        "ellipse", "fullness of the upper quadrants: rho of a conic, or ellipse"
    )
    fullness_lower: Annotated[float, Fullness()] = stated(
        "ellipse", "fullness of the lower quadrants: rho of a conic, or ellipse"
    )


class Pod(Record):
    """The pod: crown, keel and breadth lines through control stations, and its skin."""

    wall: Annotated[float, Within("length", "0.3 mm", "60 mm")] = Field(
        description="thickness of the skin, measured inward from the loft"
    )
    nose: Annotated[str, OneOf(("round", "flat"))] = stated(
        "round", "front end: round (first station a point) or flat, closed by a wall"
    )
    tail: Annotated[str, OneOf(("open", "round", "flat"))] = stated(
        "open",
        "aft end: open (the cooling air leaves there), round (last station a point) or flat, "
        "closed by a wall",
    )
    stations: Annotated[tuple[PodStation, ...], Field(min_length=3, max_length=60)] = Field(
        description="control stations from nose to tail"
    )


class FairingStation(Record):
    """One station of the tail fairing."""

    station: Annotated[float, Station] = Field(description="station (STA), aft of the datum")
    diameter: Annotated[float, Within("length", "1 mm", "2 m")] = Field(
        description="diameter of the fairing there"
    )


class TailFairing(Record):
    """The round fairing in the exit, about the propeller shaft; it makes the exit a ring."""

    waterline: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) of its axis; the thrust line when left out"
    )
    bore: Annotated[float, Within("length", "1 mm", "1 m")] | None = stated(
        None, "bore for the propeller shaft; solid when left out"
    )
    stations: Annotated[tuple[FairingStation, ...], Field(min_length=2, max_length=60)] = Field(
        description="stations from front to aft"
    )


class Exit(Record):
    """The rim piece that ends the pod: the exit of the cooling air."""

    rim_station: Annotated[float, Station] = Field(
        description="station (STA) where the rim piece begins; its open end is the pod's end"
    )
    gap: Annotated[float, Gap] = stated("0.2 mm", "gap between hull and rim piece")
    tail_fairing: TailFairing | None = stated(None, "the fairing inside the exit")


class BoomStation(Record):
    """One station of a boom, an ellipse across it."""

    station: Annotated[float, Station] = Field(description="station (STA), aft of the datum")
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of the centre")
    width: Annotated[float, Within("length", "0 mm", "1 m")] = Field(description="full width")
    height: Annotated[float, Within("length", "0 mm", "1 m")] = Field(description="full height")


class Booms(Record):
    """The two tail booms; the right-hand one is described, the left one is its mirror."""

    buttock_line: Annotated[float, ButtockLine] = Field(
        description="buttock line (BL) of the right-hand boom's centre line"
    )
    nose: Annotated[str, OneOf(("round", "flat"))] = stated(
        "flat", "front end: round (first station a point) or flat"
    )
    tail: Annotated[str, OneOf(("round", "flat"))] = stated(
        "flat", "aft end: round (last station a point) or flat"
    )
    stations: Annotated[tuple[BoomStation, ...], Field(min_length=2, max_length=60)] = Field(
        description="stations from front to aft"
    )
