"""A second look at what the pilot sees: rays from his eye through the meshes, past the glass."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import numpy as np

from geomgen.kernel.plain import Vec3
from geomgen.kernel.second_library import second_library
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.assembly.pilot_places import eye

FAR, START = 1e5, 1.5
# What is of glass all over does not bar.
GLAZING = "canopy"
# So far beside an edge it is looked [deg], beyond the figure's bound; wider bounds tell nothing.
BESIDE, WIDEST = 0.1, 0.1
# Rays along the horizon from straight ahead to the beam.
RAYS = 120


def seen_otherwise(
    p: Parameters, meshes: Mapping[str, Any], checks: Iterable[Any], swept: str = "prop_disc"
) -> Iterator[str]:
    """Yield figures of sight that rays contradict: what is told free is not, what is barred is."""
    at = eye(p)
    if at is None:
        return
    clear = (swept, GLAZING)
    bars = {name: _solid(each.mesh) for name, each in meshes.items() if name not in clear}
    known = {check.id: check for check in checks if check.measured is not None}
    side, turn = known.get("sight.side"), known.get("sight.into_turn")
    if side and abs(side.measured) < 89.0 and side.error_bound < WIDEST:
        off = BESIDE + side.error_bound
        barred = {
            sign: [_met(p, bars, at, _beam(-side.measured + sign * off, y)) for y in (1.0, -1.0)]
            for sign in (1.0, -1.0)
        }
        if any(barred[1.0]):
            yield f"sight.side: {side.measured:.2f} deg, but a ray just above that is barred"
        if not any(barred[-1.0]):
            yield f"sight.side: {side.measured:.2f} deg, but rays just below that are free"
    if turn and turn.measured > 2 * BESIDE + turn.error_bound:
        bank = np.radians(turn.measured - turn.error_bound - BESIDE)
        ways = [w for y in (1.0, -1.0) for w in _horizon(float(bank), y)]
        if any(_met(p, bars, at, way) for way in ways):
            yield f"sight.into_turn: {turn.measured:.2f} deg, but the horizon is barred before"


def _solid(mesh: Any) -> Any:
    library = second_library()
    raw = library.Mesh64(mesh.vertices.astype(np.float64), mesh.triangles.astype(np.uint64))
    return library.Manifold(raw)


def _beam(up: float, side: float) -> np.ndarray:
    return np.array([0.0, side * np.cos(np.radians(up)), np.sin(np.radians(up))])


def _horizon(bank: float, side: float) -> Iterator[np.ndarray]:
    for off in np.radians(np.linspace(1.0, 90.0, RAYS)):
        out = np.sin(off)
        yield np.array([-np.cos(off), side * out * np.cos(bank), out * np.sin(bank)])


def _met(p: Parameters, bars: Mapping[str, Any], at: Vec3, way: np.ndarray) -> bool:
    # Nothing nearer to the eye's own line than a millimetre is looked at.
    start = np.array(at) + way * START / max(abs(float(way[1])), 1e-2)
    for name, solid in bars.items():
        for hit in solid.ray_cast(start.tolist(), (start + FAR * way).tolist()):
            if name != "pod" or not _in_glass(p, np.asarray(hit.position)):
                return True
    return False


def _in_glass(p: Parameters, place: np.ndarray) -> bool:
    c = p.canopy
    if c is None or not c.fore_station <= place[0] <= c.aft_station:
        return False
    share = (place[0] - c.fore_station) / (c.aft_station - c.fore_station)
    return bool(place[2] >= c.fore_sill + share * (c.aft_sill - c.fore_sill))
