"""How much of the skin ahead of a mouth the air has left, along the line that it takes there."""

from dataclasses import dataclass

import numpy as np

from geomgen.air.slow_layer.following import follow
from geomgen.air.slow_layer.streamlines import Streamline
from geomgen.arrays import Floats
from geomgen.errors import ParameterError
from geomgen.kernel.plain import Vec3, vec

OFF_ANOTHER = "the air comes there off another part or from behind the open end"


@dataclass(frozen=True)
class LeftAhead:
    """Length of skin up to a mouth that the air has left, and the most it may be [mm].

    0 where it stays on. `at` [mm] is where it leaves, or might; `words` say how the layer goes.
    None with `why` where the layer could not be followed.
    """

    length: float | None
    most: float | None = None
    at: Vec3 | None = None
    words: str = ""
    why: str = ""


def left_along(
    line: Streamline,
    place: Floats,
    mouth: Vec3,
    *,
    speed: float,
    viscosity: float,
    trip: float | None,
) -> LeftAhead:
    """Return what the air has left of the skin on its line to a mouth.

    `place` (3,) [mm] is the skin ahead of the mouth, up to which the line is followed; `speed` in
    [m/s], `viscosity` in [m2/s], `trip` the station [mm] where the skin stirs the layer.
    """
    try:
        if "border" in line.words:
            raise ParameterError(OFF_ANOTHER)
        edge = line.edge(speed, viscosity)
        own = follow(edge, trip=tripped(line, trip))
        early = follow(edge, trip=float(edge.stations[0]))
    except ParameterError as error:
        return LeftAhead(None, why=error.problem)
    last = float(edge.stations[-1]) + float(np.linalg.norm(np.array(mouth) - place))
    might = [at for at in (own.leaves, own.may_leave, early.leaves) if at is not None]
    first = own.leaves if own.leaves is not None else min(might, default=None)
    return LeftAhead(
        0.0 if own.leaves is None else last - own.leaves,
        max((last - at for at in might), default=0.0),
        None if first is None else _place(line, first),
        "; ".join(own.words),
    )


def _place(line: Streamline, station: float) -> Vec3:
    at = [float(np.interp(station, line.stations, each)) for each in line.places.T]
    return vec(at)


def tripped(line: Streamline, station: float | None) -> float | None:
    """Return how far along a line [mm] it passes a station; None where it ends ahead of it."""
    beyond = np.inf if station is None else station
    passed = np.flatnonzero(line.places[:, 0] >= beyond)
    return float(line.stations[passed[0]]) if len(passed) else None
