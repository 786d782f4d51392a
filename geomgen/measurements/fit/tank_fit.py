"""How much room a tank has all round, and whether it comes out straight with others taken off."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from geomgen.kernel.brep.boxes import boxes_apart
from geomgen.kernel.interference.meeting import hull_gap, triangles
from geomgen.kernel.interference.near_triangles import nearest_points
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Plane, TankRoom, vec
from geomgen.kernel.visibility.straight_way import TOUCH, met_on_the_way
from geomgen.measurements.fit.straight_ways_in import AXES, COARSE, means, unsure
from geomgen.measurements.least_gap import before_each, bound_of_least, may_be_nearest
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

FIT, OUT, WALL = "tank.fit", "tank.out", "tank.firewall"
# What a box keeps farther off is asked for only where it may be the nearest [mm]; so many of the
# nearest are told: own choice.
ROUND, TOLD = 100.0, 3
METHOD = (
    "least gap of the tank's mesh to every other part's, but for those that it rests on; straps, "
    "lines and what else is not drawn are not seen"
)
WALL_METHOD = (
    "least gap of the tank's mesh to the sheet's; negative, how far it stands behind the sheet's "
    "front plane, as far as the sheet reaches sideways, up and down; on meshes"
)
OUT_METHOD = (
    "the tank's mesh moved straight out past every other part's but those taken off, the pod's "
    f"skin closed; exact on the meshes, where they overlap by more than {TOUCH:g} mm; tilting it "
    "is not tried"
)


def _gaps(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for tank, room in model.tank_rooms.items():
        others = _others(model, tank, tuple(boxes)) if tank in boxes else []
        pairs = {_gap_name(tank, o): o for o in others if not _named(model, o, room.rests_on)}
        offs = {name: boxes_apart(boxes[tank], boxes[other]) for name, other in pairs.items()}
        for name, before in before_each(offs, max(ROUND, 2 * room.gap)).items():
            yield _gap(tank, pairs[name], offs[name], before)


def _walls(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    sheet, plane = _sheet(model, boxes), model.firewall_plane
    if sheet and plane is not None:
        yield from (_to_wall(t, sheet, plane) for t in model.tank_rooms if t in boxes)


def _sheet(model: Model, names: Iterable[str]) -> str:
    return next((name for name in names if model.families.get(name) == "firewall"), "")


def _to_wall(tank: str, sheet: str, plane: Plane) -> MeasurementQuestion:
    aft = np.array(plane.normal) * (1.0 if plane.normal[0] > 0.0 else -1.0)

    def ask(given: Given) -> Answer:
        a, b = given.bodies[tank], given.bodies[sheet]
        corners, edge = a.mesh.vertices, b.mesh.vertices
        beside = np.all(
            (corners.max(axis=0) > edge.min(axis=0))[1:]
            & (corners.min(axis=0) < edge.max(axis=0))[1:]
        )
        depths = (corners - np.array(plane.origin)) @ aft
        deepest = int(depths.argmax())
        if beside and depths[deepest] > 0.0:
            at = corners[deepest].tolist()
            return {"gap": -float(depths[deepest]), "bound": a.deviation, "points": [at]}
        gap = hull_gap(a.hull.hull(), b.hull)
        near = nearest_points(triangles(a), triangles(b), gap) if gap > 0.0 else None
        points = [] if near is None else [point.tolist() for point in near]
        return {"gap": gap, "bound": a.deviation + b.deviation, "points": points}

    return MeasurementQuestion(
        _wall_name(tank), ask, (), (tank, sheet), plain=(plane,), weight=0.1
    )  # fmt: skip


def _wall_name(tank: str) -> str:
    return f"{tank} to the firewall"


def _said_of_walls(by: Answered) -> list[Measurement]:
    found = []
    for tank in by.model.tank_rooms:
        row = by.answers.get(_wall_name(tank)) if tank in by.parts else None
        if row is not None:
            points = tuple(vec(point) for point in row["points"])
            found.append(
                Measurement(
                    _id(WALL, tank), tank, "tank ahead of the firewall", row["gap"], "mm",
                    WALL_METHOD, row["bound"], f"{tank} at {place(points[0])}" if points else tank,
                    points, "" if row["gap"] >= 0.0 else "it stands on the engine side",
                )
            )  # fmt: skip
    return found


def _ways_out(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for tank, room in model.tank_rooms.items():
        for other in _others(model, tank, tuple(boxes)) if room.out and tank in boxes else ():
            if not _named(model, other, room.off):
                yield _past(tank, other, room.out)


def _others(model: Model, tank: str, names: Sequence[str]) -> list[str]:
    away = (tank, model.swept)
    return [name for name in names if name not in away and name in model.families]


def _named(model: Model, part: str, names: Sequence[str]) -> bool:
    return any(means(name, part, model.families[part]) for name in names)


def _gap(tank: str, other: str, off: float, before: tuple[str, ...]) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        a, b = given.bodies[tank], given.bodies[other]
        # Filled, however it is hollowed: what stands in the room for the fuel has none.
        gap = hull_gap(a.hull.hull(), b.hull)
        near = nearest_points(triangles(a), triangles(b), gap) if gap > 0.0 else None
        points = [] if near is None else [point.tolist() for point in near]
        return {"gap": gap, "bound": a.deviation + b.deviation, "points": points}

    def due(answers: Mapping[str, Answer]) -> bool:
        known = (row for row in answers.values() if row is not None)
        return may_be_nearest(off, ((row["gap"], row["bound"]) for row in known))

    return MeasurementQuestion(
        _gap_name(tank, other), ask, (), (tank, other), (), (), before, due if before else None,
        weight=0.3,
    )  # fmt: skip


def _past(tank: str, other: str, side: str) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        a, b = given.bodies[tank], given.bodies[other]
        met = met_on_the_way(a.mesh.corners, b.mesh.corners, AXES[side])
        return {"at": met, "off": a.deviation + b.deviation}

    return MeasurementQuestion(
        _past_name(tank, other), ask, (), (tank, other), plain=(side,), slow=True
    )


def _gap_name(tank: str, other: str) -> str:
    return f"gap of {tank} to {other}"


def _past_name(tank: str, other: str) -> str:
    return f"way out of {tank} past {other}"


def _said_of_gaps(by: Answered) -> list[Measurement]:
    there = [tank for tank in by.model.tank_rooms if tank in by.parts]
    return [m for t in there for m in _said_of_gap(by, t, _others(by.model, t, by.parts))]


def _said_of_ways(by: Answered) -> list[Measurement]:
    there = [(t, room) for t, room in by.model.tank_rooms.items() if room.out and t in by.parts]
    return [_said_of_way(by, t, room, _others(by.model, t, by.parts)) for t, room in there]


def _said_of_gap(by: Answered, tank: str, others: Sequence[str]) -> list[Measurement]:
    asked = [(by.answers.get(_gap_name(tank, other)), other) for other in others]
    near = sorted((row["gap"], other, row) for row, other in asked if row is not None)
    if not near:
        return []
    gap, least, row = near[0]
    points = tuple(vec(point) for point in row["points"])
    where = f"{least} at {place(points[1])}" if points else least
    told = ", ".join(f"{other} {off:.1f} mm" for off, other, _ in near[:TOLD])
    return [
        Measurement(
            _id(FIT, tank), tank, "least room round the tank", gap, "mm", METHOD,
            bound_of_least([(row["gap"], row["bound"]) for _, _, row in near]), where, points,
            f"nearest: {told}",
        )
    ]  # fmt: skip


def _said_of_way(by: Answered, tank: str, room: TankRoom, others: Sequence[str]) -> Measurement:
    asked = ((other, by.answers.get(_past_name(tank, other))) for other in others)
    rows = [(other, row) for other, row in asked if row is not None]
    bars = [(other, vec(row["at"])) for other, row in rows if row["at"] is not None]
    without = f"with {', '.join(room.off)} off" if room.off else "with nothing taken off"
    note = f"way out: {room.out}, {without}"
    note += f": barred by {', '.join(other for other, _ in bars)}" if bars else ""
    off = unsure(row["off"] for _, row in rows)
    note += f"; {COARSE}" if off else ""
    where = f"{bars[0][0]} at {place(bars[0][1])}" if bars else ""
    return Measurement(
        _id(OUT, tank), tank, "parts that bar the tank's way out", float(len(bars)), "1",
        OUT_METHOD, off, where, tuple(at for _, at in bars[:1]), note,
    )  # fmt: skip


def _id(stem: str, tank: str) -> str:
    return f"{stem}.{tank.removeprefix('tank_')}"


# Of these two a first answer has the gaps, the ways out wait for the exact meshes.
TANK_FIT = Subject(_gaps, _said_of_gaps)
TANK_OUT = Subject(_ways_out, _said_of_ways)
TANK_WALL = Subject(_walls, _said_of_walls)
