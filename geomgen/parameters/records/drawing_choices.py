"""The record of what the builder wants of the drawings of the machine."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.records.shops import IN_BOTH, IN_MM
from geomgen.parameters.values.place_values import Station
from geomgen.parameters.values.quantities import OneOf, Record, stated

PROJECTIONS = ("first angle", "third angle")
SHEETS = ("A4", "A3", "A2", "A1", "A0")


class Drawings(Record):
    """Three-view, sections, engine bay, on its wheels: how views stand, on which sheet."""

    projection: Annotated[str, OneOf(PROJECTIONS)] = stated(
        "first angle", "how the views stand to each other: first angle or third angle"
    )
    sheet: Annotated[str, OneOf(SHEETS)] = stated("A3", "sheet of the ISO A series, A4 to A0")
    lengths: Annotated[str, OneOf((IN_MM, IN_BOTH))] | None = stated(
        None,
        "how lengths are told on these drawings: mm, or in / mm (inches first); when left out as "
        "most lengths of the file are written; DXF is drawn in mm either way",
    )
    stations: Annotated[tuple[Annotated[float, Station], ...], Field(max_length=24)] = stated(
        (), "stations (STA) to draw sections at; some of the machine's own when left out"
    )
