"""The questions of a survey, and what their answers say together."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace

from geomgen.kernel.brep.boxes import Box, boxes_meet, holds, loose_box
from geomgen.kernel.openings.window import window
from geomgen.kernel.plain import Model, Opening, Passage
from geomgen.measurements.answers import joined_rows, rows, vec
from geomgen.measurements.cooling_air import duct, opening
from geomgen.measurements.cooling_air.opening import OpeningFound, question_about
from geomgen.measurements.cooling_air.questions import joined_ways, whole_ways
from geomgen.measurements.cooling_air.throat import (
    NarrowestSection,
    looked_through,
    narrowest_section,
)
from geomgen.measurements.firewall.sheet import ACROSS, HULL, firewall
from geomgen.measurements.fit.questions import (
    joined_joints,
    joined_meetings,
    joined_rooms,
    joints,
    meetings,
    nearest_to_loose,
    room_round_engines,
)
from geomgen.measurements.propeller.questions import joined_propeller, propeller
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement

NARROWEST = "least section of"
Boxes = Mapping[str, Box]


def questions(model: Model, boxes: Boxes) -> list[MeasurementQuestion]:
    """Return all questions about a model, of which only the plain geometry is looked at.

    `boxes` are loose boxes of its parts, in their order.
    """
    return [
        *propeller(model, boxes),
        *(_opening(model, boxes, where) for where in _openings(model)),
        *(_way(model, boxes, passage) for passage in model.passages),
        *(_narrowest(boxes, model.swept, passage) for passage in model.passages),
        *whole_ways(model, boxes),
        *_firewall(model, boxes),
        *room_round_engines(model, boxes),
        *meetings(boxes),
        *joints(model, boxes),
        *nearest_to_loose(model, boxes),
    ]


def joined(model: Model, parts: Sequence[str], answers: Mapping[str, Answer]) -> list[Measurement]:
    """Return the measurements that all answers make together; `parts` are all parts' names."""
    seen = {where: OpeningFound(**answers[question_about(where)]) for where in _openings(model)}
    found = joined_propeller(model, parts, answers)
    areas = [*opening.inlets(model, seen.__getitem__), *opening.exits(model, seen.__getitem__)]
    found += [*areas, *opening.ratio(areas)]
    for passage in model.passages:
        narrow = answers[f"{NARROWEST} {passage.name}"]
        found += duct.duct(
            passage,
            seen.__getitem__,
            answers[f"way of {passage.name}"],
            None
            if narrow is None
            else NarrowestSection(narrow["area"], narrow["off"], vec(narrow["at"])),
        )
    found += joined_ways(model, found, answers)
    found += joined_rows("firewall.area", "mm2", answers.get("firewall"))
    found += [*joined_rooms(model, answers), joined_meetings(parts, answers)]
    return [*found, *joined_joints(model, answers)]


# Openings and passages ------------------------------------------------------------------------


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


# Firewall -------------------------------------------------------------------------------------


def _firewall(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    hull = [name for name, family in model.families.items() if family in HULL]
    if "firewall" not in boxes:
        return
    names = tuple(name for name in boxes if name in (*hull, "firewall"))
    only = replace(model, families={name: model.families[name] for name in names})
    others = tuple(
        name
        for name, family in model.families.items()
        if family in ACROSS and name in boxes and boxes_meet(boxes[name], boxes["firewall"])
    )

    def ask(given: Given) -> Answer:
        parts = {name: given.bodies[name].solid for name in names}
        across = {name: given.bodies[name] for name in others}
        return rows(lambda: firewall(replace(only, parts=parts), given.bodies, across))

    yield MeasurementQuestion(
        "firewall",
        ask,
        bodies=(*names, *others),
        plain=(
            *(model.firewall_plane, model.firewall_seed, only.families),
            *(model.fittings, model.passages),
        ),
        weight=0.3,
    )
