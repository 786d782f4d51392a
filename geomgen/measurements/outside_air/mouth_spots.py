"""Places along the pod where a mouth might stand: what it would find there, without a size yet."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from geomgen.air.paneling.machine import Outside
from geomgen.air.potential.flow import Flow
from geomgen.air.slow_layer.streamlines import Streamline, SweptSurface, upstreams
from geomgen.arrays import Floats
from geomgen.errors import ParameterError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.openings.window import angle_between
from geomgen.kernel.plain import Glass, Plane, vec
from geomgen.measurements.outside_air.mouths import layer_at
from geomgen.measurements.outside_air.skin import SkinLine, lines, surface
from geomgen.measurements.outside_air.states import SolvedMachine
from geomgen.measurements.record import Measurement

ID = "air.spot."
# So many places of a line are looked at, evenly along it: own choice.
EACH = 12
LEFT = "the layer has left the surface before"
# What a mouth has to keep clear of.
OTHERS = ("wing", "boom", "tailplane", "fin", "pylon")


@dataclass(frozen=True)
class Surroundings:
    """What stands about the pod: meshes [mm] by part, their families, the fan's face, the glass."""

    meshes: Mapping[str, Mesh]
    families: Mapping[str, str]
    fan: Plane | None
    glass: Glass | None


def mouth_spots(
    machine: SolvedMachine,
    flows: Mapping[str, tuple[float, Flow]],
    around: Surroundings,
    trip: float | None,
) -> list[dict[str, Any]]:
    """Return places [mm] with pressures, speeds [1] and slow layer [mm] in each flow by state.

    `flows` has speed [m/s] and flow of each; `trip` is the station [mm] where the skin stirs the
    layer. With each place stand the turn [deg] and way [mm] straight to the fan and how near
    other parts are [mm].
    """
    shown = machine.outside
    swept = {state: surface(shown, flow) for state, (_, flow) in flows.items()}
    by_line: dict[str, dict[str, SkinLine]] = {}
    for state, (_, flow) in flows.items():
        for line in lines(shown, flow):
            by_line.setdefault(line.name, {})[state] = line
    others = {
        name: MeshSearch(mesh.vertices[mesh.triangles])
        for name, mesh in around.meshes.items()
        if around.families.get(name) in OTHERS
    }
    first = next(iter(flows), "")
    looked = [
        (name, at, _nearest(swept[first], same[first], at))
        for name, same in by_line.items()
        for at in _looked_at(next(iter(same.values())).stations)
    ]
    places = [place for *_, place in looked]
    led = {state: upstreams(over, over.points[places]) for state, over in swept.items()}
    found = []
    for number, (name, at, place) in enumerate(looked):
        over, same = swept[first], by_line[name]
        spot = over.points[place]
        row: dict[str, Any] = {"line": name, "at": spot.tolist()}
        row["states"] = {
            state: {
                "pressure": float(same[state].pressures[at]),
                "speed": float(np.linalg.norm(swept[state].speeds[place])),
                **_layer(shown, swept[state], led[state][number], speed, trip),
            }
            for state, (speed, _) in flows.items()
        }
        row |= _way(spot, over.speeds[place], around.fan)
        row["near"] = {n: float(s.nearest(spot[None]).distance[0]) for n, s in others.items()}
        row["glass"] = around.glass is not None and _glazed(spot, around.glass)
        found.append(row)
    return found


def _looked_at(stations: Floats) -> Iterator[int]:
    """Return the places of a line that lie nearest to even stations.

    >>> list(_looked_at(np.array([0.0, 10.0, 20.0, 79.0, 80.0])))
    [0, 1, 2, 4]
    """
    if len(stations):
        even = np.linspace(stations[0], stations[-1], EACH)
        near = np.abs(stations[None] - even[:, None]).argmin(axis=1)
        kept = np.abs(stations[near] - even) <= 0.51 * (even[1] - even[0])
        yield from np.unique(near[kept]).tolist()


def _nearest(over: SweptSurface, line: SkinLine, at: int) -> int:
    off = np.abs(over.points[:, 0] - line.stations[at])
    return int((off + np.abs(over.points[:, 2] - line.waterlines[at])).argmin())


def _layer(
    shown: Outside,
    over: SweptSurface,
    line: Streamline | ParameterError,
    speed: float,
    trip: float | None,
) -> dict[str, Any]:
    try:
        if isinstance(line, ParameterError):
            raise line
        layer = layer_at(shown, over, line, speed, trip)
    except ParameterError as error:
        return {"why": error.problem}
    if layer.total[1] == inf:
        return {"why": LEFT if layer.leaves is not None else "; ".join(layer.words)}
    return {"thick": layer.best.total, "band": layer.total, "shape": layer.best.shape}


def _way(spot: Floats, along: Floats, fan: Plane | None) -> dict[str, float]:
    """Return the turn [deg] from the air along the skin straight to the fan and into it, the way.

    As `duct.turn_angle` counts it, through no throats.
    """
    if fan is None or not np.linalg.norm(along):
        return {}
    way = np.array(fan.origin) - spot
    straight, air = vec(way.tolist()), vec(along.tolist())
    turn = angle_between(air, straight) + angle_between(straight, fan.normal)
    return {"turn": turn, "way": float(np.linalg.norm(way))}


def _glazed(spot: Floats, glass: Glass) -> bool:
    sill = np.interp(spot[0], [glass.fore, glass.aft], [glass.fore_sill, glass.aft_sill])
    return bool(glass.fore <= spot[0] <= glass.aft and spot[2] >= sill)


def said_of_spots(spots: Sequence[Mapping[str, Any]], method: str) -> Iterator[Measurement]:
    """Return each place with its figures by name; what was not told has none, the note says why."""
    for number, spot in enumerate(spots, 1):
        further: dict[str, float] = {"glass": float(spot["glass"])}
        further |= {what: spot[what] for what in ("turn", "way") if what in spot}
        further |= {f"near {name}": off for name, off in spot["near"].items()}
        for state, row in spot["states"].items():
            names = [what for what in ("pressure", "speed", "thick", "shape") if what in row]
            further |= {f"{what} {state}": row[what] for what in names}
            if "band" in row:
                further |= {f"least thick {state}": row["band"][0]}
                further |= {f"most thick {state}": row["band"][1]}
        whys = [f"{s}: {row['why']}" for s, row in spot["states"].items() if "why" in row]
        yield Measurement(
            f"{ID}{spot['line']}.{number}", "pod", "a place where a mouth might stand",
            spot["at"][0], "mm",
            f"{method}; by state pressure coefficient and speed ratio there, in mm thickness of "
            "the slow layer and in 1 its shape, in deg the turn straight to the fan, in mm that "
            "way and how near other parts are", points=(vec(spot["at"]),), note="; ".join(whys),
            further=tuple(further.items()),
        )  # fmt: skip
