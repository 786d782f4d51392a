"""Records of who and what is carried: pilots, ballast, baggage, loadings with a name."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.body import EitherSide
from geomgen.parameters.records.engine_bay import SLUG
from geomgen.parameters.records.masses import Band, Mass, Share
from geomgen.parameters.values.place_values import Station, Waterline
from geomgen.parameters.values.quantities import Record, Text, Within, stated


class PilotMass(Record):
    """One pilot to be carried, as dressed to fly."""

    name: Annotated[str, SLUG] = Field(description="short name: lightest, heaviest, builder")
    mass: Annotated[float, Within("mass", "20 kg", "250 kg")] = Field(
        description="with clothes, helmet and what is in the pockets"
    )
    ballast: Annotated[float, Band] = stated("0 kg", "ballast that is carried with this pilot")


class Baggage(Record):
    """One place for baggage."""

    name: Annotated[str, Text(60)] = Field(description="what or where it is")
    most: Annotated[float, Mass] = Field(description="the most that may be put there")
    station: Annotated[float, Station] = Field(description="station (STA) of its centre")
    buttock_line: Annotated[float, EitherSide] = stated("0 mm", "buttock line (BL) of its centre")
    waterline: Annotated[float, Waterline] = Field(description="waterline (WL) of its centre")


class Case(Record):
    """One loading with a name, beside the extremes that are worked out by themselves."""

    name: Annotated[str, Text(60)] = Field(description="what the loading is called")
    pilot: Annotated[str, SLUG] = Field(description="one of loads.pilots")
    fuel: Annotated[float, Share] = stated(1.0, "share of the usable fuel that is in the tanks")
    baggage: Annotated[float, Share] = stated(0.0, "share of the most baggage")


class Loads(Record):
    """Who and what is carried."""

    station: Annotated[float, Station] = Field(
        description="station (STA) of the seated pilot's centre"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the seated pilot's centre"
    )
    pilots: Annotated[tuple[PilotMass, ...], Field(min_length=1, max_length=8)] = Field(
        description="the lightest, the heaviest and others"
    )
    ballast_station: Annotated[float, Station] | None = stated(
        None, "station (STA) of the ballast, where a pilot carries some"
    )
    ballast_waterline: Annotated[float, Waterline] | None = stated(
        None, "waterline (WL) of the ballast; the pilot's when left out"
    )
    baggage: Annotated[tuple[Baggage, ...], Field(max_length=4)] = stated((), "places for baggage")
    cases: Annotated[tuple[Case, ...], Field(max_length=20)] = stated(
        (), "loadings with a name, beside the extremes"
    )
