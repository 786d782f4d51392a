"""The questions of a survey, and what their answers say together."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from itertools import combinations
from typing import Any

from geomgen.errors import GeometryError
from geomgen.kernel.boxes import Box, boxes_meet, holds, loose_box
from geomgen.kernel.distance import along
from geomgen.kernel.meeting import Meeting, meeting
from geomgen.kernel.openings import window
from geomgen.kernel.plain import Axis, Model, Opening, Passage, Vec3
from geomgen.measurements import clearance, duct, engine_fit, opening
from geomgen.measurements.bulkhead import HULL, firewall
from geomgen.measurements.clearance import Swept
from geomgen.measurements.engine_fit import Room
from geomgen.measurements.interference import meeting_record
from geomgen.measurements.opening import Seen
from geomgen.measurements.question import Answer, Given, Question
from geomgen.measurements.record import Measurement
from geomgen.measurements.trailing_edge import trailing_edge_gap

Boxes = Mapping[str, Box]
SWEPT = "swept volume"
# A mesh leaves its solid's box by no more than this [mm].
ROOM = 5.0


def questions(model: Model, boxes: Boxes) -> list[Question]:
    """Return all questions about a model, of which only the plain geometry is looked at.

    `boxes` are loose boxes of its parts, in their order.
    """
    return [
        *_propeller(model, boxes),
        *(_opening(model, boxes, where) for where in _openings(model)),
        *(_way(model, boxes, passage) for passage in model.passages),
        *_firewall(model, boxes),
        *_rooms(model),
        *_meetings(boxes),
    ]


def joined(model: Model, parts: Sequence[str], answers: Mapping[str, Answer]) -> list[Measurement]:
    """Return the measurements that all answers make together; `parts` are all parts' names."""
    seen = {where: Seen(**answers[_name(where)]) for where in _openings(model)}
    found = _joined_propeller(model, parts, answers)
    areas = [*opening.inlets(model, seen.__getitem__), *opening.exits(model, seen.__getitem__)]
    found += [*areas, *opening.ratio(areas)]
    for passage in model.passages:
        found += duct.duct(passage, seen.__getitem__, answers[f"way of {passage.name}"])
    found += _joined_rows("firewall.area", "mm2", answers.get("firewall"))
    found += _joined_rooms(model, answers)
    rows = _meeting_rows(parts, answers)
    return [*found, meeting_record([(a, b, _met(row)) for a, b, row in rows], len(parts))]


def _rows(measure: Callable[[], list[Measurement]]) -> Answer:
    """Measure; what the kernel can't do becomes an answer that says why."""
    try:
        return [asdict(m) for m in measure()]
    except GeometryError as error:
        return _refused(error)


def _refused(error: GeometryError) -> Answer:
    return {"part": error.part, "refused": str(error)}


def _said_no(answer: Answer) -> bool:
    return isinstance(answer, dict) and "refused" in answer


def _joined_rows(id_: str, unit: str, answer: Answer) -> list[Measurement]:
    if answer is None:
        return []
    return [_missing(id_, unit, answer)] if _said_no(answer) else [_record(row) for row in answer]


def _missing(id_: str, unit: str, answer: Answer) -> Measurement:
    why = str(answer["refused"])
    return Measurement(id_, answer["part"], "could not be measured", None, unit, "", note=why)


def _record(row: Mapping[str, Any]) -> Measurement:
    return Measurement(**{**row, "points": tuple(_vec(point) for point in row["points"])})


def _vec(values: Sequence[float]) -> Vec3:
    x, y, z = values
    return (x, y, z)


# Propeller ------------------------------------------------------------------------------------


def _propeller(model: Model, boxes: Boxes) -> Iterator[Question]:
    swept, line = (model.swept,) if model.swept in boxes else (), model.thrust_line
    bare = replace(model, parts={})

    def ask(given: Given) -> Answer:
        try:
            found = clearance.swept_volume(replace(bare, parts=dict(given.solids)))
        except GeometryError as error:
            return _refused(error)
        return {"front": found.front, "back": found.back, "tip": found.tip, "hole": found.hole}

    yield Question(SWEPT, ask, swept, plain=(line, model.swept), weight=9.0)
    if not swept or line is None:
        return
    yield _ground(model, line)
    yield from _edges(model, line)
    fixed = [name for name in boxes if name not in model.rotating]
    yield from (_radial(model, line, name, boxes[name]) for name in fixed)
    yield from _axials(model, line, {name: boxes[name] for name in fixed}, boxes[model.swept])


def _swept(model: Model, line: Axis, given: Given | Mapping[str, Answer]) -> Swept:
    """Return the swept volume as it was measured; its solid only where it is given."""
    answers = given.answers if isinstance(given, Given) else given
    solid = given.solids.get(model.swept) if isinstance(given, Given) else None
    return Swept(line, solid=solid, name=model.swept, **answers[SWEPT])


def _swept_is_known(answers: Mapping[str, Answer]) -> bool:
    return not _said_no(answers[SWEPT])


def _ground(model: Model, line: Axis) -> Question:
    bare = replace(model, parts={})
    return Question(
        "ground",
        lambda given: _rows(lambda: clearance.ground(bare, _swept(model, line, given))),
        (model.swept,),
        after=(SWEPT,),
        plain=(line, model.grounds),
        due=_swept_is_known,
    )


def _edges(model: Model, line: Axis) -> Iterator[Question]:
    wings = tuple(name for name, family in model.families.items() if family == "wing")[:1]
    only = replace(model, parts={}, families=dict.fromkeys(wings, "wing"))

    def ask(given: Given) -> Answer:
        swept = _swept(model, line, given)
        return _rows(lambda: trailing_edge_gap(only, dict(given.bodies), swept))

    if wings:
        yield Question(
            "trailing edge", ask, (), wings, (SWEPT,), (line,), (), _swept_is_known, weight=0.5
        )


def _radial(model: Model, line: Axis, part: str, box: Box) -> Question:
    def ask(given: Given) -> Answer:
        swept = _swept(model, line, given)
        return _reach(lambda: clearance.radial_of_body(swept, part, given.bodies[part]))

    def due(answers: Mapping[str, Answer]) -> bool:
        return _swept_is_known(answers) and (
            clearance.least_gap(_swept(model, line, answers), box) <= 0.0
        )

    name = f"radially to {part}"
    return Question(name, ask, (), (part,), (SWEPT,), (line, box), (), due, weight=0.5)


def _reach(measure: Callable[[], clearance.Reach | None]) -> Answer:
    try:
        found = measure()
    except GeometryError as error:
        return _refused(error)
    return [] if found is None else [found[0], list(found[1])]


def _axials(model: Model, line: Axis, boxes: Boxes, disc: Box) -> Iterator[Question]:
    """Ask for one part after another, the nearest by its box first, while it may be nearer."""
    near = Swept(line, *_ends(line, disc), 0.0, 0.0, None, model.swept)
    order = sorted(boxes, key=lambda name: (clearance.least_gap(near, boxes[name]), name))
    before: tuple[str, ...] = ()
    for part in order:
        name = f"along the shaft to {part}"
        yield _axial(model, line, part, name, boxes[part], before)
        before = (*before, name)


def _ends(line: Axis, box: Box) -> tuple[float, float]:
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    corners = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)]
    at = [along(line, corner) for corner in corners]
    return min(at), max(at)


def _axial(
    model: Model, line: Axis, part: str, name: str, box: Box, before: tuple[str, ...]
) -> Question:
    def ask(given: Given) -> Answer:
        return _reach(
            lambda: clearance.axial_of(_swept(model, line, given), part, given.solids[part])
        )

    def due(answers: Mapping[str, Answer]) -> bool:
        if not _swept_is_known(answers):
            return False
        known = {n: _reached(answers[n]) for n in before}
        return clearance.least_gap(_swept(model, line, answers), box) < clearance.best_of(known)

    return Question(name, ask, (part,), (), (SWEPT,), (line, box), before, due, weight=0.8)


def _reached(answer: Answer) -> clearance.Reach | None:
    return (answer[0], _vec(answer[1])) if answer and not _said_no(answer) else None


def _joined_propeller(
    model: Model, parts: Sequence[str], answers: Mapping[str, Answer]
) -> list[Measurement]:
    if _said_no(answers[SWEPT]):
        return [_missing("prop.radial_clearance", "mm", answers[SWEPT])]
    assert model.thrust_line is not None
    swept = _swept(model, model.thrust_line, answers)
    fixed = [name for name in parts if name not in model.rotating]
    found = [clearance.tip_radius(swept)]
    for id_, words, record in (
        ("prop.radial_clearance", "radially to", clearance.radial_record),
        ("prop.axial_clearance", "along the shaft to", clearance.axial_record),
    ):
        given = {name: answers[f"{words} {name}"] for name in fixed}
        no = [answer for answer in given.values() if _said_no(answer)]
        known = {name: _reached(answer) for name, answer in given.items()}
        found.append(_missing(id_, "mm", no[0]) if no else record(swept, known))
    found += _joined_rows("prop.trailing_edge_gap", "chord", answers.get("trailing edge"))
    return found + _joined_rows("prop.ground_clearance", "mm", answers["ground"])


# Openings and passages ------------------------------------------------------------------------


def _openings(model: Model) -> list[Opening]:
    """Return each opening once, in the order of passages and exits."""
    every = [o for passage in model.passages for o in (passage.mouth, *passage.throats)]
    return list(dict.fromkeys([*every, *model.exits]))


def _name(where: Opening) -> str:
    return f"opening {where.name} at {where.seed}"


def _opening(model: Model, boxes: Boxes, where: Opening) -> Question:
    seen = loose_box(window(where.plane, where.seed, where.reach))
    near = [name for name in boxes if name != model.swept and boxes_meet(seen, boxes[name])]
    return Question(
        _name(where),
        lambda given: asdict(opening.look_at_bodies(given.bodies, where)),
        bodies=tuple(near),
        plain=(where,),
        weight=0.1,
    )


def _way(model: Model, boxes: Boxes, passage: Passage) -> Question:
    solids = [n for n in boxes if n != model.swept and holds(boxes[n], passage.into_bay)]
    bodies = [n for n, family in model.families.items() if family in duct.WALLS]
    return Question(
        f"way of {passage.name}",
        lambda given: duct.way_into_the_bay(passage, given.solids, given.bodies),
        tuple(solids),
        tuple(bodies),
        plain=(passage,),
        weight=0.3,
    )


# Firewall -------------------------------------------------------------------------------------


def _firewall(model: Model, boxes: Boxes) -> Iterator[Question]:
    hull = [name for name, family in model.families.items() if family in HULL]
    if "firewall" not in boxes:
        return
    names = tuple(name for name in boxes if name in (*hull, "firewall"))
    only = replace(model, families={name: model.families[name] for name in names})

    def ask(given: Given) -> Answer:
        parts = {name: body.solid for name, body in given.bodies.items()}
        return _rows(lambda: firewall(replace(only, parts=parts), given.bodies))

    yield Question(
        "firewall",
        ask,
        bodies=names,
        plain=(model.firewall_plane, model.firewall_seed, only.families),
        weight=0.3,
    )


# Room round the engine ------------------------------------------------------------------------


def _rooms(model: Model) -> Iterator[Question]:
    around = engine_fit.neighbours(model)
    for engine in engine_fit.engines(model):
        rough = {other: f"room from {engine} to {other}" for other in around}
        for other, name in rough.items():
            yield _rough(engine, other, name)
        for other, name in rough.items():
            yield _exact(engine, other, name, tuple(rough.values()))


def _rough(engine: str, other: str, name: str) -> Question:
    def ask(given: Given) -> Answer:
        try:
            room = engine_fit.rough_room(given.bodies[engine], given.bodies[other], other)
        except GeometryError as error:
            return _refused(error)
        return asdict(room)

    return Question(name, ask, (), (engine, other), weight=0.5)


def _exact(engine: str, other: str, name: str, rough: tuple[str, ...]) -> Question:
    def ask(given: Given) -> Answer:
        a, b = given.bodies[engine], given.bodies[other]
        try:
            return asdict(engine_fit.exact_room(a, b, _room(given.answers[name])))
        except GeometryError as error:
            return _refused(error)

    def due(answers: Mapping[str, Answer]) -> bool:
        if any(_said_no(answers[n]) for n in rough):
            return False
        rooms = [_room(answers[n]) for n in rough]
        return engine_fit.may_be_least(_room(answers[name]), rooms)

    bodies = (engine, other)
    return Question(f"{name}, exact", ask, (), bodies, (name,), (), rough, due, weight=0.7)


def _room(row: Mapping[str, Any]) -> Room:
    return Room(row["gap"], row["name"], row["bound"], tuple(_vec(p) for p in row["points"]))


def _joined_rooms(model: Model, answers: Mapping[str, Answer]) -> list[Measurement]:
    rooms = []
    for engine in engine_fit.engines(model):
        for other in engine_fit.neighbours(model):
            name = f"room from {engine} to {other}"
            answer = answers[f"{name}, exact"] or answers[name]
            if _said_no(answer):
                return [_missing("engine.clearance", "mm", answer)]
            rooms.append(_room(answer))
    return engine_fit.room_record(rooms)


# Parts that share space -----------------------------------------------------------------------


def _meetings(boxes: Boxes) -> Iterator[Question]:
    grown = {name: _grown(box) for name, box in boxes.items()}
    for a, b in combinations(boxes, 2):
        if boxes_meet(grown[a], grown[b]):
            yield _meeting(a, b)


def _grown(box: Box) -> Box:
    low, high = box.low, box.high
    return Box(
        (low[0] - ROOM, low[1] - ROOM, low[2] - ROOM),
        (high[0] + ROOM, high[1] + ROOM, high[2] + ROOM),
    )


def _meeting(a: str, b: str) -> Question:
    def ask(given: Given) -> Answer:
        met = meeting(given.bodies[a], given.bodies[b])
        return None if met is None else asdict(met)

    return Question(f"{a} and {b}", ask, (), (a, b), weight=0.1)


def _meeting_rows(
    parts: Sequence[str], answers: Mapping[str, Answer]
) -> list[tuple[str, str, Mapping[str, Any]]]:
    rows = ((a, b, answers.get(f"{a} and {b}")) for a, b in combinations(parts, 2))
    return [(a, b, row) for a, b, row in rows if row is not None]


def _met(row: Mapping[str, Any]) -> Meeting:
    return Meeting(**{**row, "at": _vec(row["at"])})
