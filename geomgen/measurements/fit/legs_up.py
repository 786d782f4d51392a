"""Whether a leg or wheel runs into the machine while its axle is drawn up.

A leg and the part that it roots in are joined: of that pair nothing is asked, of its wheel all is.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_apart
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Strut
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.least_gap import before_each, bound_of_least, may_be_nearest
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject
from geomgen.measurements.way_up import METHOD, DrawnUpGap, gap_of, least_on_the_way, states

ID = "gear.leg_clearance"
# A wheel's rim goes so many times as far as its axle at most; what that leaves farther off than
# this [mm] is looked at only where it may be the nearest: own choice.
TIMES, ROOM = 2.5, 25.0


def _questions(model: Model, boxes: Mapping[str, Box]) -> Iterator[MeasurementQuestion]:
    pairs = {
        _asked(part, other): (strut, part, other) for strut, part, other in _pairs(model, boxes)
    }
    offs = {name: _off(row, boxes) for name, row in pairs.items()}
    for name, before in before_each(offs, ROOM).items():
        yield _question(*pairs[name], offs[name], before)


def _pairs(model: Model, boxes: Mapping[str, Box]) -> Iterator[tuple[Strut, str, str]]:
    """Yield each leg and wheel with each part that it may come to."""
    gear = {name for s in model.struts for name in (s.leg, s.wheel)}
    there = [n for n in boxes if n not in gear and n not in model.rotating]
    for strut in model.struts:
        for part in (strut.leg, strut.wheel):
            for other in there if part in boxes else ():
                if part == strut.wheel or model.families.get(other) != strut.rooted_in:
                    yield strut, part, other


def _off(row: tuple[Strut, str, str], boxes: Mapping[str, Box]) -> float:
    """Return how far off one of a pair stays by its box [mm], however far it goes on its way up."""
    strut, part, other = row
    way = TIMES * max((rise for _, rise in strut.rises), default=0.0)
    return boxes_apart(boxes[part], boxes[other]) - way


def _asked(part: str, other: str) -> str:
    return f"from {other} to {part} on its way up"


def _question(
    strut: Strut, part: str, other: str, off: float, before: tuple[str, ...]
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        try:
            return asdict(least_on_the_way(strut, given.bodies[other], {part: given.bodies[part]}))
        except GeometryError as error:
            return refused(error)

    def due(answers: Mapping[str, Answer]) -> bool:
        known = (row for row in answers.values() if row is not None and not said_no(row))
        return may_be_nearest(off, ((row["gap"], row["bound"]) for row in known))

    return MeasurementQuestion(
        _asked(part, other), ask, (), (part, other), (), (strut,), before, due if before else None,
        weight=0.4,
    )  # fmt: skip


def _said(by: Answered) -> list[Measurement]:
    found: list[tuple[DrawnUpGap, str]] = []
    for strut in by.model.struts:
        for part in (strut.leg, strut.wheel):
            for other in by.parts:
                answer = by.answers.get(_asked(part, other))
                if answer is None:
                    continue
                if said_no(answer):
                    return [missing(ID, "mm", answer)]
                found.append((gap_of(answer), other))
    if not found:
        return []
    least, other = min(found, key=lambda row: row[0].gap)
    at = f" at {place(least.points[1])}" if least.points else ""
    note = f"{least.part} and {other}, axle {least.rise:.1f} mm higher than without load"
    return [
        Measurement(
            ID,
            least.part,
            "legs and wheels to the rest of the machine, axles drawn up",
            least.gap,
            "mm",
            f"{METHOD}: {states(by.model.struts)}; not between a leg and what it roots in",
            bound_of_least([(one.gap, one.bound) for one, _ in found]),
            f"{least.part} to {other}{at}",
            least.points,
            f"struck: {note}" if least.gap <= 0.0 else note,
        )
    ]


LEGS_UP = Subject(_questions, _said, tells=True)
