"""What the page of a report says of the air, from the set's own file."""

from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.errors import FileWriteError
from geomgen.pages.html_page import AirPage
from geomgen.pages.pressure_diagram import (
    DrawnPressures,
    MarkedStation,
    PressureCurve,
    drawn_pressures,
)
from geomgen.workflows.building.air_file import AIR, read_air

if TYPE_CHECKING:
    from geomgen.air.record import FlownState, MachineAir


def air_page(folder: Path) -> AirPage | None:
    """Return what a set says of its air; None where it has none."""
    from geomgen.air.record import from_plain
    from geomgen.air.sheet import air_blocks

    values = read_air(folder)
    if values is None:
        return None
    try:
        air = from_plain(values)
    except ValueError as error:
        raise FileWriteError(
            "the air of the set can't be read", path=AIR, advice="build the set again"
        ) from error
    return AirPage(diagrams(air), tuple(air_blocks(air)))


def diagrams(air: "MachineAir") -> tuple[DrawnPressures, ...]:
    """Return the pressures along the pod in each state that flies, one scale for all."""
    flown = [state for state in air.states if state.lines]
    every = [c for state in flown for line in state.lines for c in line.pressures]
    made = [_diagram(air, state, (min(every), max(every))) for state in flown]
    return tuple(each for each in made if each is not None)


def _diagram(
    air: "MachineAir", state: "FlownState", between: tuple[float, float]
) -> DrawnPressures | None:
    from geomgen.air.cooling_sheet import sides

    curves = [
        PressureCurve(line.name, line.stations, line.waterlines, line.pressures, line.leaves)
        for line in state.lines
    ]
    marks = [
        MarkedStation(sides(mouth.name).partition(",")[0], mouth.stands)
        for mouth in state.mouths
        if mouth.stands is not None
    ]
    marks += [] if air.rim is None else [MarkedStation("exit", air.rim)]
    places = [
        (str(number), place.line, place.station, one.pressure)
        for number, place in enumerate(air.places, 1)
        for one in place.states
        if not place.fails and one.name == state.name
    ]
    return drawn_pressures(curves, marks, places, state.name, between)
