"""The room inside the tanks that have a solid, and where its centre is."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import vec
from geomgen.kernel.solids.moments import void_moments
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

ID, FAMILY = "tank.room", "tank"
WHAT = "room inside the tank"
METHOD = "volume within the inner shell of the solid by the kernel's integrals"


def _questions(model: Model, boxes: Mapping[str, Box]) -> Iterator[MeasurementQuestion]:
    for name in boxes:
        if model.families.get(name) == FAMILY:
            yield MeasurementQuestion(_room(name), _ask(name), (name,), weight=0.1)


def _room(name: str) -> str:
    return f"room inside {name}"


def _ask(name: str) -> Callable[[Given], Answer]:
    def ask(given: Given) -> Answer:
        try:
            return asdict(void_moments(given.solids[name]))
        except GeometryError as error:
            return {**refused(error), "part": name}

    return ask


def _said(by: Answered) -> list[Measurement]:
    found = []
    for name in by.parts:
        answer = by.answers.get(_room(name))
        if answer is None:
            continue
        if said_no(answer):
            found.append(missing(f"{ID}.{name}", "mm3", answer))
            continue
        found.append(
            Measurement(
                f"{ID}.{name}", name, WHAT, float(answer["size"]), "mm3", METHOD,
                float(answer["error"]), points=(vec(answer["centre"]),),
            )
        )  # fmt: skip
    return found


TANKS = Subject(_questions, _said, tells=True)
