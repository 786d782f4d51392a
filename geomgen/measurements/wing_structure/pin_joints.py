"""The questions about joints of the outer wing: pins in their holes, the ways of wing and pins."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet, PinJoint, Vec3, vec
from geomgen.kernel.visibility.straight_way import TOUCH, met_on_the_way
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.fit.straight_ways_in import COARSE, unsure
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.wing_structure.pin_fit import PinInHole, pins_in_holes
from geomgen.measurements.wing_structure.pin_reach import (
    PinEnd,
    bars_of_socket,
    closed_skin,
    pin_end,
    words_of,
)
from geomgen.measurements.wing_structure.room_from import PartGap, least_gap

HOLES, ROOM = "joint.holes", "joint.pin_room"
OFF, OUT, APART = "joint.slides_off", "joint.pins_out", "joint.skin_gap"
NUTS, ACCESS = "joint.nut_room", "joint.pin_access"
UNITS = {HOLES: "mm", ROOM: "mm", OFF: "1", OUT: "1", APART: "mm", NUTS: "1", ACCESS: "1"}
PLATE, PIN = "joint_plate_", "joint_pin_"
# Boxes are loose by this; so far a wing or a pin goes [mm].
LOOSE, FAR = 5.0, 2e4
SECTIONS = "sections of pins, plates and webs in the middle planes of the sheets"
WAY = (
    "meshes moved straight; exact on them, where they overlap by more than "
    f"{TOUCH:g} mm across the way and along it; {{}}nor is what is not drawn"
)
SKIN_WAY = WAY.format("what stands inside a skin is not held against that, ")
PINS_WAY = WAY.format("the skin is not counted, ")
REACHED = (
    "a round bar along the pin's middle, cut with the meshes; what is touched by no more than "
    f"{TOUCH:g} mm does not bar"
)
TOLD = 4
# Behind these the name of a spar's piece tells which piece it is.
CAP_OR_WEB = re.compile(r"_(?:cap|web|tube)(?=_|$)")
# A skin that reaches further over the joint's plane than this is not parted there [mm]: own choice.
ACROSS = 20.0


@dataclass(frozen=True)
class _Barred:
    """What bars a part on a straight way, and where."""

    part: str
    other: str
    at: Vec3

    @property
    def words(self) -> str:
        return f"{self.part} is barred by {self.other} at {place(self.at)}"


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for joint in model.pin_joints:
        pins = _own(joint, PIN, boxes)
        if not pins:
            continue
        sheets = _sheets(model, joint, boxes)
        parts = tuple(dict.fromkeys(sheet.part or name for name, sheet in sheets.items()))
        fit = _fit(joint, sheets, pins)
        yield _asked(HOLES, joint, (*parts, *pins), fit, tuple(sheets.items()))
        skins = [name for name in boxes if model.families.get(name) == joint.host
                 and not name.endswith(_other(joint))]  # fmt: skip
        others = [n for n in boxes if n in model.families and n != model.swept
                  and model.families[n] != joint.host]  # fmt: skip
        inlaid = [n for n in others if _inlaid(model, joint, n)]
        goes = [n for n in (*inlaid, *skins) if not n.startswith(PIN)]
        reach = [_swept(boxes[n], joint.way, 1.0) for n in goes]
        bars = [n for n in others if any(boxes_meet(boxes[n], box, LOOSE) for box in reach)]
        near = [n for n in dict.fromkeys((*inlaid, *bars)) if not n.startswith(PIN)]
        yield _asked(
            OFF, joint, (*near, *skins), _slides(joint, near, inlaid, skins),
            (tuple(inlaid), tuple(skins)),
        )  # fmt: skip
        if skins:
            yield _asked(APART, joint, skins, _skins_apart(joint, skins))
        ways = [_swept(boxes[pin], joint.pins_along, side) for pin in pins for side in (-1.0, 1.0)]
        beside = [n for n in others if any(boxes_meet(boxes[n], box, LOOSE) for box in ways)]
        yield _asked(OUT, joint, (*beside, *skins), _drawn_out(joint, pins, beside, skins))
        yield _asked(NUTS, joint, (*pins, *beside), _nut_room(joint, pins, beside))


def _own(joint: PinJoint, first: str, boxes: Boxes) -> list[str]:
    stem = f"{first}{joint.name}_"
    return [name for name in boxes if name.startswith(stem) and name.endswith(f"_{joint.hand}")]


def _inlaid(model: Model, joint: PinJoint, part: str) -> bool:
    """Say whether a part stands inside the same wing, tail or fin, and not on the other hand."""
    inlay = model.inlay(part)
    return inlay is not None and inlay.host == joint.host and not part.endswith(_other(joint))


def _other(joint: PinJoint) -> str:
    return "_left" if joint.hand == "right" else "_right"


def _sheets(model: Model, joint: PinJoint, boxes: Boxes) -> dict[str, FlatSheet]:
    """Return the sheets of a joint's plates and of its spar's webs, but those of the other hand."""
    stems = f"{PLATE}{joint.name}_", f"spar_{joint.name}_web"
    return {
        name: sheet
        for name, sheet in model.sheets.items()
        if name.startswith(stems)
        and not name.endswith(_other(joint))
        and (sheet.part or name) in boxes
    }


def _swept(box: Box, way: Vec3, side: float) -> Box:
    """Return the box of what a box passes on a straight way to one side [mm]."""
    far = side * FAR * np.array(way)
    low, high = np.array(box.low), np.array(box.high)
    return Box(vec(np.minimum(low, low + far)), vec(np.maximum(high, high + far)))


def _name(joint: PinJoint) -> str:
    return f"{joint.name}_{joint.hand}"


def _asked(
    id_: str, joint: PinJoint, bodies: Sequence[str],
    measure: Callable[[Given], list[Measurement]], plain: tuple[object, ...] = (),
) -> MeasurementQuestion:  # fmt: skip
    full = f"{id_}.{_name(joint)}"

    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            try:
                return measure(given)
            except GeometryError as error:
                raise GeometryError(error.problem, part=f"spar_{joint.name}", step=id_) from error

        return rows(each)

    named = tuple(dict.fromkeys(bodies))
    return MeasurementQuestion(full, ask, bodies=named, plain=(joint, *plain), weight=0.5)


def _fit(
    joint: PinJoint, sheets: dict[str, FlatSheet], pins: list[str]
) -> Callable[[Given], list[Measurement]]:
    def measure(given: Given) -> list[Measurement]:
        each = pins_in_holes(sheets, given.bodies, pins)
        bare = [pin for pin in pins if len({e.sheet for e in each if e.pin == pin}) < 2]
        if bare:
            raise GeometryError(f"{bare[0]} does not go through two plates")
        off, tight = max(each, key=lambda e: e.off), min(each, key=lambda e: e.room)
        holes = f"{len(each)} holes of {len(pins)} pins of {tight.diameter:.2f} mm"
        return [
            _of_hole(HOLES, joint, off, off.off, "how far the middle of a hole is off that of its "
                     "pin", holes),
            _of_hole(ROOM, joint, tight, tight.room, "least room of a pin in its hole, all round",
                     holes),
        ]  # fmt: skip

    return measure


def _of_hole(
    id_: str, joint: PinJoint, one: PinInHole, value: float, what: str, note: str
) -> Measurement:
    return Measurement(
        f"{id_}.{_name(joint)}", f"{one.pin}, {one.sheet}", what, value, "mm", SECTIONS, 0.005,
        f"{one.sheet} at {place(one.at)}", (one.at,), note,
    )  # fmt: skip


def _slides(
    joint: PinJoint, near: Sequence[str], inlaid: Sequence[str], skins: Sequence[str]
) -> Callable[[Given], list[Measurement]]:
    held = {*inlaid, *skins}

    def measure(given: Given) -> list[Measurement]:
        moving: list[str] = []
        still: list[str] = []
        for name in (*near, *skins):
            low, high = _outward(joint, given.bodies[name])
            # Plates reach over the plane: each is of the half that more of it is in.
            plate = name.startswith(PLATE) and name in inlaid
            goes = low + high > 0.0 if plate else low >= -TOUCH
            (moving if goes else still).append(name)
        across = [
            name
            for name in still
            if name in held and not name.startswith(PLATE)
            and _outward(joint, given.bodies[name])[1] > TOUCH
        ]  # fmt: skip
        # Who runs across holds the whole half: what else meets it on its way is no cause more.
        bars = [
            _Barred(one, other, at)
            for one in moving
            for other in still
            if other not in across
            and not _one_in_the_other(one, other, held, skins)
            and (at := _met(given.bodies[one], given.bodies[other], joint.way)) is not None
        ]
        told = f"{len(moving)} parts slide off along ({', '.join(f'{c:.4f}' for c in joint.way)})"
        return [_bars(OFF, joint, "what bars the outer half from sliding off, pins drawn",
                      [*_across(joint, across), *bars], f"{told}: {', '.join(moving)}",
                      _off(given, moving, still), method=SKIN_WAY)]  # fmt: skip

    return measure


def _across(joint: PinJoint, names: Sequence[str]) -> list[_Barred]:
    """Return what runs across the joint, the caps and webs of a spar as one."""
    spars: dict[str, list[str]] = {}
    for name in names:
        spars.setdefault(CAP_OR_WEB.split(name)[0], []).append(name)
    return [
        _Barred(
            "the outer half",
            f"{', '.join(each)}, which {'runs' if len(each) == 1 else 'run'} across the joint",
            joint.parting.origin,
        )
        for each in spars.values()
    ]


def _one_in_the_other(one: str, other: str, held: set[str], skins: Sequence[str]) -> bool:
    """Say whether a part stands inside a skin, which is drawn full, and may slide there."""
    return one in held and other in held and (one in skins) != (other in skins)


def _skins_apart(joint: PinJoint, skins: Sequence[str]) -> Callable[[Given], list[Measurement]]:
    def measure(given: Given) -> list[Measurement]:
        reach = {name: _outward(joint, given.bodies[name]) for name in skins}
        across = [n for n, (low, high) in reach.items() if low < -ACROSS and high > ACROSS]
        outer = [n for n, (low, _) in reach.items() if low >= -ACROSS]
        inner = [n for n in skins if n not in (*outer, *across)]
        what = f"least gap between the inner and the outer part of the {joint.host}'s skin"
        if across or not outer or not inner:
            said = f"the skin is not parted there: {', '.join(across) or 'one part is missing'}"
            return [_of_gap(joint, what, 0.0, said)]
        gap = least_gap(given.bodies, [((a, b), 0.0) for a in inner for b in outer])
        return [_of_gap(joint, what, gap.gap, f"{gap.part} and {gap.other}", gap)]

    return measure


def _of_gap(
    joint: PinJoint, what: str, value: float, note: str, gap: PartGap | None = None
) -> Measurement:
    points = () if gap is None else gap.points
    at = place(points[0] if points else joint.parting.origin)
    return Measurement(
        f"{APART}.{_name(joint)}", f"skin of the {joint.host}, {joint.hand}", what, value, "mm",
        "the solids' own distance", 0.0 if gap is None else gap.bound, f"skin at {at}", points,
        note,
    )  # fmt: skip


def _off(given: Given, some: Sequence[str], others: Sequence[str]) -> float:
    """Return how far what bars some parts on their way past others may be miscounted [1]."""
    one, other = (
        max((given.bodies[name].deviation for name in names), default=0.0)
        for names in (some, others)
    )
    return unsure([one + other] if others else [])


def _outward(joint: PinJoint, body: Body) -> tuple[float, float]:
    """Return from where to where a body reaches outward of the joint's plane [mm]."""
    off = (body.mesh.vertices - np.array(joint.parting.origin)) @ np.array(joint.parting.normal)
    return float(off.min()), float(off.max())


def _met(one: Body, other: Body, way: Vec3) -> Vec3 | None:
    return met_on_the_way(one.mesh.corners, other.mesh.corners, way)


def _bars(
    id_: str, joint: PinJoint, what: str, bars: Sequence[_Barred], note: str, off: float,
    count: int | None = None, method: str = PINS_WAY,
) -> Measurement:  # fmt: skip
    note += f"; {COARSE}" if off else ""
    more = f" and {len(bars) - TOLD} more" if len(bars) > TOLD else ""
    words = "; ".join(bar.words for bar in bars[:TOLD]) + more
    return Measurement(
        f"{id_}.{_name(joint)}", f"joint of spar_{joint.name}, {joint.hand}", what,
        float(len(bars) if count is None else count), "1", method, off, words,
        tuple(bar.at for bar in bars[:1]), "; ".join(text for text in (words, note) if text),
    )  # fmt: skip


def _drawn_out(
    joint: PinJoint, pins: Sequence[str], beside: Sequence[str], skins: Sequence[str]
) -> Callable[[Given], list[Measurement]]:
    def measure(given: Given) -> list[Measurement]:
        stuck: list[_Barred] = []
        count, told = 0, []
        shut: list[tuple[PinEnd, dict[str, Vec3]]] = []
        for pin in pins:
            every: dict[float, list[_Barred]] = {
                side: _out(joint, pin, side, beside, given) for side in (-1.0, 1.0)
            }
            free = [side for side, bars in every.items() if not bars]
            if not free:
                count += 1
                stuck += sorted(every.values(), key=len)[0]
            if free:
                ends = [pin_end(joint, pin, given.bodies[pin], side) for side in free]
                own = {name: given.bodies[name] for name in skins}
                each = [(e, closed_skin(joint, e, given.bodies[pin], own)) for e in ends]
                shut += [] if any(not met for _, met in each) else each[:1]
            for side in free:
                word = "forward" if side < 0 else "aft"
                holes = _through(given, pin, skins, side * np.array(joint.pins_along))
                told.append(f"{pin} {word}" + (f", through the skin at {place(holes)}" if holes
                                               else ""))  # fmt: skip
        note = "can be drawn: " + ("; ".join(told) or "none")
        rows_ = [_bars(OUT, joint, "pins that can be drawn straight neither forward nor aft", stuck,
                       note, _off(given, pins, beside), count)]  # fmt: skip
        what = "pins with no opening in the skin that they and a socket get out through"
        return [*rows_, _reached(ACCESS, joint, what, shut)] if skins else rows_

    return measure


def _nut_room(
    joint: PinJoint, pins: Sequence[str], beside: Sequence[str]
) -> Callable[[Given], list[Measurement]]:
    def measure(given: Given) -> list[Measurement]:
        barred: list[tuple[PinEnd, dict[str, Vec3]]] = []
        for pin in pins:
            near = {name: given.bodies[name] for name in (*pins, *beside) if name != pin}
            own = {name: near[name] for name in near if name.startswith(f"spar_{joint.name}_")}
            others = {name: body for name, body in near.items() if name not in own}
            for side in (-1.0, 1.0):
                end = pin_end(joint, pin, given.bodies[pin], side)
                met = bars_of_socket(joint, end, own, others)
                barred += [(end, met)] if met else []
        return [_reached(NUTS, joint, "ends of pins that no socket gets straight onto", barred)]

    return measure


def _reached(
    id_: str, joint: PinJoint, what: str, barred: Sequence[tuple[PinEnd, dict[str, Vec3]]]
) -> Measurement:
    at = next(iter(barred[0][1].values())) if barred else None
    tool_ = f"a socket of {joint.socket_diameter:g} mm"
    tool_ += f", {joint.socket_length:g} mm long" if id_ == NUTS else ""
    return Measurement(
        f"{id_}.{_name(joint)}", f"joint of spar_{joint.name}, {joint.hand}", what,
        float(len(barred)), "1", REACHED, 0.0, words_of(barred[:TOLD]),
        () if at is None else (at,), f"{tool_}; {words_of(barred) or 'none barred'}",
    )  # fmt: skip


def _out(
    joint: PinJoint, pin: str, side: float, beside: Sequence[str], given: Given
) -> list[_Barred]:
    way = vec(side * np.array(joint.pins_along))
    each = ((n, _met(given.bodies[pin], given.bodies[n], way)) for n in beside if n != pin)
    word = "forward" if side < 0 else "aft"
    return [_Barred(f"{pin}, {word},", name, at) for name, at in each if at is not None]


def _through(given: Given, pin: str, skins: Sequence[str], way: object) -> Vec3 | None:
    """Return where the middle line of a pin leaves the skin that it stands in [mm]."""
    start = given.bodies[pin].mesh.vertices.mean(axis=0)
    ends = start.tolist(), (start + FAR * np.array(way)).tolist()
    hits = [hit.position for skin in skins for hit in given.bodies[skin].hull.ray_cast(*ends)]
    return vec(min(hits, key=lambda at: float(np.linalg.norm(at - start)))) if hits else None


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for joint in by.model.pin_joints:
        for id_ in (HOLES, OFF, OUT, APART, NUTS):
            full = f"{id_}.{_name(joint)}"
            found += joined_rows(full, UNITS[id_], by.answers.get(full))
            answer = by.answers.get(full)
            if id_ == HOLES and isinstance(answer, dict):
                found += joined_rows(f"{ROOM}.{_name(joint)}", "mm", answer)
            if id_ == OUT and isinstance(answer, dict):
                found += joined_rows(f"{ACCESS}.{_name(joint)}", "1", answer)
    return found


PIN_JOINTS = Subject(_questions, _said)
