"""The questions about the propeller: what it sweeps, what comes near it, the ground."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from geomgen.errors import GeometryError
from geomgen.kernel.boxes import Box
from geomgen.kernel.distance import along
from geomgen.kernel.plain import Axis, Model
from geomgen.measurements import clearance
from geomgen.measurements.answers import joined_rows, missing, refused, rows, said_no, vec
from geomgen.measurements.clearance import Swept
from geomgen.measurements.question import Answer, Given, Question
from geomgen.measurements.record import Measurement
from geomgen.measurements.trailing_edge import trailing_edge_gap

Boxes = Mapping[str, Box]
SWEPT = "swept volume"


def propeller(model: Model, boxes: Boxes) -> Iterator[Question]:
    """Return the questions about what sweeps round and what comes near it."""
    swept, line = (model.swept,) if model.swept in boxes else (), model.thrust_line
    bare = replace(model, parts={})

    def ask(given: Given) -> Answer:
        try:
            found = clearance.swept_volume(replace(bare, parts=dict(given.solids)))
        except GeometryError as error:
            return refused(error)
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
    return not said_no(answers[SWEPT])


def _ground(model: Model, line: Axis) -> Question:
    bare = replace(model, parts={})
    return Question(
        "ground",
        lambda given: rows(lambda: clearance.ground(bare, _swept(model, line, given))),
        (model.swept,),
        after=(SWEPT,),
        plain=(line, model.grounds),
        due=_swept_is_known,
    )


def _edges(model: Model, line: Axis) -> Iterator[Question]:
    wings = tuple(name for name, family in model.families.items() if family == "wing")
    only = replace(model, parts={}, families=dict.fromkeys(wings, "wing"))

    def ask(given: Given) -> Answer:
        swept = _swept(model, line, given)
        return rows(lambda: trailing_edge_gap(only, dict(given.bodies), swept))

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
        return refused(error)
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
    return (answer[0], vec(answer[1])) if answer and not said_no(answer) else None


def joined_propeller(
    model: Model, parts: Sequence[str], answers: Mapping[str, Answer]
) -> list[Measurement]:
    """Return what the answers say of the propeller."""
    if said_no(answers[SWEPT]):
        return [missing("prop.radial_clearance", "mm", answers[SWEPT])]
    assert model.thrust_line is not None
    swept = _swept(model, model.thrust_line, answers)
    fixed = [name for name in parts if name not in model.rotating]
    found = [clearance.tip_radius(swept)]
    for id_, words, record in (
        ("prop.radial_clearance", "radially to", clearance.radial_record),
        ("prop.axial_clearance", "along the shaft to", clearance.axial_record),
    ):
        given = {name: answers[f"{words} {name}"] for name in fixed}
        no = [answer for answer in given.values() if said_no(answer)]
        known = {name: _reached(answer) for name, answer in given.items()}
        found.append(missing(id_, "mm", no[0]) if no else record(swept, known))
    found += joined_rows("prop.trailing_edge_gap", "chord", answers.get("trailing edge"))
    return found + joined_rows("prop.ground_clearance", "mm", answers["ground"])
