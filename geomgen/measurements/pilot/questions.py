"""The questions about the pilot's room: which limbs, which parts, and what is said of them."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Limb, Plane, vec
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


@dataclass(frozen=True)
class _RoomTo:
    """A part or some that limbs are measured to together: `ask` yields the gaps, of that geometry.

    Each is a question of its own, so that what becomes of a part has no other asked again.
    """

    parts: tuple[str, ...]
    ask: Callable[[Given], Iterable[Room]]
    plain: tuple[object, ...]


def rooms(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about room, for each subject; none where no pilot is known."""
    for subject in ROOMS if model.pilot else ():
        limbs = tuple(limb for limb in model.pilot if limb.name.startswith(subject.limbs))
        yield from _questions(
            subject.id,
            {"cabin": _cabin, "behind": _behind, "propeller": _propeller}[subject.where](
                limbs, model, boxes
            ),
        )


def _cabin(limbs: Sequence[Limb], model: Model, boxes: Boxes) -> list[_RoomTo]:
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

    def ask(given: Given) -> Iterator[Room]:
        skin = [skin_body(lost)] if lost else []
        closed = [given.bodies[name] for name in shell] + skin
        inside = [given.bodies[name] for name in pods] if canopies else closed
        for limb in limbs:
            yield room_in_pod(limb, inside, closed), pods[0], max(b.deviation for b in inside)

    if not pods:
        return []
    plain = (*limbs, lost) if lost else (*limbs,)
    return [_RoomTo(tuple(pods), ask, plain), *(_from(limbs, name) for name in near)]


def _from(limbs: Sequence[Limb], name: str, plane: Plane | None = None) -> _RoomTo:
    """Return the room to a part, which limbs should be ahead of where a plane lies in it."""

    def ask(given: Given) -> Iterator[Room]:
        body = given.bodies[name]
        for limb in limbs:
            gap = room_ahead_of(limb, body, plane) if plane else room_from(limb, body)
            yield gap, name, body.deviation

    return _RoomTo((name,), ask, (*limbs, plane))


def _behind(limbs: Sequence[Limb], model: Model, boxes: Boxes) -> list[_RoomTo]:
    wall = {"firewall": model.firewall_plane, "engine": None}
    found = {name: family for name in boxes if (family := model.families.get(name)) in wall}
    return [_from(limbs, name, wall[family]) for name, family in found.items()]


def _propeller(limbs: Sequence[Limb], model: Model, boxes: Boxes) -> list[_RoomTo]:
    line = model.thrust_line
    disc = Plane(line.origin, line.direction) if line else None
    if disc is not None and disc.normal[0] < 0.0:
        disc = Plane(disc.origin, vec([-c for c in disc.normal]))
    return [_from(limbs, name, disc) for name in boxes if name == model.swept]


def _questions(id_: str, each: Sequence[_RoomTo]) -> Iterator[MeasurementQuestion]:
    """Yield a question for each, and one whose answer is the least of theirs."""
    if len(each) == 1:
        yield _question(id_, each[0])
        return
    names = [f"{id_} to {one.parts[0]}" for one in each]
    yield from map(_question, names, each)

    def least_of(given: Given) -> Answer:
        answers = [given.answers[name] for name in names]
        refusal = next((answer for answer in answers if said_no(answer)), None)
        return refusal or min(answers, key=lambda answer: float(answer["gap"]))

    due = None if each else lambda answers: False
    yield MeasurementQuestion(id_, least_of, after=tuple(names), due=due, weight=0.0)


def _question(name: str, to: _RoomTo) -> MeasurementQuestion:
    def answer(given: Given) -> Answer:
        try:
            found, part, off = least(to.ask(given))
        except GeometryError as error:
            return refused(error)
        return {**asdict(found), "part": part, "bound": off + WITHIN}

    return MeasurementQuestion(name, answer, (), to.parts, (), to.plain, weight=0.3)


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
