"""The whole way of the cooling air: through a mouth to the fan, from the engine to the free air.

Planes see what stands in them; this sees what stands anywhere: a plate ahead of a mouth, a wing
between passage and fan, a spinner close behind the rim. It is coarser than the planes, so their
figure stands unless the way is narrower by more than the grid can be off.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from geomgen.arrays import Bools, Floats
from geomgen.kernel.airways.grid_walls import AirGrid
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Opening, Passage, Vec3
from geomgen.measurements.cooling_air.way_found import LeastArea, found_in
from geomgen.measurements.cooling_air.way_grid import (
    Hub,
    Space,
    along_and_across,
    cropped,
    grid_of,
    off_line,
    square_away,
    walls_of,
)

# So far ahead of a mouth, beside its middle, and beside the way to the fan is looked, in times of
# the half diagonal of its window: twice is once the mouth's own size. Own choice.
ROUND = 2.0
# Cells along the half diagonal of a mouth, and across a rim.
ACROSS_MOUTH, ACROSS_RIM = 13.0, 32.0
# A way that is shut for the grid is looked at again so often, with half the cells' size.
AGAIN = 1
# So a mouth's way is looked at: beside the straight way, then in the whole bay, then, where it is
# shut, in cells of half the size; each the number of halvings, and whether in the whole bay.
INLET_LOOKS = ((0, False), (0, True), (1, False))
# An engine ends, for the air that leaves it, where it has last half of its largest section.
HALF, SECTIONS = 0.5, 24
LIPS = 2.0


def inlet_space(passage: Passage, hull: Sequence[Box]) -> Space:
    """Return where the way from the free air ahead of a mouth to the fan is looked for."""
    box = round_passage(passage)
    low, high = np.array(box.low), np.array(box.high)
    return Space(passage.mouth.reach / ACROSS_MOUTH, with_hull(low, high, hull))


def _box(low: Floats, high: Floats) -> Box:
    (a, b, c), (d, e, f) = low.tolist(), high.tolist()
    return Box((a, b, c), (d, e, f))


def round_passage(passage: Passage) -> Box:
    """Return the box [mm] round the places that the air of a mouth may pass."""
    line, room = np.array(_line(passage)), ROUND * passage.mouth.reach
    low, high = line.min(axis=0) - room, line.max(axis=0) + room
    return _box(low, high)


def with_hull(low: Floats, high: Floats, hull: Sequence[Box]) -> Box:
    """Return the box of two corners (3,) [mm], grown to the hull's whole breadth and height.

    So inside can be told. The corners that were given are changed.
    """
    for axis in (1, 2):
        low[axis] = min([low[axis], *(box.low[axis] - 1.0 for box in hull)])
        high[axis] = max([high[axis], *(box.high[axis] + 1.0 for box in hull)])
    return _box(low, high)


def _line(passage: Passage) -> list[Vec3]:
    """Return the places [mm] that the air passes, from the mouth to the fan."""
    seeds = [passage.mouth.seed, *(throat.seed for throat in passage.throats), passage.into_bay]
    return seeds if passage.fan is None else [*seeds, passage.fan.origin]


def inlet_way(
    passage: Passage,
    space: Space,
    bodies: Mapping[str, Body],
    families: Mapping[str, str],
    others: Sequence[Vec3] = (),
    enough: float = np.inf,
) -> LeastArea:
    """Return the least area [mm2] of the way through one mouth, with all that stands there.

    Looked at closer and wider as long as it may be less than `enough` [mm2], what planes give.
    What is nearer to the mouth of another passage, at `others` [mm], up to the last throat is none
    of its way.
    """
    best: LeastArea | None = None
    for again, wide in INLET_LOOKS:
        if again and best is not None and best.at is not None:
            break
        found = _inlet_look(passage, space, bodies, families, others, again, wide)
        # What is looked at wider takes in the straight way.
        best = found if best is None or found.at is not None else best
        if best.told.area + best.told.bound >= enough and best.at is not None:
            break
    assert best is not None
    return best


def _inlet_look(
    passage: Passage,
    space: Space,
    bodies: Mapping[str, Body],
    families: Mapping[str, str],
    others: Sequence[Vec3],
    again: int,
    wide: bool,
) -> LeastArea:
    """Look through one mouth once; `wide`: in the whole bay, not only beside the straight way."""
    names, grid, walls, inside = cropped(
        *walls_of(grid_of(space, again), bodies, families),
        space.box if wide else round_passage(passage),
    )
    ends = room_of(grid, inside, passage, others, wide, passage.mouth.reach)
    return found_in(grid, walls, ends, bodies, names, joint_of(passage))


def room_of(
    grid: AirGrid, inside: Bools, passage: Passage, others: Sequence[Vec3], wide: bool, fan: float
) -> tuple[Bools, Bools, Bools]:
    """Return the cells that a mouth's air may pass, those it comes from, those it goes to.

    Each of them is told of all cells (nx, ny, nz), as `inside` is. `others` are points in the other
    mouths [mm], `fan` is how far from the fan's middle the air may be drawn in [mm].
    """
    way = _inflow(passage)
    ahead, across = along_and_across(grid, passage.mouth.seed, way)
    room, step = ROUND * passage.mouth.reach, grid.step
    free = (ahead < 0.0) & (ahead > -room) & (across < room) & ~inside
    rim_of_free = (ahead < 1.5 * step - room) | (across > room - 1.5 * step)
    beside_line = off_line(grid, _line(passage)) < room
    if wide:
        beside_line |= ahead > _length(passage)
    # The lips stand a little ahead of the plane: cells between them are inside already.
    bay = (ahead > -LIPS * step) & inside & beside_line
    own = _own(grid, passage, ahead, others)
    free, bay = free & own, bay & own
    end, towards = _end(passage)
    along, beside = along_and_across(grid, end, towards)
    goal = bay & (np.abs(along) < 1.5 * step) & (beside < fan)
    return free | bay, free & rim_of_free, goal


def joint_of(passage: Passage) -> float:
    """Return the widest gap [mm] that is stated for a joint of a passage."""
    return max(where.joint for where in (passage.mouth, *passage.throats))


def _length(passage: Passage) -> float:
    """Return how far the last throat lies behind the mouth, along the stream there [mm]."""
    last = _line(passage)[len(passage.throats)]
    return float(np.subtract(last, passage.mouth.seed) @ np.array(_inflow(passage)))


def _own(grid: AirGrid, passage: Passage, ahead: Floats, others: Sequence[Vec3]) -> Bools:
    length = _length(passage)
    own: Bools = np.ones(grid.counts, dtype=bool)
    to_mine = square_away(grid, passage.mouth.seed)
    for other in others:
        own &= (to_mine <= square_away(grid, other)) | (ahead > length + grid.step)
    return own


def _inflow(passage: Passage) -> Vec3:
    """Return the way the air comes in at the mouth, a unit vector."""
    first = _line(passage)[1]
    x, y, z = passage.mouth.plane.normal
    ahead = np.subtract(first, passage.mouth.seed) @ np.array((x, y, z))
    return (x, y, z) if ahead >= 0 else (-x, -y, -z)


def _end(passage: Passage) -> tuple[Vec3, Vec3]:
    """Return where the way ends, and the unit vector of the air there."""
    if passage.fan is not None:
        return passage.fan.origin, passage.fan.normal
    line = _line(passage)
    x, y, z = np.subtract(line[-1], line[-2]) / np.linalg.norm(np.subtract(line[-1], line[-2]))
    return line[-1], (float(x), float(y), float(z))


def exit_space(
    exits: Sequence[Opening], engine: Sequence[Box], bay: Sequence[float], hull: Sequence[Box]
) -> Space:
    """Return where the way from the engine to the free air behind the rim is looked for.

    `bay` are stations where the air is in the bay [mm].
    """
    rim = _rim(exits)
    wide = _breadth(rim)
    start = min([*(box.low[0] for box in engine), *bay, _first(exits)]) - 3 * wide / ACROSS_RIM
    low, high = np.array(rim.seed) - rim.reach, np.array(rim.seed) + rim.reach
    low[0], high[0] = start, rim.seed[0] + wide
    return Space(wide / ACROSS_RIM, with_hull(low, high, hull))


def bay_stations(passages: Sequence[Passage], exits: Sequence[Opening]) -> list[float]:
    """Return where the air is in the bay [mm]: at fans, behind passages, or at the exit."""
    return [(p.fan.origin if p.fan else p.into_bay)[0] for p in passages] or [_first(exits)]


def _first(exits: Sequence[Opening]) -> float:
    return min(o.seed[0] for o in exits)


def _rim(exits: Sequence[Opening]) -> Opening:
    return max(exits, key=lambda o: o.seed[0])


def _breadth(rim: Opening) -> float:
    """Return about how wide the rim is [mm]: its window reaches half as far again."""
    return rim.reach / 1.5


def exit_way(
    exits: Sequence[Opening],
    space: Space,
    bodies: Mapping[str, Body],
    families: Mapping[str, str],
    bay: Sequence[float],
    hub: Hub | None = None,
) -> LeastArea:
    """Return the least area [mm2] of the way from behind the engine to the free air.

    Without an engine the way begins at the last of the stations `bay` [mm].
    """
    rim = _rim(exits)
    start = _engine_ends(bodies, families)
    start = min(max(bay) if start is None else start + space.step, _first(exits))
    for again in range(AGAIN + 1):
        names, grid, walls, inside = walls_of(grid_of(space, again), bodies, families, hub)
        x, y, z = grid.middles()
        room_of_bay = inside & (x >= start - 2 * grid.step) & (x <= rim.seed[0])
        middle, wide = _middle_of(grid, room_of_bay & (x > rim.seed[0] - 2 * grid.step))
        across = np.hypot(y - middle[0], z - middle[1])
        room = wide + 0.5 * _breadth(rim)
        free = (x > rim.seed[0]) & (across < room)
        begin = room_of_bay & (x < start)
        goal = free & ((x > grid.high[0] - 1.5 * grid.step) | (across > room - 1.5 * grid.step))
        joint = max(where.joint for where in exits)
        ends = (room_of_bay | free, begin, goal)
        found = found_in(grid, walls, ends, bodies, names, joint, hub)
        if found.at is not None:
            break
    return found


def _middle_of(grid: AirGrid, cells: Bools) -> tuple[tuple[float, float], float]:
    """Return the middle (y, z) of some cells, and how far the farthest is from it [mm]."""
    places = np.nonzero(cells.any(axis=0))
    if not len(places[0]):
        return (0.0, 0.0), 0.0
    y, z = (grid.low[k + 1] + grid.step * (places[k] + 0.5) for k in (0, 1))
    middle = (float(y.min() + y.max()) / 2, float(z.min() + z.max()) / 2)
    return middle, float(np.hypot(y - middle[0], z - middle[1]).max())


def _engine_ends(bodies: Mapping[str, Body], families: Mapping[str, str]) -> float | None:
    """Return the last station [mm] at which an engine has half of its largest section."""
    ends = []
    for name, body in bodies.items():
        if families.get(name) == "engine":
            low, high = (float(f(body.mesh.vertices[:, 0])) for f in (np.min, np.max))
            at = low + (high - low) * (np.arange(SECTIONS) + 0.5) / SECTIONS
            # The second library cuts across z only: its z is our x.
            turned = body.hull.rotate((0.0, -90.0, 0.0))
            area = np.array([abs(turned.slice(float(x)).area()) for x in at])
            last = at[np.nonzero(area >= HALF * area.max())[0][-1]]
            ends.append(float(last) + 0.5 * (high - low) / SECTIONS)
    return max(ends, default=None)
