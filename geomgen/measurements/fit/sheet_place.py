"""Whether a flat sheet lies between the planes that the file has for its faces and ends."""

from collections.abc import Iterator

import numpy as np

from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet
from geomgen.kernel.plane_frame import front_of_sheet
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

SHEET = "frame.sheet"
# A mesh leaves a flat face by no more than rounding [mm].
FLAT = 0.001


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for name, sheet in model.sheets.items():
        if name in boxes and model.families.get(name) == "frame":
            yield _faces(name, sheet)


def _faces(name: str, sheet: FlatSheet) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        points = given.bodies[name].mesh.vertices
        behind = front_of_sheet(sheet).height(points)
        ends: tuple[int, ...] = (int(behind.argmin()), int(behind.argmax()))
        faces = [float(behind[i]) for i in ends]
        off = [abs(faces[0]), abs(faces[1] - sheet.thickness)]
        for end in sheet.ends:
            out = (points - np.array(end.origin)) @ np.array(end.normal)
            ends = (*ends, int(out.argmax()))
            off.append(abs(float(out.max())))
        worst = int(np.argmax(off))
        return {"off": off[worst], "faces": faces, "at": points[ends[worst]].tolist()}

    return MeasurementQuestion(f"{SHEET}.{name}", ask, bodies=(name,), plain=(sheet,), weight=0.05)


def _said(by: Answered) -> list[Measurement]:
    rows = ((n, sheet, by.answers.get(f"{SHEET}.{n}")) for n, sheet in by.model.sheets.items())
    return [_record(name, sheet, answer) for name, sheet, answer in rows if answer is not None]


def _record(name: str, sheet: FlatSheet, answer: Answer) -> Measurement:
    x, y, z = answer["at"]
    front, back = answer["faces"]
    return Measurement(
        f"{SHEET}.{name}", name, "how far the sheet's faces are off the planes stated for them",
        answer["off"], "mm",
        "all points of the part's mesh against the planes of its front face and its straight ends",
        FLAT, f"{name} at {place((x, y, z))}", ((x, y, z),),
        f"it reaches from {front:z.2f} to {back:.2f} mm behind its front face, "
        f"stated 0 to {sheet.thickness:g} mm"
        + (f"; {len(sheet.ends)} straight ends looked at" if sheet.ends else ""),
    )  # fmt: skip


SHEET_PLACE = Subject(_questions, _said)
