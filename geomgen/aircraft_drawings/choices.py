"""What the builder chose for the drawings of the machine."""

from dataclasses import dataclass
from typing import Literal

Projection = Literal["first angle", "third angle"]


@dataclass(frozen=True)
class Choices:
    """How views stand to each other (ISO 5456-2), the sheet (ISO 216), stations to cut at [mm]."""

    projection: Projection = "first angle"
    sheet: str = "A3"
    stations: tuple[float, ...] = ()
