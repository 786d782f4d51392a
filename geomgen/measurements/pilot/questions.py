"""The questions about the pilot's room: which limbs, which parts, and what is said of them."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.plain import Limb, Model, Plane, vec
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.pilot.cabin import least, room_ahead_of, room_from, room_in_pod
from geomgen.measurements.pilot.limb_gap import WITHIN, LimbGap
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

# Other parts are looked at where their boxes come so near a limb's [mm]; no limit is wider.
NEAR = 320.0
SKINS = "limbs as rods with round ends against the meshes of the parts"
INSIDE = f"{SKINS}; outside the pod or in a part as a negative figure, counted to the far side"


# A gap, the part that it is to, how far that one's mesh is off [mm].
Room = tuple[LimbGap, str, float]


@dataclass(frozen=True)
class RoomSubject:
    """What is asked of some limbs: the id, their names' first words, what the figure is.

    `where` says what they are measured to: the pod and all but the engine, what is behind them, or
    the swept volume.
    """

    id: str
    limbs: tuple[str, ...]
    what: str
    where: str


ROOMS = (
    RoomSubject("pilot.head_room", ("head",), "room round the pilot's head", "cabin"),
    RoomSubject(
        "pilot.shoulder_room",
        ("shoulders", "upper arm", "forearm"),
        "room round shoulders and arms",
        "cabin",
    ),
    RoomSubject(
        "pilot.seat_room",
        ("trunk", "hips", "thigh"),
        "room round trunk, hips and thighs",
        "cabin",
    ),
    RoomSubject("pilot.knee_room", ("knee", "shank"), "room round knees and shanks", "cabin"),
    RoomSubject("pilot.foot_room", ("foot",), "room round the feet", "cabin"),
    RoomSubject(
        "pilot.behind",
        ("head", "trunk", "hips", "shoulders"),
        "room from head and back to firewall and engine",
        "behind",
    ),
    RoomSubject(
        "pilot.to_propeller",
        ("reach", "head", "foot"),
        "room from the stretched arms to the swept volume",
        "propeller",
    ),
)


def rooms(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about room, one a subject; none where no pilot is known."""
    for subject in ROOMS if model.pilot else ():
        limbs = [limb for limb in model.pilot if limb.name.startswith(subject.limbs)]
        yield {"cabin": _cabin, "behind": _behind, "propeller": _propeller}[subject.where](
            subject, limbs, model, boxes
        )


def _cabin(
    subject: RoomSubject, limbs: Sequence[Limb], model: Model, boxes: Boxes
) -> MeasurementQuestion:
    pods = [name for name in boxes if model.families.get(name) == "pod"]
    canopies = [name for name in boxes if model.families.get(name) == "canopy"] if pods else []
    # The skin that the pod has lost closes its opening, without a joint; where no canopy is built
    # the room counts to it.
    lost, shell = model.glazed_skin, tuple(pods)
    pods += canopies
    other = ("pod", "canopy", "engine", model.swept)
    others = [n for n in boxes if n not in pods and model.families.get(n) not in other]
    grown = _box_round(limbs, NEAR)
    near = [n for n in others if n != model.swept and boxes_meet(grown, boxes[n])]

    plain = (*limbs, lost) if lost else limbs

    def ask(given: Given) -> Iterator[Room]:
        skin = [skin_body(lost)] if lost else []
        closed = [given.bodies[name] for name in shell] + skin
        inside = [given.bodies[name] for name in pods] if canopies else closed
        for limb in limbs:
            yield room_in_pod(limb, inside, closed), pods[0], max(b.deviation for b in inside)
            for name in near:
                body = given.bodies[name]
                yield room_from(limb, body), name, body.deviation

    return _question(subject, ask, (*pods, *near) if pods else (), plain)


def _behind(
    subject: RoomSubject, limbs: Sequence[Limb], model: Model, boxes: Boxes
) -> MeasurementQuestion:
    parts = [n for n in boxes if model.families.get(n) in ("firewall", "engine")]
    wall = model.firewall_plane

    def ask(given: Given) -> Iterator[Room]:
        for limb in limbs:
            for name in parts:
                body = given.bodies[name]
                ahead = wall if model.families[name] == "firewall" else None
                gap = room_ahead_of(limb, body, ahead) if ahead else room_from(limb, body)
                yield gap, name, body.deviation

    return _question(subject, ask, parts, (*limbs, wall))


def _propeller(
    subject: RoomSubject, limbs: Sequence[Limb], model: Model, boxes: Boxes
) -> MeasurementQuestion:
    parts = [name for name in boxes if name == model.swept]
    line = model.thrust_line
    disc = Plane(line.origin, line.direction) if line else None
    if disc is not None and disc.normal[0] < 0.0:
        disc = Plane(disc.origin, vec([-c for c in disc.normal]))

    def ask(given: Given) -> Iterator[Room]:
        for limb in limbs:
            for name in parts:
                body = given.bodies[name]
                gap = room_ahead_of(limb, body, disc) if disc else room_from(limb, body)
                yield gap, name, body.deviation

    return _question(subject, ask, parts, (*limbs, disc))


def _question(
    subject: RoomSubject,
    ask: Callable[[Given], Iterable[Room]],
    parts: Sequence[str],
    plain: Sequence[object],
) -> MeasurementQuestion:
    def answer(given: Given) -> Answer:
        try:
            found, part, off = least(ask(given))
        except GeometryError as error:
            return refused(error)
        return {**asdict(found), "part": part, "bound": off + WITHIN}

    return MeasurementQuestion(
        subject.id,
        answer,
        bodies=tuple(parts),
        plain=tuple(plain),
        due=None if parts else lambda answers: False,
        weight=0.6,
    )


def _box_round(limbs: Sequence[Limb], by: float) -> Box:
    ends = [(limb.start, limb.start_radius) for limb in limbs]
    ends += [(limb.end, limb.end_radius) for limb in limbs]
    low = vec([min(at[i] - radius for at, radius in ends) - by for i in range(3)])
    high = vec([max(at[i] + radius for at, radius in ends) + by for i in range(3)])
    return Box(low, high)


def _said_of_rooms(by: Answered) -> list[Measurement]:
    found = ((subject, by.answers.get(subject.id)) for subject in ROOMS)
    return [_record(subject, answer) for subject, answer in found if answer is not None]


def _record(subject: RoomSubject, answer: Mapping[str, Answer]) -> Measurement:
    if said_no(answer):
        return missing(subject.id, "mm", answer)
    points = (vec(answer["on_limb"]), vec(answer["on_part"]))
    return Measurement(
        subject.id,
        answer["part"],
        subject.what,
        answer["gap"],
        "mm",
        INSIDE,
        answer["bound"],
        f"{answer['limb']} at {place(points[0])}, {answer['part']} at {place(points[1])}",
        points,
    )


PILOT_ROOM = Subject(rooms, _said_of_rooms)
