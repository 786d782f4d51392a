"""The questions about openings and passages, and what their answers say."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict

from geomgen.kernel.brep.boxes import Box, boxes_meet, holds, loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.openings.window import window
from geomgen.kernel.plain import Opening, Passage, vec
from geomgen.measurements.cooling_air import duct, opening
from geomgen.measurements.cooling_air.opening import OpeningFound, question_about
from geomgen.measurements.cooling_air.throat import (
    NarrowestSection,
    looked_through,
    narrowest_section,
)
from geomgen.measurements.question import WAITS, Answer, Given, MeasurementQuestion, is_waiting
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

NARROWEST = "least section of"
Boxes = Mapping[str, Box]


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    yield from (_opening(model, boxes, where) for where in _openings(model))
    yield from (_way(model, boxes, passage) for passage in model.passages)
    yield from (_narrowest(boxes, model.swept, passage) for passage in model.passages)


def _said(by: Answered) -> list[Measurement]:
    model, answers = by.model, by.answers
    seen = {where: _seen(answers[question_about(where)]) for where in _openings(model)}
    areas = [*opening.inlets(model, seen.__getitem__), *opening.exits(model, seen.__getitem__)]
    found = [*areas, *opening.ratio(areas)]
    for passage in model.passages:
        narrow = answers[f"{NARROWEST} {passage.name}"]
        way = answers[f"way of {passage.name}"]
        if any(map(is_waiting, (narrow, way))):
            continue
        found += duct.duct(
            passage,
            seen.__getitem__,
            way,
            None
            if narrow is None
            else NarrowestSection(narrow["area"], narrow["off"], vec(narrow["at"])),
        )
    return found


def _seen(answer: Answer) -> OpeningFound:
    return (
        OpeningFound(None, None, None, WAITS, False)
        if is_waiting(answer)
        else OpeningFound(**answer)
    )


def _openings(model: Model) -> list[Opening]:
    """Return each opening once, in the order of passages and exits."""
    every = [o for passage in model.passages for o in (passage.mouth, *passage.throats)]
    return list(dict.fromkeys([*every, *model.exits]))


def _opening(model: Model, boxes: Boxes, where: Opening) -> MeasurementQuestion:
    seen = loose_box(window(where.plane, where.seed, where.reach))
    near = [name for name in boxes if name != model.swept and boxes_meet(seen, boxes[name])]
    return MeasurementQuestion(
        question_about(where),
        lambda given: asdict(opening.measure_on_meshes(given.bodies, where)),
        bodies=tuple(near),
        plain=(where,),
        weight=0.1,
    )


def _way(model: Model, boxes: Boxes, passage: Passage) -> MeasurementQuestion:
    solids = [n for n in boxes if n != model.swept and holds(boxes[n], passage.into_bay)]
    bodies = [n for n, family in model.families.items() if family in duct.WALLS]
    return MeasurementQuestion(
        f"way of {passage.name}",
        lambda given: duct.way_into_the_bay(
            passage, given.solids, given.bodies, model.firewall_plane
        ),
        tuple(solids),
        tuple(bodies),
        plain=(passage, model.firewall_plane),
        weight=0.3,
    )


def _narrowest(boxes: Boxes, swept: str, passage: Passage) -> MeasurementQuestion:
    where = looked_through(passage)
    near = [name for name in boxes if name != swept and boxes_meet(where, boxes[name])]
    planes = tuple(question_about(o) for o in (passage.mouth, *passage.throats))

    def ask(given: Given) -> Answer:
        found = narrowest_section(passage, given.bodies)
        return None if found is None else asdict(found)

    def due(answers: Mapping[str, Answer]) -> bool:
        return all(answers[name]["area"] is not None for name in planes)

    return MeasurementQuestion(
        f"{NARROWEST} {passage.name}",
        ask,
        bodies=tuple(near),
        plain=(passage,),
        first=planes,
        due=due,
        weight=0.7,
    )


OPENINGS = Subject(_questions, _said, tells=True)
