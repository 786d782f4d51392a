"""Cells in which a way of the air is looked for: what stands between them, what is inside."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from geomgen.arrays import Bools, Floats
from geomgen.kernel.airways.grid_walls import AirGrid, Owners, walls_between
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.openings.sealing import SEALED
from geomgen.kernel.plain import Vec3
from geomgen.kernel.second_library import passes

Walls = tuple[Owners, Owners, Owners]
# The hull and what belongs to it; what stands between them on all four sides is inside.
HULL = ("pod", "canopy", "scoop", "exit")
HUB = "the hub"
# A small mouth in a large hull gets larger cells than it would like, no more than so many.
MOST = 1_500_000
# Sides of the prism that stands for a hub; rays by which a point is told to lie in a mesh.
SIDES = 24
RAYS = ((0.577, 0.211, 0.789), (-0.314, 0.871, 0.378), (0.118, -0.623, 0.773))


@dataclass(frozen=True)
class Space:
    """Where a way is looked for: the cells' size and box [mm], the parts that may stand there."""

    step: float
    box: Box


@dataclass(frozen=True)
class Hub:
    """The propeller's hub, as thick as the hole of the swept volume: two ends and radius [mm]."""

    front: Vec3
    back: Vec3
    radius: float


def grid_of(space: Space, again: int) -> AirGrid:
    """Return the cells of a space; their middles lie on no round figure, where faces often do."""
    room = float(np.prod(space.box.size))
    step = max(space.step / 2**again, float(np.cbrt(room / MOST)))
    low = tuple(float(c) - 0.6180339 * step for c in space.box.low)
    x, y, z = (ceil((high - under) / step) for under, high in zip(low, space.box.high, strict=True))
    return AirGrid((low[0], low[1], low[2]), step, (x, y, z))


def walls_of(
    grid: AirGrid, bodies: Mapping[str, Body], families: Mapping[str, str], hub: Hub | None = None
) -> tuple[list[str], AirGrid, Walls, Bools]:
    """Return the names of what stands in a grid, its walls, and which cells the hull surrounds.

    The last is told of each cell (nx, ny, nz).
    """
    # Where several stand between two cells the last one counts: the hull comes last.
    names = sorted(bodies, key=lambda name: families.get(name) in HULL)
    others = sum(families.get(name) not in HULL for name in names)
    corners = [bodies[name].mesh.corners for name in names]
    if hub:
        names, corners = [HUB, *names], [prism(hub), *corners]
        others += 1
    low, high = np.array(grid.low), np.array(grid.high)
    near = [c[np.all((c.min(axis=1) <= high) & (c.max(axis=1) >= low), axis=1)] for c in corners]
    walls = walls_between(grid, near)
    return names, grid, walls, surrounded(grid, [wall > others for wall in walls])


def surrounded(grid: AirGrid, hull: Sequence[Bools]) -> Bools:
    """Return which cells (nx, ny, nz) have the hull on all four sides.

    `hull` says where it parts two cells, along each axis: (nx - 1, ny, nz) along the first.
    """
    inside = np.ones(grid.counts, dtype=bool)
    for axis in (1, 2):
        before = np.pad(hull[axis], [(1, 0) if k == axis else (0, 0) for k in range(3)])
        after = np.pad(hull[axis], [(0, 1) if k == axis else (0, 0) for k in range(3)])
        there = np.logical_or.accumulate(before, axis=axis)
        beyond = np.flip(np.logical_or.accumulate(np.flip(after, axis), axis=axis), axis)
        inside &= _joints_shut(grid, there, axis) & _joints_shut(grid, beyond, axis)
    return inside


def _joints_shut(grid: AirGrid, met: Bools, axis: int) -> Bools:
    """Return which lines along an axis meet the hull, also those that slip out through a joint.

    Middles of cells may lie in the slit between two pieces of a hull, all of a layer in a slit
    across it: the lines on both sides of it meet the pieces.
    """
    layers = int(SEALED // grid.step) + 1
    shut = met.copy()
    for across in {0, 1, 2} - {axis}:
        shut |= closed_over(met, layers, across)
    return shut


def closed_over(met: Bools, layers: int, axis: int) -> Bools:
    """Return which cells are met, or lie in a row of up to `layers` along an axis between such.

    `met` and the answer are shaped as the grid (nx, ny, nz). The same as a morphological closing by
    a line, which took ten to fifty times as long.

    >>> closed_over(np.array([[[True, False, True, False, False, True]]]), 1, 2)[0, 0].tolist()
    [True, True, True, False, False, True]
    """
    count = met.shape[axis]
    rows = np.moveaxis(met, axis, 0)
    wide = np.zeros((count + layers, *rows.shape[1:]), dtype=bool)
    for by in range(layers + 1):
        wide[by : by + count] |= rows
    shut = wide[:count].copy()
    for by in range(1, layers + 1):
        shut &= wide[by : by + count]
    return np.moveaxis(shut, 0, axis)


def cropped(
    names: list[str], grid: AirGrid, walls: Walls, inside: Bools, box: Box
) -> tuple[list[str], AirGrid, Walls, Bools]:
    """Return what of a grid lies round a box; what the hull surrounds is told before.

    `inside` tells it of each cell (nx, ny, nz), what is returned of those that are left.
    """
    low = [max(0, int((a - b) // grid.step)) for a, b in zip(box.low, grid.low, strict=True)]
    high = [
        min(n, int((a - b) // grid.step) + 1)
        for a, b, n in zip(box.high, grid.low, grid.counts, strict=True)
    ]
    part = tuple(slice(a, b) for a, b in zip(low, high, strict=True))
    x, y, z = (
        own[
            tuple(slice(a, b - (k == axis)) for k, (a, b) in enumerate(zip(low, high, strict=True)))
        ]
        for axis, own in enumerate(walls)
    )
    corner = [c + grid.step * a for c, a in zip(grid.low, low, strict=True)]
    counts = (high[0] - low[0], high[1] - low[1], high[2] - low[2])
    cut = AirGrid((corner[0], corner[1], corner[2]), grid.step, counts)
    return names, cut, (x, y, z), inside[part]


def prism(hub: Hub) -> Floats:
    """Return the triangles (m, 3, 3) [mm] of a hub, round it a polygon of its own area."""
    a, b = np.array(hub.front), np.array(hub.back)
    way = (b - a) / np.linalg.norm(b - a)
    one = np.cross(way, (0.0, 1.0, 0.0) if abs(way[1]) < 0.9 else (1.0, 0.0, 0.0))
    one /= np.linalg.norm(one)
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    size = hub.radius * np.sqrt(2 * np.pi / SIDES / np.sin(2 * np.pi / SIDES))
    ring = size * (np.cos(turn)[:, None] * one + np.sin(turn)[:, None] * np.cross(way, one))
    following = np.roll(ring, -1, axis=0)
    front, back = np.broadcast_to(a, ring.shape), np.broadcast_to(b, ring.shape)
    rows = [
        (front, a + ring, a + following),
        (back, b + ring, b + following),
        (a + ring, a + following, b + ring),
        (a + following, b + ring, b + following),
    ]
    return np.concatenate([np.stack(row, axis=1) for row in rows])


def material_of(bodies: Mapping[str, Body]) -> Callable[[Vec3], bool]:
    """Return what says of a point [mm] whether it lies in the mesh of one of some bodies.

    A ray that leaves a closed mesh passes its skin an odd number of times; most of three rays
    decide, for one may run along an edge.
    """

    def inside(body: Body, point: Vec3) -> bool:
        return sum(passes(body.hull, point, way) % 2 for way in RAYS) > 1

    return lambda point: any(inside(body, point) for body in bodies.values())


def along_and_across(grid: AirGrid, origin: Vec3, way: Vec3) -> tuple[Floats, Floats]:
    """Return how far cells lie along a way from a point, and how far beside it (nx, ny, nz) [mm].

    `origin` is a point [mm], `way` a unit vector [1].
    """
    off = [axis - start for axis, start in zip(grid.middles(), origin, strict=True)]
    x, y, z = (o * w for o, w in zip(off, way, strict=True))
    along = (x + y) + z
    across = square_away(grid, origin)
    across -= along**2
    return along, np.sqrt(np.maximum(across, 0.0, out=across), out=across)


def square_away(grid: AirGrid, point: Vec3) -> Floats:
    """Return the squares of how far cells lie from a point [mm], (nx, ny, nz) [mm2]."""
    x, y, z = (axis - start for axis, start in zip(grid.middles(), point, strict=True))
    return np.asarray((x * x + y * y) + z * z)


def off_line(grid: AirGrid, line: Sequence[Vec3]) -> Floats:
    """Return how far cells lie (nx, ny, nz) [mm] from a line of straight pieces [mm]."""
    least = np.full(grid.counts, np.inf)
    for a, b in zip(line[:-1], line[1:], strict=True):
        length = float(np.linalg.norm(np.subtract(b, a)))
        if length < 1e-9:
            continue
        x, y, z = np.subtract(b, a) / length
        along, across = along_and_across(grid, a, (float(x), float(y), float(z)))
        beyond = np.maximum(np.maximum(-along, along - length), 0.0)
        np.minimum(least, np.hypot(across, beyond), out=least)
    return least
