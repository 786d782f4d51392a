"""What is found of a way of the air, and how it is told: by the grid's cells, by planes across."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from geomgen.arrays import Bools, Floats
from geomgen.kernel.airways.across_way import least_plane
from geomgen.kernel.airways.grid_walls import AirGrid
from geomgen.kernel.airways.least_section import RoughSection, void_of
from geomgen.kernel.airways.narrowest import least_surface
from geomgen.kernel.airways.open_way import OpenWay, barring, open_way
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.openings.sealing import sealed_width
from geomgen.kernel.plain import Vec3
from geomgen.measurements.cooling_air.way_grid import HUB, Hub, Walls, material_of, prism
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# What a builder can do about a place that is not seen.
LOOK = "look at the sections there (drawings.stations), or make the opening larger"
NO_PLANES = "between the planes laid across, or round a plate's edge, "
AND_PLANES = "; planes laid across the stream there, cut with the meshes of all parts"
# At so many places of its border it is told beside what a section lies, so near a skin [mm].
BORDER, AT_SKIN = 64, 0.1
# Of parts that bar a way so many are named, the smallest first.
SAID = 3


@dataclass(frozen=True)
class PlaneFound:
    """The least plane section across a way: area [mm2], how far off [mm2], where, beside what."""

    area: float
    bound: float
    at: Vec3
    beside: tuple[str, ...]


@dataclass(frozen=True)
class LeastArea:
    """The least area of a way [mm2], its bound [mm2], where, beside which parts, the cells [mm].

    `at` is None where the way is shut, `beside` then names what alone bars it. `plane` is the least
    plane section that parts the way.
    """

    area: float
    bound: float
    at: Vec3 | None
    beside: tuple[str, ...]
    step: float
    plane: PlaneFound | None = None

    @property
    def unseen(self) -> float:
        """Return by how much less than told a surface that is no plane may leave [mm2]."""
        return max(self.told.area - self.area, 0.0) + self.bound

    @property
    def told(self) -> "PlaneFound | LeastArea":
        """Return what is known best: the plane's, unless the cells are surely narrower."""
        plane = self.plane
        return self if plane is None or self.area + self.bound < plane.area else plane


def found_in(
    grid: AirGrid,
    walls: Walls,
    ends: tuple[Bools, Bools, Bools],
    bodies: Mapping[str, Body],
    names: Sequence[str],
    joint: float,
    hub: Hub | None = None,
) -> LeastArea:
    """Return the least of a way whose `ends` are its room, where it begins and where it goes to.

    They say it of each cell (nx, ny, nz). `joint` is the widest gap stated for a joint [mm].
    """
    way = open_way(grid, walls, *ends, material_of(bodies))
    if way is None:
        bars = tuple(names[k - 1] for k in barring(walls, *ends))
        return LeastArea(0.0, 0.0, None, bars, grid.step)
    return found_on(way, walls, bodies, names, joint, hub)


def found_on(
    way: OpenWay,
    walls: Walls,
    bodies: Mapping[str, Body],
    names: Sequence[str],
    joint: float,
    hub: Hub | None = None,
    enough: float = np.inf,
) -> LeastArea:
    """Return the least of a way that is open; no planes where the cells have `enough` [mm2].

    `joint` is the widest gap that is stated for a joint [mm].
    """
    least = least_surface(way, walls)
    beside = tuple(names[k - 1] for k in least.beside)
    plane = None if least.area >= enough else _least_plane(way, bodies, joint, hub)
    return LeastArea(least.area, least.bound, least.at, beside, way.grid.step, plane)


def _least_plane(
    way: OpenWay, bodies: Mapping[str, Body], joint: float, hub: Hub | None
) -> PlaneFound | None:
    box = Box(way.grid.low, way.grid.high)
    standing = {name: body.mesh.corners for name, body in bodies.items()}
    also = []
    if hub:
        standing[HUB] = prism(hub)
        also.append(standing[HUB].reshape(-1, 3))
    void = void_of(box, list(bodies.values()), sealed_width(joint), also)
    flat = least_plane(way, void)
    if flat is None:
        return None
    return PlaneFound(flat.area, flat.off, flat.centroid, _beside(flat, standing))


def _beside(section: RoughSection, standing: Mapping[str, Floats]) -> tuple[str, ...]:
    """Return whose skins (m, 3, 3) [mm] a section ends at, the most of its border first."""
    border = section.round_it(BORDER)
    low, high = border.min(axis=0) - AT_SKIN, border.max(axis=0) + AT_SKIN
    count = {}
    for name, corners in standing.items():
        near = np.all((corners.min(axis=1) <= high) & (corners.max(axis=1) >= low), axis=1)
        if np.any(near):
            off = MeshSearch(corners[near]).nearest(border).distance
            count[name] = int(np.sum(off <= AT_SKIN + section.blur))
    return tuple(sorted((n for n in count if count[n]), key=lambda n: -count[n]))


def way_record(
    id_: str, part: str, what: str, found: LeastArea | None, planes: Measurement | None
) -> Measurement:
    """Return the least area of a way as a record; `planes` is the least area found in planes.

    The planes' figure stands where the way is not narrower by more than the grid can be off, and
    where the planes have none no way was looked for.
    """
    if found is None:
        why = "a plane of it is blocked or not closed all round, and no way was looked for"
        return Measurement(id_, part, what, None, "mm2", "", note=why, broken=True)
    about = f"surfaces of equal potential on cells of {found.step:.1f} mm"
    told = found.told
    also = NO_PLANES if found.plane else ""
    if planes is not None and planes.value is not None and told.area + told.bound >= planes.value:
        off = max(planes.value - found.area, 0.0) + found.bound
        return replace(
            planes,
            id=id_,
            part=part,
            what=what,
            method=f"{planes.method}; nowhere else narrower by more than {off:.0f} mm^2: {about}"
            f"{AND_PLANES if found.plane else ''}",
            note=f"figure and bound are those of the planes; {also}a place narrower by less than "
            f"{off / 100:.1f} cm^2 is not seen: {LOOK}",
        )
    at, note = told.at, f"narrowed by {' and '.join(told.beside[:2])}"
    if told is not found:
        unseen = f"a place narrower by less than {found.unseen / 100:.1f} cm^2 is not seen"
        note += f"; {also}{unseen}: {LOOK}"
    return Measurement(
        id_,
        part,
        what,
        told.area,
        "mm2",
        f"{about}, with all parts that stand there{'' if told is found else AND_PLANES}",
        told.bound,
        "" if at is None else place(at),
        () if at is None else (at,),
        note if at else _shut(found),
        broken=at is None,
    )


def _shut(found: LeastArea) -> str:
    bars = " or without ".join(found.beside[:SAID])
    there = f"; there would be one without {bars}" if bars else ""
    return f"no way wider than {found.step:.1f} mm is left{there}"
