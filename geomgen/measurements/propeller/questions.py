"""The questions about the propeller: what it sweeps, what comes near it, the ground."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import partial
from math import hypot

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_apart
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Shake, Strut, vec
from geomgen.measurements.answers import joined_rows, missing, refused, rows, said_no
from geomgen.measurements.propeller import clearance, near_propeller
from geomgen.measurements.propeller.along_shaft import Reach, along_the_shaft
from geomgen.measurements.propeller.leg_clearance import ID as LEG_CLEARANCE
from geomgen.measurements.propeller.leg_clearance import leg_record
from geomgen.measurements.propeller.near_propeller import PartDistance
from geomgen.measurements.propeller.shaft_end import ID as SHAFT_END
from geomgen.measurements.propeller.shaft_end import shaft_end
from geomgen.measurements.propeller.swept import Swept, ends_of, least_gap, swept_volume
from geomgen.measurements.propeller.trailing_edge import EDGED, trailing_edge_gap
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject
from geomgen.measurements.way_up import gap_of, least_on_the_way

Boxes = Mapping[str, Box]
Answers = Mapping[str, Answer]
SWEPT = "swept volume"
RADIAL, AXIAL = "radially to", "along the shaft to"
BLADES = "from the blades to"
SHAFT = "end of the shaft of"
UP = "from the blades to what is drawn up with"


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about what sweeps round and what comes near it."""
    swept, line = (model.swept,) if model.swept in boxes else (), model.thrust_line
    bare = replace(model, parts={})

    def ask(given: Given) -> Answer:
        try:
            found = swept_volume(given.solids.get(model.swept), bare)
        except GeometryError as error:
            return refused(error)
        return [list(corner) for corner in found.profile]

    yield MeasurementQuestion(SWEPT, ask, swept, plain=(line, model.swept))
    if not swept or line is None:
        return
    fixed = {name: boxes[name] for name in boxes if name not in model.rotating}
    yield _ground(model, line)
    yield from _edges(model, line)
    yield from (_shaft(model, line, name) for name in _engines(model, fixed))
    yield from (_radial(model, line, name, box) for name, box in fixed.items())
    yield from _axials(model, line, fixed, boxes[model.swept])
    yield from _blades(model, line, fixed, boxes[model.swept])
    yield from (_drawn_up(model, strut, boxes) for strut in model.struts)
    for spinner in _spinners(model, boxes):
        yield from _round_spinner(model, line, fixed, spinner, boxes[spinner])


def _spinners(model: Model, names: Boxes | Sequence[str]) -> list[str]:
    return [name for name in names if model.families.get(name) == "spinner"]


def _shaken(spinner: str) -> str:
    return f"from the shaken {spinner} to"


def swept_as_measured(model: Model, line: Axis, answers: Answers) -> Swept:
    """Return the swept volume as it was measured."""
    return Swept(line, tuple((float(s), float(r)) for s, r in answers[SWEPT]), model.swept)


def _swept_is_known(answers: Answers) -> bool:
    return not said_no(answers[SWEPT])


def _ground(model: Model, line: Axis) -> MeasurementQuestion:
    return MeasurementQuestion(
        "ground",
        lambda given: rows(
            lambda: clearance.ground(model.grounds, swept_as_measured(model, line, given.answers))
        ),
        after=(SWEPT,),
        plain=(line, model.grounds),
        due=_swept_is_known,
    )


def _edges(model: Model, line: Axis) -> Iterator[MeasurementQuestion]:
    edged = {name: family for name, family in model.families.items() if family in EDGED}

    def ask(given: Given) -> Answer:
        swept = swept_as_measured(model, line, given.answers)
        return rows(lambda: trailing_edge_gap(edged, given.bodies, swept))

    if edged:
        plain = (line, edged)
        yield MeasurementQuestion(
            "trailing edge", ask, (), tuple(edged), (SWEPT,), plain, (), _swept_is_known, weight=0.5
        )


def _engines(model: Model, names: Boxes | Sequence[str]) -> list[str]:
    return [name for name in names if model.families.get(name) == "engine"]


def _shaft(model: Model, line: Axis, engine: str) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        swept = swept_as_measured(model, line, given.answers)
        found = partial(shaft_end, swept, engine, given.bodies[engine])
        return rows(lambda: [each for each in (found(),) if each is not None])

    name = f"{SHAFT} {engine}"
    return MeasurementQuestion(
        name, ask, (), (engine,), (SWEPT,), (line,), (), _swept_is_known, weight=0.1
    )


def _radial(model: Model, line: Axis, part: str, box: Box) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        swept = swept_as_measured(model, line, given.answers)
        return _reach(lambda: clearance.radial_of_body(swept, part, given.bodies[part]))

    def due(answers: Answers) -> bool:
        return (
            _swept_is_known(answers)
            and least_gap(swept_as_measured(model, line, answers), box) <= 0.0
        )

    name = f"{RADIAL} {part}"
    return MeasurementQuestion(name, ask, (), (part,), (SWEPT,), (line, box), (), due, weight=0.5)


def _reach(measure: Callable[[], Reach | None]) -> Answer:
    try:
        found = measure()
    except GeometryError as error:
        return refused(error)
    return [] if found is None else [found.gap, list(found.at), found.bound]


# One part after another, the nearest by its box first, while it may be nearer ------------------


@dataclass(frozen=True)
class _Row:
    """Questions about one part after another: words, mates, plain geometry, how to ask, bounds.

    `bound` returns, by the answers, a gap [mm] that a part surely is not nearer than.
    """

    words: str
    mate: str
    plain: tuple[object, ...]
    ask: Callable[[str, Given], Answer]
    bound: Callable[[str, Answers], float]
    weight: float

    def questions(self, order: Sequence[str], boxes: Boxes) -> Iterator[MeasurementQuestion]:
        before: tuple[str, ...] = ()
        for part in order:
            yield self._question(part, boxes[part], before)
            before = (*before, f"{self.words} {part}")

    def _question(self, part: str, box: Box, before: tuple[str, ...]) -> MeasurementQuestion:
        def due(answers: Answers) -> bool:
            if not _swept_is_known(answers):
                return False
            known = [answers[n][0] for n in before if answers[n] and not said_no(answers[n])]
            return self.bound(part, answers) < min(known, default=float("inf"))

        return MeasurementQuestion(
            f"{self.words} {part}",
            lambda given: self.ask(part, given),
            bodies=(part, self.mate),
            after=(SWEPT,),
            plain=(*self.plain, box),
            first=before,
            due=due,
            weight=self.weight,
        )


def _axials(model: Model, line: Axis, boxes: Boxes, disc: Box) -> Iterator[MeasurementQuestion]:
    def ask(part: str, given: Given) -> Answer:
        swept, bodies = swept_as_measured(model, line, given.answers), given.bodies
        return _reach(lambda: along_the_shaft(swept, part, bodies[part], bodies[model.swept]))

    def bound(part: str, answers: Answers) -> float:
        return least_gap(swept_as_measured(model, line, answers), boxes[part])

    front, back = ends_of(line, disc)
    near = Swept(line, ((front, 0.0), (back, 0.0)), model.swept)
    order = sorted(boxes, key=lambda name: (least_gap(near, boxes[name]), name))
    return _Row(AXIAL, model.swept, (line,), ask, bound, 0.8).questions(order, boxes)


def _blades(model: Model, line: Axis, boxes: Boxes, disc: Box) -> Iterator[MeasurementQuestion]:
    turning = _engines(model, boxes)

    def ask(part: str, given: Given) -> Answer:
        swept, bodies = swept_as_measured(model, line, given.answers), given.bodies
        return _near(
            lambda: near_propeller.near_blades(
                swept, bodies[model.swept], bodies[part], part in turning
            )
        )

    def bound(part: str, _: Answers) -> float:
        return boxes_apart(disc, boxes[part])

    order = sorted(boxes, key=lambda name: (boxes_apart(disc, boxes[name]), name))
    row = _Row(BLADES, model.swept, (line, turning), ask, bound, 0.8)
    return row.questions(order, boxes)


def _round_spinner(
    model: Model, line: Axis, boxes: Boxes, spinner: str, own: Box
) -> Iterator[MeasurementQuestion]:
    fixed = {n: box for n, box in boxes.items() if model.families.get(n) != "engine"}
    off = hypot(model.shake.axial, model.shake.radial)

    def ask(part: str, given: Given) -> Answer:
        bodies = given.bodies
        return _near(
            lambda: near_propeller.near_spinner(bodies[spinner], bodies[part], line, model.shake)
        )

    def bound(part: str, _: Answers) -> float:
        return boxes_apart(own, fixed[part]) - off

    order = sorted(fixed, key=lambda name: (boxes_apart(own, fixed[name]), name))
    row = _Row(_shaken(spinner), spinner, (line, model.shake), ask, bound, 0.5)
    return row.questions(order, fixed)


def _near(measure: Callable[[], PartDistance | None]) -> Answer:
    try:
        found = measure()
    except GeometryError as error:
        return refused(error)
    return [] if found is None else [found.gap, found.bound, [list(p) for p in found.points]]


def _drawn_up(model: Model, strut: Strut, boxes: Boxes) -> MeasurementQuestion:
    names = [name for name in (strut.leg, strut.wheel) if name in boxes]

    def ask(given: Given) -> Answer:
        parts = {name: given.bodies[name] for name in names}
        try:
            return asdict(least_on_the_way(strut, given.bodies[model.swept], parts))
        except GeometryError as error:
            return refused(error)

    bodies = (*names, model.swept)
    return MeasurementQuestion(f"{UP} {strut.wheel}", ask, (), bodies, (), (strut,), weight=0.3)


# What the answers say together ----------------------------------------------------------------


def _said(by: Answered) -> list[Measurement]:
    model, parts, answers = by.model, by.parts, by.answers
    if said_no(answers[SWEPT]):
        return [missing("prop.radial_clearance", "mm", answers[SWEPT])]
    assert model.thrust_line is not None
    swept = swept_as_measured(model, model.thrust_line, answers)
    fixed = [name for name in parts if name not in model.rotating]
    still = [name for name in fixed if model.families.get(name) != "engine"]
    found = [clearance.tip_radius(swept)]
    ask = partial(_joined, answers)
    found.append(ask(RADIAL, fixed, "prop.radial_clearance", partial(_radial_row, swept)))
    found.append(ask(AXIAL, fixed, "prop.axial_clearance", partial(_axial_row, swept)))
    found.append(ask(BLADES, fixed, "prop.clearance", partial(_blades_row, swept)))
    found += _legs(model.struts, answers)
    for spinner in _spinners(model, parts):
        row = partial(_spinner_row, spinner, model.shake)
        found.append(ask(_shaken(spinner), still, "prop.spinner_clearance", row))
    for engine in _engines(model, fixed):
        found += joined_rows(SHAFT_END, "mm", answers.get(f"{SHAFT} {engine}"))
    found += joined_rows("prop.trailing_edge_gap", "chord", answers.get("trailing edge"))
    return found + joined_rows("prop.ground_clearance", "mm", answers["ground"])


def _legs(struts: Sequence[Strut], answers: Answers) -> list[Measurement]:
    given = [answers[f"{UP} {strut.wheel}"] for strut in struts]
    no = [answer for answer in given if said_no(answer)]
    if no:
        return [missing(LEG_CLEARANCE, "mm", no[0])]
    gaps = [gap_of(row) for row in given if row is not None]
    return [leg_record(struts, gaps)] if gaps else []


def _joined(
    answers: Answers,
    words: str,
    parts: Sequence[str],
    id_: str,
    record: Callable[[Answers], Measurement],
) -> Measurement:
    """Return the record of answers about parts; without a value where one was refused."""
    given = {name: answers[f"{words} {name}"] for name in parts}
    no = [answer for answer in given.values() if said_no(answer)]
    return missing(id_, "mm", no[0]) if no else record(given)


def _radial_row(swept: Swept, answers: Answers) -> Measurement:
    return clearance.radial_record(swept, {n: _reached(a) for n, a in answers.items()})


def _axial_row(swept: Swept, answers: Answers) -> Measurement:
    return clearance.axial_record(swept, {n: _reached(a) for n, a in answers.items()})


def _blades_row(swept: Swept, answers: Answers) -> Measurement:
    return near_propeller.blades_record(swept, {n: _neared(a) for n, a in answers.items()})


def _spinner_row(spinner: str, shake: Shake, answers: Answers) -> Measurement:
    return near_propeller.spinner_record(
        spinner, shake, {n: _neared(a) for n, a in answers.items()}
    )


def _reached(answer: Answer) -> Reach | None:
    return Reach(answer[0], vec(answer[1]), answer[2]) if answer else None


def _neared(answer: Answer) -> PartDistance | None:
    return PartDistance(answer[0], answer[1], tuple(vec(p) for p in answer[2])) if answer else None


PROPELLER = Subject(_questions, _said, tells=True)
