"""Records of the surfaces with an aerofoil: wing, tailplane, fins, pylon."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.aerofoil_name import Aerofoil
from geomgen.parameters.values.place_values import ButtockLine, Station, Waterline
from geomgen.parameters.values.quantities import Record, Within, stated

Chord = Within("length", "20 mm", "5 m")
# V and inverted V tails stand at 30 to 45 deg; steeper than this it is a pair of fins: own choice.
Dihedral = Within("angle", "-50 deg", "50 deg")
POINTS = (
    'or "file:name.dat", a file of points from this file\'s folder on: x and y in chords, a pair a '
    "line, from the upper trailing edge round the nose to the lower one, 11 to 2000 of them, nose "
    "at 0, trailing edge at 1 within 2 %; a first line may be a name, # begins a comment"
)
Edge = Within("length", "0.2 mm", "20 mm")


class WingSection(Record):
    """One section of a wing or tailplane."""

    buttock_line: Annotated[float, ButtockLine] = Field(
        description="buttock line (BL) of the section; the first one stands at 0 mm"
    )
    chord: Annotated[float, Chord] = Field(description="chord")
    aerofoil: Annotated[str, Aerofoil()] = Field(
        description=f'aerofoil: "NACA 2412", "NACA 23012", {POINTS}'
    )
    washout: Annotated[float, Within("angle", "-15 deg", "15 deg")] = stated(
        "0 deg", "washout against the root, positive: nose down"
    )
    dihedral: Annotated[float, Dihedral] = stated(
        "0 deg",
        "dihedral of the panel inboard of the section, positive: up; the aerofoil stands upright, "
        "so that square to the panel it is thinner by the cosine of this angle",
    )
    sweep: Annotated[float, Within("angle", "-45 deg", "60 deg")] = stated(
        "0 deg", "sweep of the quarter-chord line of the panel inboard, positive: aft"
    )


class Wing(Record):
    """A wing or tailplane: sections from the centre plane out; the left side is the mirror."""

    leading_edge: Annotated[float, Station] = Field(
        description="station (STA) of the leading edge at the root"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the leading edge at the root"
    )
    incidence: Annotated[float, Within("angle", "-15 deg", "15 deg")] = stated(
        "0 deg",
        "incidence of the root against the waterlines, positive: nose up; the root turns about its "
        "leading edge, which stays where it is",
    )
    trailing_edge_thickness: Annotated[float, Edge] = stated(
        "1.5 mm", "thickness of the blunt trailing edge"
    )
    sections: Annotated[tuple[WingSection, ...], Field(min_length=2, max_length=40)] = Field(
        description="sections from the root out"
    )


class FinSection(Record):
    """One section of a fin."""

    height: Annotated[float, Within("length", "-2 m", "3 m")] = Field(
        description="height of the section above the fin's waterline"
    )
    chord: Annotated[float, Chord] = Field(description="chord")
    aerofoil: Annotated[str, Aerofoil()] = Field(description=f'aerofoil: "NACA 0010", {POINTS}')
    sweep: Annotated[float, Within("angle", "-45 deg", "60 deg")] = stated(
        "0 deg", "sweep of the quarter-chord line of the panel below, positive: aft"
    )


class Fins(Record):
    """The two fins; the right-hand one is described, the left one is its mirror."""

    leading_edge: Annotated[float, Station] = Field(
        description="station (STA) of the leading edge of the lowest section"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) from which the heights count"
    )
    buttock_line: Annotated[float, ButtockLine] = Field(
        description="buttock line (BL) of the right-hand fin"
    )
    trailing_edge_thickness: Annotated[float, Edge] = stated(
        "1.5 mm", "thickness of the blunt trailing edge"
    )
    sections: Annotated[tuple[FinSection, ...], Field(min_length=2, max_length=40)] = Field(
        description="sections from the bottom up"
    )


class Pylon(Record):
    """The strut fairing between pod and wing, on the centre plane, of one chord."""

    leading_edge: Annotated[float, Station] = Field(description="station (STA) of the leading edge")
    waterline_low: Annotated[float, Waterline] = Field(
        description="waterline (WL) of its lower end, inside the pod until it is trimmed"
    )
    waterline_high: Annotated[float, Waterline] = Field(
        description="waterline (WL) of its upper end, inside the wing until it is trimmed"
    )
    chord: Annotated[float, Chord] = Field(description="chord")
    aerofoil: Annotated[str, Aerofoil()] = Field(
        description=f"aerofoil, symmetrical as a rule: NACA digits, {POINTS}"
    )
    trailing_edge_thickness: Annotated[float, Edge] = stated(
        "1.5 mm", "thickness of the blunt trailing edge"
    )
