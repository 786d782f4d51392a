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
    from geomgen.air.record import MachineAir


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
    return AirPage(diagram(air), tuple(air_blocks(air)))


def diagram(air: "MachineAir") -> DrawnPressures | None:
    """Return the pressures along the pod in the first state that flies, mouths and places on it."""
    from geomgen.air.cooling_sheet import sides
    from geomgen.air.mouth_places import mouth_places
    from geomgen.air.sheet import FLOWN

    state = next((one for one in air.states if one.lines), None)
    if state is None:
        return None
    curves = [
        PressureCurve(line.name, line.stations, line.waterlines, line.pressures)
        for line in state.lines
    ]
    mouths = [
        MarkedStation(sides(mouth.name).partition(",")[0], mouth.station)
        for mouth in state.mouths
        if mouth.station is not None
    ]
    places = [
        (place.line, place.station, dict(place.pressures)[state.name])
        for place in mouth_places(air, FLOWN)
    ]
    return drawn_pressures(curves, mouths, places, state.name)
