"""The questions about room: round the engine, parts that meet, that are joined, the ground."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from itertools import combinations
from typing import Any

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_apart, boxes_meet
from geomgen.kernel.interference.meeting import Meeting, meeting
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, Strut, vec
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.drawn_up import drawn_up
from geomgen.measurements.fit import attached as attaching
from geomgen.measurements.fit import engine_fit
from geomgen.measurements.fit.attached import NOT_LOOKED_AT, Look, MeasuredSeat
from geomgen.measurements.fit.engine_fit import NeighbourGap
from geomgen.measurements.fit.interference import meeting_record
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

Boxes = Mapping[str, Box]
Pair = tuple[str, str]
# A mesh leaves its solid's box by no more than this [mm].
ROOM = 5.0
LEGS = (
    "; a leg goes up with a strut that is bottomed, all else that gives way counts as the tyre's "
    "(own choice, on the safe side)"
)
# Whatever may stand as near to an engine as this is measured and named [mm]: own choice.
ROUND = 200.0


def room_round_engines(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about room: rough for what may be near, exact where it matters.

    The nearest by its box is asked for first; what its box keeps further off than the least gap
    so far, and than `ROUND`, can't be the nearest and is not asked for.
    """
    for engine in engine_fit.engines(model):
        around = [name for name in engine_fit.neighbours(model, engine) if name in boxes]
        off = {other: boxes_apart(boxes[engine], boxes[other]) for other in around}
        around.sort(key=lambda other: (off[other], other))
        rough = {other: f"room from {engine} to {other}" for other in around}
        for k, (other, name) in enumerate(rough.items()):
            before = tuple(rough[one] for one in around[:k])
            yield _rough(engine, other, name, off[other], before)
        for other, name in rough.items():
            yield _exact(engine, other, name, tuple(rough.values()))


def _rough(
    engine: str, other: str, name: str, off: float, before: tuple[str, ...]
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        try:
            room = engine_fit.rough_room(given.bodies[engine], given.bodies[other], other)
        except GeometryError as error:
            return refused(error)
        return asdict(room)

    def due(answers: Mapping[str, Answer]) -> bool:
        known = [answers[n] for n in before if answers[n] is not None]
        gaps = [_room(row).gap + _room(row).bound for row in known if not said_no(row)]
        return off <= max(ROUND, min(gaps, default=math.inf))

    return MeasurementQuestion(name, ask, (), (engine, other), (), (off,), before, due, weight=0.5)


def _exact(engine: str, other: str, name: str, rough: tuple[str, ...]) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        a, b = given.bodies[engine], given.bodies[other]
        try:
            return asdict(engine_fit.exact_room(a, b, _room(given.answers[name])))
        except GeometryError as error:
            return refused(error)

    def due(answers: Mapping[str, Answer]) -> bool:
        known = [answers[n] for n in rough if answers[n] is not None]
        if answers[name] is None or any(said_no(row) for row in known):
            return False
        rooms = [_room(row) for row in known]
        return engine_fit.may_be_least(_room(answers[name]), rooms)

    bodies = (engine, other)
    return MeasurementQuestion(
        f"{name}, exact", ask, (), bodies, (name,), (), rough, due, weight=0.7
    )


def _room(row: Mapping[str, Any]) -> NeighbourGap:
    return NeighbourGap(row["gap"], row["name"], row["bound"], tuple(vec(p) for p in row["points"]))


def _said_of_rooms(by: Answered) -> list[Measurement]:
    model, answers = by.model, by.answers
    rooms = []
    for engine in engine_fit.engines(model):
        for other in engine_fit.neighbours(model, engine):
            name = f"room from {engine} to {other}"
            answer = answers.get(f"{name}, exact") or answers.get(name)
            if answer is None:
                continue
            if said_no(answer):
                return [missing("engine.clearance", "mm", answer)]
            rooms.append(_room(answer))
    return engine_fit.room_record(rooms, engine_fit.fixed(model))


def joints(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions whether two parts are joined, for all that come within reach."""
    for a, b in _near_pairs(model, boxes):
        yield _joint(a, b, attaching.reach_of(model, a, b))


def joint_seats(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions how joined parts are seated that stand on others with their ends."""
    for a, b in _near_pairs(model, boxes):
        looked_at = attaching.looked_at(model, a, b)
        if any(looked_at):
            yield _seat(a, b, attaching.reach_of(model, a, b), looked_at)


def _near_pairs(model: Model, boxes: Boxes) -> list[Pair]:
    held = [name for name in attaching.held(model) if name in boxes]
    near = [
        (a, b)
        for a, b in combinations(held, 2)
        if boxes_meet(boxes[a], boxes[b], 2 * (ROOM + attaching.reach_of(model, a, b)))
    ]
    return [pair for pair in near if attaching.may_hold(model, *pair)]


def nearest_to_loose(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions what is nearest to each part, asked only of those that are loose."""
    pairs, there = _near_pairs(model, boxes), [name for name in boxes if name in model.families]
    if "pod" in model.families.values():
        for name in attaching.held(model):
            if name in boxes:
                yield _nearest(model, name, there, pairs)


def _nearest(
    model: Model, name: str, there: Sequence[str], pairs: Sequence[Pair]
) -> MeasurementQuestion:
    """Return the question what is nearest to a part, asked where it is loose."""
    bare = replace(model, parts={})
    rolling = ("wheel", *model.rotating, model.swept)
    still = [n for n in there if n not in rolling and model.families[n] not in rolling]
    may = [n for n in still if n != name and attaching.may_hold(model, name, n)]

    def off(answers: Mapping[str, Answer]) -> list[str]:
        return attaching.loose(bare, [p for p in pairs if answers[_joint_of(*p)] is not None])

    def ask(given: Given) -> Answer:
        apart = off(given.answers)
        found = attaching.nearest(
            given.bodies[name], {n: given.bodies[n] for n in may if n not in apart}
        )
        return None if found is None else asdict(found)

    return MeasurementQuestion(
        _nearest_to(name),
        ask,
        bodies=tuple(dict.fromkeys((*may, name))),
        after=tuple(_joint_of(*pair) for pair in pairs),
        plain=(pairs, may, model.families, model.on_engine, model.struts),
        due=lambda answers: name in off(answers),
        weight=0.3,
    )


def _nearest_to(name: str) -> str:
    return f"nearest to {name}"


def _joint(a: str, b: str, within: float) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        return attaching.joint(given.bodies[a], given.bodies[b], within)

    return MeasurementQuestion(_joint_of(a, b), ask, (), (a, b), plain=(within,), weight=0.1)


def _joint_of(a: str, b: str) -> str:
    return f"joint of {a} and {b}"


def _seat(a: str, b: str, within: float, looked_at: tuple[Look, Look]) -> MeasurementQuestion:
    """Return the question how a joint is seated; slow, for a seat on meshes has no bound."""

    def ask(given: Given) -> Answer:
        return asdict(attaching.seated(given.bodies[a], given.bodies[b], within, looked_at))

    joint_ = _joint_of(a, b)
    return MeasurementQuestion(
        _seat_of(a, b), ask, (), (a, b), (), (within, looked_at), (joint_,),
        lambda answers: answers[joint_] is not None, weight=0.2, slow=True,
    )  # fmt: skip


def _seat_of(a: str, b: str) -> str:
    return f"seat of {a} and {b}"


def _said_of_joints(by: Answered) -> list[Measurement]:
    model, answers = by.model, by.answers
    rows = ((name, answers.get(_nearest_to(name))) for name in attaching.held(model))
    near = {name: attaching.NearestPart(**row) for name, row in rows if row is not None}
    return attaching.attached(model, _joined(by), near)


def _joined(by: Answered) -> list[Pair]:
    pairs = combinations(attaching.held(by.model), 2)
    return [pair for pair in pairs if by.answers.get(_joint_of(*pair)) is not None]


def _said_of_seats(by: Answered) -> list[Measurement]:
    each = ((pair, by.answers.get(_seat_of(*pair))) for pair in _joined(by))
    return attaching.seats(by.model, {pair: _seat_again(row) for pair, row in each})


def _seat_again(row: Mapping[str, Any] | None) -> MeasuredSeat:
    if row is None:
        return NOT_LOOKED_AT
    return MeasuredSeat(row["area"], vec(row["at"]), tuple(row["shares"]))


def meetings(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions whether two parts share space, for all that come near each other."""
    grown = {name: _grown(box, ROOM) for name, box in boxes.items()}
    for a, b in combinations(boxes, 2):
        if boxes_meet(grown[a], grown[b]) and not lodged(model, a, b):
            yield _meeting(a, b)


def lodged(model: Model, a: str, b: str) -> bool:
    """Say whether one of two parts is made to stand inside the other: a spar in its wing."""
    return any(
        inlay is not None and inlay.host == model.families.get(other)
        for inlay, other in ((model.inlay(a), b), (model.inlay(b), a))
    )


def _grown(box: Box, by: float) -> Box:
    low, high = box.low, box.high
    return Box((low[0] - by, low[1] - by, low[2] - by), (high[0] + by, high[1] + by, high[2] + by))


def _meeting(a: str, b: str) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        met = meeting(given.bodies[a], given.bodies[b])
        return None if met is None else asdict(met)

    return MeasurementQuestion(f"{a} and {b}", ask, (), (a, b), weight=0.1)


def _said_of_meetings(by: Answered) -> list[Measurement]:
    rows = ((a, b, by.answers.get(f"{a} and {b}")) for a, b in combinations(by.parts, 2))
    met = [(a, b, _met(row)) for a, b, row in rows if row is not None]
    inside = sum(lodged(by.model, a, b) for a, b in combinations(by.parts, 2))
    return [meeting_record(met, len(by.parts), inside)]


def _met(row: Mapping[str, Any]) -> Meeting:
    places = tuple((depth, vec(at)) for depth, at in row["places"])
    one, other = row["through"]
    read = {"at": vec(row["at"]), "foot": vec(row["foot"]), "through": (one, other)}
    return Meeting(**{**row, **read, "places": places})


ROOMS = Subject(room_round_engines, _said_of_rooms, tells=True)
MEETINGS = Subject(meetings, _said_of_meetings)
JOINTS = Subject(
    lambda model, boxes: (*joints(model, boxes), *nearest_to_loose(model, boxes)), _said_of_joints
)
SEATS = Subject(joint_seats, _said_of_seats)


def over_the_ground(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions how low each part comes; wheels roll, what turns has its own."""
    legs = {strut.leg: strut for strut in model.struts}
    for name in boxes if model.grounds else ():
        if model.families.get(name) != "wheel" and name not in model.rotating:
            yield _lowest(name, model.grounds, legs.get(name))


def _lowest(name: str, grounds: Sequence[Ground], strut: Strut | None) -> MeasurementQuestion:
    """Return the question how low a part comes; a leg goes up by the travel of a bottomed strut."""

    def ask(given: Given) -> Answer:
        still, deviation = given.bodies[name].mesh.vertices, given.bodies[name].deviation
        answer = []
        for ground in grounds:
            points = still
            if strut is not None and strut.wheel == ground.bottomed:
                points = drawn_up(strut, strut.travel).of(still)
            up = (points - ground.plane.origin) @ ground.plane.normal
            at = int(up.argmin())
            answer.append([float(up[at]), deviation, points[at].tolist()])
        return answer

    plain = (grounds, strut)
    return MeasurementQuestion(_ground_under(name), ask, (), (name,), plain=plain, weight=0.05)


def _ground_under(name: str) -> str:
    return f"ground under {name}"


def _said_of_ground(by: Answered) -> list[Measurement]:
    """Return the heights of the lowest part but legs, and of the lowest leg, over each ground."""
    asked = {n: by.answers[_ground_under(n)] for n in by.parts if _ground_under(n) in by.answers}
    legs = {name: row for name, row in asked.items() if by.model.families.get(name) == "leg"}
    others = {name: row for name, row in asked.items() if name not in legs}
    return [
        *_heights(
            by.model.grounds,
            others,
            "ground.clearance",
            "lowest part but tyres, legs and propeller",
        ),
        *_heights(by.model.grounds, legs, "ground.clearance.legs", "lowest leg", LEGS),
    ]


def _heights(
    grounds: Sequence[Ground], asked: Mapping[str, Answer], stem: str, what: str, more: str = ""
) -> list[Measurement]:
    """Of attitudes that share a first name (`flat_tyre.main`) the least is given."""
    found: dict[str, Measurement] = {}
    for i, ground in enumerate(grounds if asked else ()):
        height, bound, at, part = min((*answer[i], name) for name, answer in asked.items())
        first, point = ground.name.split(".")[0], vec(at)
        foot = vec([c - height * n for c, n in zip(point, ground.plane.normal, strict=True)])
        if first not in found or height < (found[first].value or 0.0):
            found[first] = Measurement(
                f"{stem}.{first}", part,
                f"{what} over the ground, {first.replace('_', ' ')}",
                height, "mm", f"points of every part's mesh, {ground.note}{more}", bound,
                f"{part} at {place(point)}", (point, foot),
            )  # fmt: skip
    return list(found.values())


GROUND = Subject(over_the_ground, _said_of_ground)
FIT = (ROOMS, MEETINGS, JOINTS, SEATS, GROUND)
