"""What the pilot sees to the side, up ahead and into a turn, past all parts but the glass."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace

from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.meshes.glazing import less_glass
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass, Vec3, vec
from geomgen.kernel.plane_frame import at_buttock_line, at_station
from geomgen.measurements.pilot.free_sight import (
    FREE,
    Hull,
    SightEdge,
    barred_in,
    free_about,
    free_bank,
)
from geomgen.measurements.pilot.sight import BARRED, GLAZED
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

RIGHT, LEFT = 1.0, -1.0
SIDES = {RIGHT: "right", LEFT: "left"}


@dataclass(frozen=True)
class RoundSubject:
    """One look: its id, what it is, how it is measured, which parts may bar it, the look itself.

    `look` gets parts, the eye and the side; `both` says that the lesser of both sides counts.
    """

    id: str
    what: str
    method: str
    may_bar: Callable[[Box, Vec3], bool]
    look: Callable[[list[Hull], Vec3, float], SightEdge]
    both: bool = True


def _down(hulls: list[Hull], eye: Vec3, side: float) -> SightEdge:
    down, up = free_about(list(barred_in(hulls, at_station(eye[0]), eye, side)))
    return replace(down, short=max(-up.angle, 0.0))


def _up(hulls: list[Hull], eye: Vec3, _: float) -> SightEdge:
    down, up = free_about(list(barred_in(hulls, at_buttock_line(eye[1]), eye, LEFT)))
    return replace(up, short=max(-down.angle, 0.0))


SECTION = "sections of the parts' meshes, the glass taken out of the pod"
LOOKS = (
    RoundSubject(
        "sight.side",
        "angle below the horizon seen to the side, the lesser of both sides",
        f"{SECTION}, square to the flight path at the eye",
        lambda box, eye: box.low[0] <= eye[0] <= box.high[0],
        _down,
    ),
    RoundSubject(
        "sight.up",
        "angle above the horizon seen straight ahead",
        f"{SECTION}, in the eye's upright plane along the flight path",
        lambda box, eye: box.low[0] < eye[0] and box.low[1] <= eye[1] <= box.high[1],
        _up,
        both=False,
    ),
    RoundSubject(
        "sight.into_turn",
        "bank up to which the horizon is seen into a turn, the lesser of both sides",
        "outlines of the parts' meshes along the flight path, the glass taken out of the pod",
        lambda box, eye: box.low[0] < eye[0] and box.high[2] > eye[2],
        free_bank,
    ),
)


def looks(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions how far the pilot sees round him; none where no eye is known."""
    eye, glass = model.eye, model.glass
    if eye is None or "pod" not in {model.families.get(name) for name in boxes}:
        return
    pods = {name for name in boxes if model.families.get(name) in GLAZED}
    eyes = {"": eye, **model.other_eyes}
    for subject in LOOKS:
        parts = tuple(
            name
            for name, box in boxes.items()
            if name != model.swept and any(subject.may_bar(box, at) for at in eyes.values())
        )
        ask = _asked(subject, eyes, {name: glass if name in pods else None for name in parts})
        plain = (*eyes.items(), glass)
        yield MeasurementQuestion(subject.id, ask, bodies=parts, plain=plain, weight=0.4)


def _asked(
    subject: RoundSubject, eyes: Mapping[str, Vec3], glazed: Mapping[str, Glass | None]
) -> Callable[[Given], Answer]:
    def ask(given: Given) -> Answer:
        hulls = [
            Hull(name, less_glass(given.bodies[name].hull, glass), given.bodies[name].deviation)
            for name, glass in glazed.items()
        ]
        sides = (RIGHT, LEFT) if subject.both else (RIGHT,)
        found = {
            (whose, side): subject.look(hulls, eye, side)
            for whose, eye in eyes.items()
            for side in sides
        }
        whose, side = min(found, key=lambda one: found[one].angle)
        return {
            **asdict(found[whose, side]),
            "side": SIDES[side] if subject.both else "",
            "whose": whose,
            "eye": eyes[whose],
        }

    return ask


def _said_of_looks(by: Answered) -> list[Measurement]:
    found = ((subject, by.answers.get(subject.id)) for subject in LOOKS)
    return [
        _record(subject, answer, "" if by.model.glass else BARRED)
        for subject, answer in found
        if answer is not None
    ]


def _record(subject: RoundSubject, answer: Mapping[str, Answer], note: str) -> Measurement:
    eye = vec(answer["eye"])
    seen_from = f"from the eye{answer['whose']} at {place(eye)}"
    where = f"{seen_from}: nothing bars it"
    points: tuple[Vec3, ...] = ()
    if answer["at"] is not None:
        at = vec(answer["at"])
        side = f"to the {answer['side']}, " if answer["side"] else ""
        where = f"{side}{seen_from} past {answer['part']} at {place(at)}"
        points = (eye, at)
    if answer["short"] > 0.0 and answer["angle"] > -FREE:
        barred = f"the horizon itself is barred: free from {answer['short']:.1f} deg off it"
        note = "; ".join(text for text in (barred, note) if text)
    return Measurement(
        subject.id,
        answer["part"] or "pod",
        subject.what,
        answer["angle"],
        "deg",
        subject.method,
        answer["bound"],
        where,
        points,
        note,
    )


SIGHT_ROUND = Subject(looks, _said_of_looks)
