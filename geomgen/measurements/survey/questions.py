"""The questions of a survey, and what their answers say together."""

from collections.abc import Mapping, Sequence
from contextlib import suppress

from geomgen.kernel.model import Model
from geomgen.measurements.attachments.controls import CONTROLS
from geomgen.measurements.attachments.fittings import FITTINGS
from geomgen.measurements.attachments.frame_ends import FRAME_ENDS
from geomgen.measurements.cooling_air.opening_questions import OPENINGS
from geomgen.measurements.cooling_air.questions import WAYS
from geomgen.measurements.firewall.questions import FIREWALL
from geomgen.measurements.fit.assembly_order import ASSEMBLY_ORDER
from geomgen.measurements.fit.bank_angle import BANK
from geomgen.measurements.fit.frame_fit import FRAME_FIT
from geomgen.measurements.fit.legs_up import LEGS_UP
from geomgen.measurements.fit.questions import FIT
from geomgen.measurements.fit.sheet_place import SHEET_PLACE
from geomgen.measurements.fit.stringer_fit import STRINGER_FIT
from geomgen.measurements.fit.tank_fit import TANK_FIT, TANK_OUT, TANK_WALL
from geomgen.measurements.outside_air.questions import AIR_OUTSIDE
from geomgen.measurements.pilot.flat_wrap import FLAT_WRAP
from geomgen.measurements.pilot.glazing_fit import GLAZING_FIT
from geomgen.measurements.pilot.questions import PILOT_ROOM
from geomgen.measurements.pilot.sight import SIGHT
from geomgen.measurements.pilot.sight_round import SIGHT_ROUND
from geomgen.measurements.planform_questions import PLANFORMS
from geomgen.measurements.propeller.questions import PROPELLER
from geomgen.measurements.question import Answer, MeasurementQuestion, is_waiting
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes
from geomgen.measurements.weight.bodies import BODIES
from geomgen.measurements.weight.contacts import CONTACTS
from geomgen.measurements.weight.tanks import TANKS
from geomgen.measurements.wing_structure.pin_joints import PIN_JOINTS
from geomgen.measurements.wing_structure.questions import WING_STRUCTURE

SUBJECTS = (
    *(PROPELLER, OPENINGS, WAYS, FIREWALL, *FIT, SHEET_PLACE, FRAME_FIT, FRAME_ENDS),
    *(STRINGER_FIT, BANK, LEGS_UP),
    *(PILOT_ROOM, SIGHT, SIGHT_ROUND, FLAT_WRAP, GLAZING_FIT, PLANFORMS, BODIES, CONTACTS, TANKS),
    *(
        WING_STRUCTURE,
        PIN_JOINTS,
        FITTINGS,
        CONTROLS,
        AIR_OUTSIDE,
        ASSEMBLY_ORDER,
        TANK_FIT,
        TANK_WALL,
        TANK_OUT,
    ),
)


def questions(model: Model, boxes: Boxes) -> list[MeasurementQuestion]:
    """Return all questions about a model, of which only the plain geometry is looked at.

    `boxes` are loose boxes of its parts, in their order.
    """
    return [question for subject in SUBJECTS for question in subject.ask(model, boxes)]


def subjects_of(model: Model, boxes: Boxes) -> dict[str, int]:
    """Return by the name of each question the place of its subject among all."""
    return {q.name: i for i, subject in enumerate(SUBJECTS) for q in subject.ask(model, boxes)}


def joined(model: Model, parts: Sequence[str], answers: Mapping[str, Answer]) -> list[Measurement]:
    """Return the measurements that all answers make together; `parts` are all parts' names."""
    return [record for _, record in told_by(model, parts, answers)]


def told_by(
    model: Model, parts: Sequence[str], answers: Mapping[str, Answer]
) -> list[tuple[int, Measurement]]:
    """Return what `joined` does, each with the place of its subject among all."""
    found: list[Measurement] = []
    places: list[int] = []
    waiting = any(map(is_waiting, answers.values()))
    for place, subject in enumerate(SUBJECTS):
        known = _Settled(answers) if waiting and not subject.tells else answers
        with suppress(_WaitingError):
            found += subject.say(Answered(model, parts, known, found))
        places += [place] * (len(found) - len(places))
    return list(zip(places, found, strict=True))


class _WaitingError(Exception):
    """An answer is asked for that is waiting for the exact solids."""


class _Settled(dict[str, Answer]):
    """Answers of which those that are waiting can't be had."""

    def __getitem__(self, name: str) -> Answer:
        answer = super().__getitem__(name)
        if is_waiting(answer):
            raise _WaitingError(name)
        return answer

    def get(self, name: str, default: Answer = None) -> Answer:
        """Return an answer, or the default where there is none."""
        answer = super().get(name, default)
        return self[name] if is_waiting(answer) else answer
