"""The way of the air from all mouths together: what several share has to serve them all.

Each mouth by itself may pass where all together do not: where their ways meet, the stream of each
takes its part of the room.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from geomgen.kernel.airways.open_way import open_way
from geomgen.kernel.airways.streams import streams_met
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Passage
from geomgen.measurements.cooling_air.way_found import AND_PLANES, NO_PLANES, LeastArea, found_on
from geomgen.measurements.cooling_air.way_grid import Space, cropped, grid_of, material_of, walls_of
from geomgen.measurements.cooling_air.whole_way import (
    INLET_LOOKS,
    inlet_space,
    joint_of,
    room_of,
    round_passage,
)
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Planes are laid where the cells have less than so many times what the mouths have by themselves:
# own choice, far beyond the cells' bound.
ROOMY = 2.0
ID, PART = "inlet.way", "inlets"
SHARED = (
    "least open area from the free air ahead of all mouths to the fan, where ways meet for all "
    "that meet there"
)


@dataclass(frozen=True)
class SharedWay:
    """The mouths whose ways meet, and the least that is found from there on."""

    mouths: tuple[str, ...]
    found: LeastArea


@dataclass(frozen=True)
class CombinedWays:
    """What is found of all mouths' ways together, on cells of a size [mm].

    `missed` are the mouths that have a way by themselves and none here.
    """

    shared: tuple[SharedWay, ...]
    missed: tuple[str, ...]
    step: float


@dataclass(frozen=True)
class MouthGroup:
    """Mouths and their least area together [mm2]; `found` where it is where their ways meet.

    `unseen` is how much less a place that they share might leave [mm2]; None where there is none.
    """

    mouths: frozenset[str]
    area: float
    bound: float
    found: LeastArea | None = None
    unseen: float | None = None


def all_mouths_space(passages: Sequence[Passage], hull: Sequence[Box]) -> Space:
    """Return where the ways through all mouths are looked for, in the cells of the smallest."""
    spaces = [inlet_space(passage, hull) for passage in passages]
    return Space(min(space.step for space in spaces), _round_all([s.box for s in spaces]))


def _round_all(boxes: Sequence[Box]) -> Box:
    a, b, c = np.min([box.low for box in boxes], axis=0).tolist()
    d, e, f = np.max([box.high for box in boxes], axis=0).tolist()
    return Box((a, b, c), (d, e, f))


def ways_together(
    passages: Sequence[Passage],
    space: Space,
    bodies: Mapping[str, Body],
    families: Mapping[str, str],
    alone: Mapping[str, float],
) -> CombinedWays:
    """Return what is found where the ways of several mouths meet.

    `alone` is what each mouth's way leaves by itself [mm2]. Looked at wider and closer like a
    single way, as long as less may be left for all than that in sum.
    """
    best: CombinedWays | None = None
    for again, wide in INLET_LOOKS:
        if again and best is not None and not best.missed:
            break
        found = _look(passages, space, bodies, families, alone, again, wide)
        # What is looked at wider takes in the straight way.
        if best is None or len(found.missed) <= len(best.missed):
            best = found
        groups = least_together({name: (area, 0.0) for name, area in alone.items()}, best.shared)
        if not best.missed and all(group.found is None for group in groups):
            break
    assert best is not None
    return best


def _look(
    passages: Sequence[Passage],
    space: Space,
    bodies: Mapping[str, Body],
    families: Mapping[str, str],
    alone: Mapping[str, float],
    again: int,
    wide: bool,
) -> CombinedWays:
    names, grid, walls, inside = cropped(
        *walls_of(grid_of(space, again), bodies, families),
        space.box if wide else _round_all([round_passage(each) for each in passages]),
    )
    # The fan draws in over a disc that has room for all mouths, as it has for each by itself.
    fan = float(np.sqrt(sum(each.mouth.reach**2 for each in passages)))
    rooms, begun, goal = [], np.full(grid.counts, -1), np.zeros(grid.counts, dtype=bool)
    for number, each in enumerate(passages):
        others = [other.mouth.seed for other in passages if other is not each]
        room, begin, end = room_of(grid, inside, each, others, wide, fan)
        rooms.append(room)
        begun[begin & (begun < 0)] = number
        goal |= end
    of_all = np.any(rooms, axis=0)
    way = open_way(grid, walls, of_all, (begun >= 0) & ~goal, goal, material_of(bodies), rooms)
    open_ = [] if way is None else np.unique(begun.ravel()[way.cells[way.first]]).tolist()
    missed = tuple(
        each.name for k, each in enumerate(passages) if k not in open_ and alone[each.name] > 0.0
    )
    if way is None:
        return CombinedWays((), missed, grid.step)
    joint = max(joint_of(each) for each in passages)
    shared = []
    for met in streams_met(way, np.where(way.first, begun.ravel()[way.cells], -1)):
        mouths = tuple(passages[k].name for k in met.streams)
        enough = ROOMY * sum(alone[name] for name in mouths)
        found = found_on(met.way, walls, bodies, names, joint, enough=enough)
        shared.append(SharedWay(mouths, found))
    return CombinedWays(tuple(shared), missed, grid.step)


def least_together(
    alone: Mapping[str, tuple[float, float]], shared: Sequence[SharedWay]
) -> list[MouthGroup]:
    """Return the mouths in groups, each with the least that is known of it.

    `alone` is the area and its bound of each mouth's way [mm2]. What a shared place leaves counts
    only if it is surely less than its mouths have by themselves: the grid is the coarser.
    """
    groups = [MouthGroup(frozenset({name}), *area) for name, area in alone.items()]
    for each in sorted(shared, key=lambda s: len(s.mouths)):
        inside = [g for g in groups if g.mouths <= set(each.mouths)]
        groups = [g for g in groups if g not in inside]
        area, bound = sum(g.area for g in inside), sum(g.bound for g in inside)
        mouths = frozenset(each.mouths)
        told = each.found.told
        if told.area + told.bound < area:
            groups.append(MouthGroup(mouths, told.area, told.bound, each.found, each.found.unseen))
            continue
        unseen = max(area - each.found.area + each.found.bound, 0.0)
        unseen = max([unseen, *(g.unseen for g in inside if g.unseen is not None)])
        below = next((g.found for g in inside if g.found), None)
        groups.append(MouthGroup(mouths, area, bound, below, unseen))
    return groups


def shared_record(
    ways: Sequence[Measurement], together: CombinedWays | None, fan: bool
) -> Measurement:
    """Return the least area of the ways from all mouths as a record; `ways` are those of each.

    `fan`: whether the ways lead to a fan; else each ends in the bay behind its passage.
    """
    record = Measurement(ID, PART, SHARED, None, "mm2", "", broken=True)
    unknown = [way.part for way in ways if way.value is None]
    if unknown or together is None:
        why = f"the way of {' and '.join(unknown) or 'a mouth'} could not be measured by itself"
        return replace(record, note=why)
    if together.missed:
        why = (
            f"on cells of {together.step:.1f} mm no way of {' and '.join(together.missed)} is "
            "found beside the others', so that what they share could not be told"
        )
        return replace(record, note=why)
    alone = {way.part: (way.value or 0.0, way.error_bound or 0.0) for way in ways}
    groups = least_together(alone, together.shared)
    narrow = [group for group in groups if group.found is not None]
    told = [group.found.told for group in narrow if group.found is not None]
    return replace(
        record,
        value=sum(group.area for group in groups),
        error_bound=sum(group.bound for group in groups),
        method=_method(groups, together),
        note="; ".join([*map(_narrowed, narrow), _unseen(groups, together, fan)]),
        where="; ".join([place(t.at) for t in told if t.at] or [w.where for w in ways if w.where]),
        points=tuple(t.at for t in told if t.at),
        broken=any(way.broken for way in ways),
    )


def _method(groups: Sequence[MouthGroup], together: CombinedWays) -> str:
    words = ["sum of the ways through each mouth"]
    if any(group.found for group in groups):
        words = ["sum of the ways, for mouths that share a narrow place that place once"]
    if together.shared:
        words.append(
            f"where ways meet: surfaces of equal potential on cells of {together.step:.1f} mm, "
            f"with all parts that stand there{AND_PLANES if _by_planes(together) else ''}"
        )
    return "; ".join(words)


def _narrowed(group: MouthGroup) -> str:
    assert group.found is not None
    mouths, beside = sorted(group.mouths), group.found.told.beside
    by = f"narrowed by {' and '.join(beside[:2])}"
    return f"{' and '.join(mouths)} share a narrow place, {by}"


def _by_planes(together: CombinedWays) -> bool:
    return any(each.found.plane for each in together.shared)


def _unseen(groups: Sequence[MouthGroup], together: CombinedWays, fan: bool) -> str:
    if not together.shared:
        return f"the ways meet nowhere before {'the fan' if fan else 'they end in the bay'}"
    off = max((group.unseen for group in groups if group.unseen is not None), default=0.0)
    words = "where the ways meet there is room for all"
    if off > 0.0:
        planes = NO_PLANES if _by_planes(together) else ""
        words = f"{planes}a shared place narrower by less than {off / 100:.1f} cm^2 is not seen"
    end = "; without a fan the ways end in the bay: what they share behind that is not looked at"
    return words if fan else words + end
