"""The pod's skin in the air: lines of pressure, the pressure at the rim, where the air leaves."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from geomgen.air.paneling.machine import Outside
from geomgen.air.potential.flow import Flow
from geomgen.air.potential.panels import NOBODY
from geomgen.air.slow_layer.following import follow
from geomgen.air.slow_layer.streamlines import SweptSurface, upstream
from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError, ParameterError
from geomgen.measurements.outside_air.left_skin import tripped

# Of the air at 15 C and sea level [m2/s]: ISO 2533.
VISCOSITY = 1.4607e-5
LINES = ("crown", "side", "keel")
# Rows of panels ahead of the open end whose pressure counts as that outside it.
ROWS = 2
# So many places at the end of a line are tried for one that the air can be followed back from.
TRIED = 3


@dataclass(frozen=True)
class SkinLine:
    """A line along the pod's skin: stations, waterlines [mm], pressure coefficients [1], (n,)."""

    name: str
    stations: Floats
    waterlines: Floats
    pressures: Floats


def alone(shown: Outside) -> Bools:
    """Say which of the pod's panels (n,) are skin with all their neighbours in the air."""
    panels = shown.panels
    open_ = (panels.neighbours != NOBODY).all(axis=(1, 2))
    return np.asarray(panels.of("pod") & ~shown.drawn & open_)


def lines(shown: Outside, flow: Flow) -> Iterator[SkinLine]:
    """Return the pressure along crown, side and keel; what other parts stand on is left out."""
    grid, panels, told = shown.grids["pod"], shown.panels, alone(shown)
    spots, found = panels.spots[told], flow.coefficients()[told]
    around = grid.shape[1] - 1
    for name, column in zip(LINES, (0, around // 2, around - 1), strict=True):
        middles = 0.25 * (
            grid[:-1, column] + grid[1:, column] + grid[:-1, column + 1] + grid[1:, column + 1]
        )
        size = np.linalg.norm(grid[1:, column] - grid[:-1, column], axis=1)
        off = np.linalg.norm(spots[None] - middles[:, None], axis=2)
        near = off.argmin(axis=1)
        own = off[np.arange(len(middles)), near] < 0.3 * size
        rows = near[own]
        yield SkinLine(name, spots[rows, 0], spots[rows, 2], found[rows])


def rim_pressure(shown: Outside, flow: Flow) -> float | None:
    """Return the pressure over the density [m2/s2] outside the open end; None if closed."""
    if shown.rim is None:
        return None
    rows = last_rows(shown)
    if not rows.any():
        raise GeometryError("no skin of the pod is left ahead of the open end", part="pod")
    if (rows & ~flow.doubtful).any():
        rows &= ~flow.doubtful
    return float(np.average(flow.pressure[rows], weights=shown.panels.areas[rows]))


def last_rows(shown: Outside) -> Bools:
    """Say which panels (n,) are the last rows of skin ahead of the open end."""
    assert shown.rim is not None
    at = np.unique(shown.grids["pod"][:, 0, 0])
    ahead = at[at <= shown.rim + 1e-6]
    first = float(ahead[-1 - ROWS]) if len(ahead) > ROWS else float(ahead[0])
    of = shown.panels.of("pod") & ~shown.drawn & (shown.panels.centres[:, 0] > first)
    return np.asarray(of & (np.abs(shown.panels.normals[:, 0]) < 0.9))


def surface(shown: Outside, flow: Flow) -> SweptSurface:
    """Return the pod's skin with the air's speeds over it, both sides, over the flight speed."""
    own = shown.panels.of("pod") & ~shown.drawn
    speed = float(np.linalg.norm(flow.stream))
    points, normals = shown.panels.spots[own], shown.panels.normals[own]
    speeds = flow.velocity[own] / speed
    other = np.array([1.0, -1.0, 1.0])
    return SweptSurface.of(
        np.concatenate([points, points * other]),
        np.concatenate([normals, normals * other]),
        np.concatenate([speeds, speeds * other]),
    )


def leaves_at(
    over: SweptSurface, last: SkinLine, speed: float, trip: float | None
) -> tuple[bool, float | None, str]:
    """Return whether it could be told where the air leaves the skin along a line, and where.

    The station [mm] is None where it stays on to the end; then words. `last` is that line; the air
    is followed back from its end. `trip` is the station [mm] where the skin stirs the layer.
    """
    why = "the line is too short"
    for back in range(1, min(TRIED, len(last.stations)) + 1):
        near = np.abs(over.points[:, 0] - last.stations[-back])
        near += np.abs(over.points[:, 2] - last.waterlines[-back])
        place = over.points[int(near.argmin())]
        try:
            line = upstream(over, place)
            layer = follow(line.edge(speed, VISCOSITY), trip=tripped(line, trip))
        except ParameterError as error:
            why = error.problem
            continue
        words = "; ".join(layer.words)
        if layer.leaves is None:
            return True, None, words
        return True, float(np.interp(layer.leaves, line.stations, line.places[:, 0])), words
    return False, None, f"not told: {why}"
