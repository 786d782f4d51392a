"""The questions about the whole way of the air, and what their answers say."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace

from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Passage, vec
from geomgen.kernel.solids.distance import on_axis
from geomgen.measurements.answers import said_no
from geomgen.measurements.cooling_air import way_found, way_shared, whole_way
from geomgen.measurements.cooling_air.opening import question_about
from geomgen.measurements.cooling_air.opening_questions import NARROWEST
from geomgen.measurements.cooling_air.way_grid import HULL, Hub
from geomgen.measurements.propeller.questions import SWEPT, swept_as_measured
from geomgen.measurements.question import Answer, Given, MeasurementQuestion, is_waiting
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

Boxes = Mapping[str, Box]
INLET = "least open area from the free air ahead of the mouth to the fan"
BY_ITSELF = (
    "; each mouth by itself: a place that several mouths share counts whole for each here, once "
    f"for all in {way_shared.ID}"
)
TOGETHER = "whole ways of all mouths"
EXIT = "least open area from the engine to the free air behind the rim"


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about the way through each mouth, and from the engine to the rim."""
    hull = [box for name, box in boxes.items() if model.families.get(name) in HULL]
    for passage in model.passages:
        yield _inlet(model, boxes, passage, hull)
    if len(model.passages) > 1:
        yield _together(model, boxes, hull)
    if model.exits:
        yield _exit(model, boxes, hull)


def _standing(model: Model, boxes: Boxes, where: Box) -> tuple[str, ...]:
    return tuple(n for n, box in boxes.items() if n != model.swept and boxes_meet(box, where))


def _inlet(
    model: Model, boxes: Boxes, passage: Passage, hull: Sequence[Box]
) -> MeasurementQuestion:
    space = whole_way.inlet_space(passage, hull)
    names = _standing(model, boxes, space.box)
    families = {name: model.families.get(name, name) for name in names}
    others = tuple(each.mouth.seed for each in model.passages if each is not passage)
    planes = tuple(question_about(where) for where in (passage.mouth, *passage.throats))

    def ask(given: Given) -> Answer:
        enough = min(given.answers[name]["area"] for name in planes)
        way = whole_way.inlet_way(passage, space, given.bodies, families, others, enough)
        return asdict(way)

    def due(answers: Mapping[str, Answer]) -> bool:
        return all(answers[name]["area"] is not None for name in planes)

    plain = (passage, space, families, others)
    return MeasurementQuestion(
        f"whole way of {passage.name}",
        ask,
        (),
        names,
        planes,
        plain,
        due=due,
        weight=2.0,
        slow=True,
    )


def _together(model: Model, boxes: Boxes, hull: Sequence[Box]) -> MeasurementQuestion:
    passages = model.passages
    space = way_shared.all_mouths_space(passages, hull)
    names = _standing(model, boxes, space.box)
    families = {name: model.families.get(name, name) for name in names}
    each = tuple(f"whole way of {passage.name}" for passage in passages)

    def ask(given: Given) -> Answer:
        ways = [_found(given.answers[name]) for name in each]
        alone = {p.name: way.told.area for p, way in zip(passages, ways, strict=True) if way}
        return asdict(way_shared.ways_together(passages, space, given.bodies, families, alone))

    def due(answers: Mapping[str, Answer]) -> bool:
        return all(answers[name] is not None for name in each)

    plain = (passages, space, families)
    return MeasurementQuestion(
        TOGETHER, ask, (), names, each, plain, due=due, weight=2.0, slow=True
    )


def _exit(model: Model, boxes: Boxes, hull: Sequence[Box]) -> MeasurementQuestion:
    engines = [box for name, box in boxes.items() if model.families.get(name) == "engine"]
    bay = whole_way.bay_stations(model.passages, model.exits)
    space = whole_way.exit_space(model.exits, engines, bay, hull)
    names = _standing(model, boxes, space.box)
    families = {name: model.families.get(name, name) for name in names}
    swept = (SWEPT,) if model.swept in boxes and model.thrust_line else ()

    bare = replace(model, parts={})

    def ask(given: Given) -> Answer:
        hub = _hub(bare, given.answers)
        return asdict(whole_way.exit_way(model.exits, space, given.bodies, families, bay, hub))

    plain = (model.exits, space, families, bay, model.thrust_line)
    return MeasurementQuestion(
        "whole way of the exit", ask, (), names, swept, plain, weight=2.5, slow=True
    )


def _hub(model: Model, known: Mapping[str, Answer]) -> Hub | None:
    """Return the hub that the swept volume leaves room for; None where there is none."""
    line = model.thrust_line
    if line is None or SWEPT not in known or said_no(known[SWEPT]):
        return None
    swept = swept_as_measured(model, line, known)
    if swept.hole <= 0.0:
        return None
    return Hub(on_axis(line, swept.front), on_axis(line, swept.back), swept.hole)


def _said(by: Answered) -> list[Measurement]:
    """Return what the answers say of the ways, beside what is known from planes."""
    model, answers = by.model, by.answers
    planes = {m.id: m for m in by.known}
    found = []
    for passage in model.passages:
        name, id_ = passage.name, f"inlet.way.{passage.name}"
        if is_waiting(answers[f"whole way of {name}"]) or _planes_wait(passage, answers):
            continue
        way = _found(answers[f"whole way of {name}"])
        known_of = planes.get(f"duct.throat_area.{name}")
        record = way_found.way_record(id_, name, INLET, way, known_of)
        shared = BY_ITSELF if len(model.passages) > 1 and record.method else ""
        found.append(replace(record, method=record.method + shared))
    every = not any(_planes_wait(passage, answers) for passage in model.passages)
    if len(model.passages) > 1 and every and not is_waiting(answers[TOGETHER]):
        fan = all(passage.fan is not None for passage in model.passages)
        found.insert(0, way_shared.shared_record(found, _found_of_all(answers[TOGETHER]), fan))
    asked = ("whole way of the exit", *map(question_about, model.exits))
    if model.exits and not any(is_waiting(answers[name]) for name in asked):
        way = _found(answers["whole way of the exit"])
        found.append(way_found.way_record("exit.way", "exit", EXIT, way, planes.get("exit.area")))
    return found


def _planes_wait(passage: Passage, answers: Mapping[str, Answer]) -> bool:
    """Say whether what a way is held against, the sections by planes, is not known yet."""
    planes = map(question_about, (passage.mouth, *passage.throats))
    asked = (*planes, f"way of {passage.name}", f"{NARROWEST} {passage.name}")
    return any(is_waiting(answers.get(name)) for name in asked)


def _found(answer: Answer) -> way_found.LeastArea | None:
    if answer is None:
        return None
    at = None if answer["at"] is None else vec(answer["at"])
    plane = answer["plane"]
    if plane is not None:
        plane = way_found.PlaneFound(
            **{**plane, "at": vec(plane["at"]), "beside": tuple(plane["beside"])}
        )
    return way_found.LeastArea(
        **{**answer, "at": at, "beside": tuple(answer["beside"]), "plane": plane}
    )


def _found_of_all(answer: Answer) -> way_shared.CombinedWays | None:
    if answer is None:
        return None
    shared = []
    for each in answer["shared"]:
        way = _found(each["found"])
        assert way is not None
        shared.append(way_shared.SharedWay(tuple(each["mouths"]), way))
    return way_shared.CombinedWays(tuple(shared), tuple(answer["missed"]), answer["step"])


WAYS = Subject(_questions, _said, tells=True)
