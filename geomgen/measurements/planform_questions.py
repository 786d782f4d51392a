"""The questions about the planforms of wing and tailplane, and how broad the pod is."""

from collections.abc import Iterator

from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.model import Model
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.planform import TAILPLANE, WING, planform_record
from geomgen.measurements.pod_breadths import ID as BREADTHS
from geomgen.measurements.pod_breadths import pod_breadths
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

ASKED = {"wing": (WING, "mm"), "tailplane": (TAILPLANE, "mm2")}
# What a wing or tailplane may be trimmed to.
TRIMMING = ("pod", "canopy", "boom", "wing", "tailplane", "fin", "pylon")
# What makes the pod as broad as the air meets it.
BROAD = ("pod", "exit", "canopy", "scoop")
POD = "breadths of the pod"


def _of(family: str) -> str:
    return f"planform of the {family}"


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for family in ASKED:
        own = [name for name in boxes if model.families.get(name) == family]
        if own:
            yield _planform(model, boxes, family, own)
    broad = [name for name in boxes if model.families.get(name) in BROAD]
    if any(model.families[name] == "pod" for name in broad):
        broad.sort(key=lambda name: BROAD.index(model.families[name]))
        lost = model.glazed_skin

        def ask(given: Given) -> Answer:
            bodies = {name: given.bodies[name] for name in broad}
            if lost:
                bodies["skin over the opening"] = skin_body(lost)
            return rows(lambda: [pod_breadths(bodies)])

        plain = (lost,) if lost else ()
        yield MeasurementQuestion(POD, ask, (), tuple(broad), plain=plain, weight=0.1)


def _planform(model: Model, boxes: Boxes, family: str, own: list[str]) -> MeasurementQuestion:
    joint = model.joint_gap
    near = [
        name
        for name in boxes
        if name not in own
        and model.families.get(name) in TRIMMING
        and any(boxes_meet(_grown(boxes[name], 1.0 + joint), boxes[part]) for part in own)
    ]

    def ask(given: Given) -> Answer:
        wing, others = ({name: given.bodies[name] for name in some} for some in (own, near))
        return rows(lambda: [planform_record(ASKED[family][0], wing, others, joint)])

    return MeasurementQuestion(_of(family), ask, (), (*own, *near), (), (own, joint), weight=0.2)


def _grown(box: Box, by: float) -> Box:
    (x, y, z), (a, b, c) = box.low, box.high
    return Box((x - by, y - by, z - by), (a + by, b + by, c + by))


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for family, (id_, unit) in ASKED.items():
        found += joined_rows(id_, unit, by.answers.get(_of(family)))
    return found + joined_rows(BREADTHS, "mm", by.answers.get(POD))


PLANFORMS = Subject(_questions, _said)
