"""Where along the pod a mouth would find the most pressure, and an exit the least."""

from dataclasses import dataclass

from geomgen.air.record import MachineAir, PressureLine

# Told of each line: own choice.
MOST = 3


@dataclass(frozen=True)
class MouthPlace:
    """A place on a line: station, waterline [mm], pressure coefficients [1] by state."""

    line: str
    station: float
    waterline: float
    pressures: tuple[tuple[str, float], ...]


def mouth_places(air: MachineAir, states: tuple[str, ...]) -> tuple[MouthPlace, ...]:
    """Return the places with more pressure than their neighbours, those of a line fore to aft.

    What counts at each is the least pressure of the states; at most three of a line, the best.
    """
    by_state = [
        (state.name, {line.name: line for line in state.lines})
        for state in air.states
        if state.name in states and state.lines
    ]
    if not by_state:
        return ()
    found: list[MouthPlace] = []
    for name, line in by_state[0][1].items():
        same = [(state, lines[name]) for state, lines in by_state if name in lines]
        least = [min(each) for each in zip(*(one.pressures for _, one in same), strict=True)]
        tops = sorted(_tops(least), key=lambda at: -least[at])[:MOST]
        found += (_place(line, at, same) for at in sorted(tops))
    return tuple(found)


def _tops(values: list[float]) -> list[int]:
    """Return where values are larger than both neighbours; the last has none behind it.

    >>> _tops([1.0, 0.2, 0.5, 0.1, 0.9])
    [0, 2]
    """
    return [
        at
        for at in range(len(values) - 1)
        if values[at] > values[at + 1] and (at == 0 or values[at] > values[at - 1])
    ]


def _place(line: PressureLine, at: int, same: list[tuple[str, PressureLine]]) -> MouthPlace:
    pressures = tuple((state, one.pressures[at]) for state, one in same)
    return MouthPlace(line.name, line.stations[at], line.waterlines[at], pressures)
