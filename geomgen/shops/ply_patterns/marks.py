"""What is marked on a sheet: where it stands, datum lines, spars and ribs that it meets."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from geomgen.drafting.lettering import width_of
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import RibRow, wing_joint_names
from geomgen.shapes.wing_structure.inner_room import InnerRoom, room_of
from geomgen.shapes.wing_structure.joint_plan import JointPlan, JointPlate, joint_plans
from geomgen.shapes.wing_structure.ribs import places_of
from geomgen.shapes.wing_structure.spar_lines import section_at, spar_sections

# Marks reach past what they mark [mm].
OVER = 5.0
# Words of level lines stand so far beside the part, in letters so high [mm].
CLEAR, LETTERS = 3.0, 4.0
# A sheet whose normal has so much of fore and aft [1] stands across.
ACROSS = 0.3
FROM_AFT = "SEEN FROM AFT, LOOKING FORWARD"
FROM_OUTBOARD, FROM_ABOVE = "SEEN FROM OUTBOARD, LOOKING INBOARD", "SEEN FROM ABOVE"
# What its two faces are called, the one underneath first.
FACES_SEEN = {
    FROM_AFT: ("front", "aft"),
    FROM_OUTBOARD: ("inboard", "outboard"),
    FROM_ABOVE: ("lower", "upper"),
}
RIGHT, LEFT = "_right", "_left"


@dataclass(frozen=True)
class SheetMark:
    """A line [mm] in words; one that is only where the part is, or one that goes on beside it."""

    words: str
    start: Vec3
    end: Vec3
    on_part: bool = True

    def on_the_left(self) -> "SheetMark":
        """Return the mark of the part on the other side."""
        (a, b, c), (d, e, f) = self.start, self.end
        return replace(self, start=(a, -b, c), end=(d, -e, f))

    def flat(self, frame: Frame) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return its ends in a sheet's plane [mm].

        In a sheet that stands across, fore and aft, so that places along the span stay.
        """
        ends = np.array([self.start, self.end])
        if abs(frame.normal[0]) > ACROSS:
            ends[:, 0] -= frame.height(ends) / frame.normal[0]
        (a, b), (c, d) = frame.flat(ends).tolist()
        return (a, b), (c, d)


@dataclass(frozen=True)
class PlyWords:
    """What is said of a sheet: where it stands, from where it is seen; its marks; beside it."""

    where: str
    seen: str
    marks: tuple[SheetMark, ...] = ()
    notes: tuple[str, ...] = ()

    def faces(self, text: str) -> str:
        """Return a text that says front and aft of a sheet, with its faces' names as it stands.

        >>> PlyWords("BL 500", FROM_OUTBOARD).faces("the front face")
        'the inboard face'
        """
        names = dict(zip(("front", "aft"), FACES_SEEN[self.seen], strict=True))
        return " ".join(names.get(word, word) for word in text.split(" "))

    def on_the_left(self) -> "PlyWords":
        """Return what is said of the part on the other side."""
        return replace(self, marks=tuple(mark.on_the_left() for mark in self.marks))


def inner_words(p: Parameters) -> dict[str, PlyWords]:
    """Return what is said of each rib and each web, both hands, by what their names begin with."""
    found: dict[str, PlyWords] = {}
    for row in p.ribs:
        room = room_of(p, row.of)
        for number, s in enumerate(places_of(p, row, room), start=1):
            found[f"rib_{row.name}_{number}"] = _rib(p, row, room, s)
    for spar in p.spars:
        room = room_of(p, spar.of)
        marks = tuple(_ribs_on(p, room, spar.of, f"spar_{spar.name}"))
        found[f"spar_{spar.name}_web"] = PlyWords(f"WEB OF SPAR {spar.name.upper()}", FROM_AFT,
                                                    marks)  # fmt: skip
    for plan in joint_plans(p):
        stem = wing_joint_names(plan.spar)[0]
        found |= {f"{stem}_{one.name}": _joint_plate(plan, one) for one in plan.plates}
    return found


def _joint_plate(plan: JointPlan, one: JointPlate) -> PlyWords:
    """Return what is said of a joint's plate: the joint's line, those of its pins, both ways."""
    joint, face = plan.joint, plan.frame.moved(plan.foot(one))
    half, place = joint.plate_depth / 2, place_words(plan.room, plan.room.base + joint.at)
    ups = {0.0: f"JOINT, {place}"} if one.low < 0.0 < one.high else {}
    levels = {0.0: "MIDDLE"}
    if not one.packs:
        ups |= {x: f"PINS {abs(x):g} mm {'OUT' if x > 0 else 'IN'}" for x, _ in plan.pins if x}
        levels |= {y: f"{abs(y):g} mm {'UP' if y > 0 else 'DOWN'}" for _, y in plan.pins if y}
    aside = CLEAR + max(width_of(words, LETTERS) for words in levels.values()) / 2
    # Words stand over the ends of their own lines, those of neighbours at other heights.
    marks = [
        SheetMark(words, face.lifted((x, -half)), face.lifted((x, half + OVER * (1 + 2 * (k % 3)))),
                  on_part=False)
        for k, (x, words) in enumerate(sorted(ups.items()))
    ] + [
        SheetMark(words, face.lifted((one.low - aside, y)), face.lifted((one.high + aside, y)),
                  on_part=False)
        for y, words in levels.items()
    ]  # fmt: skip
    holes = "NO HOLES" if one.packs else f"{len(plan.pins)} HOLES {plan.hole:.2f} mm DIA"
    note = f"{one.half.capitalize()} half of the joint of spar {plan.spar.name} at {place}: " \
           f"{holes.lower()}; drill both halves together."  # fmt: skip
    return PlyWords(holes, FROM_AFT, tuple(marks), (note,))


def words_of(found: dict[str, PlyWords], name: str) -> PlyWords | None:
    """Return what is said of a part: that of the longest name that its own goes on from."""
    own = [stem for stem in found if name == stem or name.startswith(f"{stem}_")]
    if not own:
        return None
    said = found[max(own, key=len)]
    if name.startswith("spar_") and not name.endswith((RIGHT, LEFT)):
        return replace(said, marks=(*said.marks, *said.on_the_left().marks))
    return said.on_the_left() if name.endswith(LEFT) else said


def place_words(room: InnerRoom, s: float) -> str:
    """Return a place along the span [mm] in words: a buttock line, of a fin a waterline."""
    return f"{'BL' if room.symmetric else 'WL'} {round(s, 2) + 0.0:g}"


def _rib(p: Parameters, row: RibRow, room: InnerRoom, s: float) -> PlyWords:
    nose, tail = _chord(room, s)
    marks = [SheetMark("CHORD LINE", nose, tail)]
    for spar in p.spars:
        if spar.of != row.of:
            continue
        sections = spar_sections(room, spar)
        if sections[0].s <= s <= sections[-1].s:
            c = section_at(sections, s)
            x = (c.fore + c.aft) / 2
            low, high = min(c.low) - OVER, max(c.high) + OVER
            ends = room.point(s, x, low), room.point(s, x, high)
            marks.append(SheetMark(f"CL SPAR {spar.name.upper()}", *ends, on_part=False))
    seen = FROM_OUTBOARD if room.symmetric else FROM_ABOVE
    where = f"{place_words(room, s)} AT ITS MIDDLE, LEADING EDGE AT STA {nose[0]:.1f}"
    return PlyWords(where, seen, tuple(marks))


def _chord(room: InnerRoom, s: float) -> tuple[Vec3, Vec3]:
    """Return leading and trailing edge [mm] at a place along the span [mm]."""
    ends = []
    for section in room.sections:
        turn = np.radians(section.angle)
        nose = np.array(section.nose)
        aft = np.cos(turn) * np.array([1.0, 0.0, 0.0]) - np.sin(turn) * np.array(section.up)
        ends.append((nose, nose + section.chord * aft))
    at = room.places
    nose, tail = (
        np.array([np.interp(abs(s), at, [end[i][k] for end in ends]) for k in range(3)])
        for i in (0, 1)
    )
    return vec(nose), vec(tail)


def _ribs_on(p: Parameters, room: InnerRoom, host: str, name: str) -> Iterator[SheetMark]:
    spar = next(one for one in p.spars if f"spar_{one.name}" == name)
    sections = spar_sections(room, spar)
    for row in p.ribs:
        if row.of != host:
            continue
        for number, s in enumerate(places_of(p, row, room), start=1):
            if sections[0].s < s < sections[-1].s:
                c = section_at(sections, s)
                low, high = (room.point(s, c.fore, u) for u in (min(c.low), max(c.high)))
                label = f"RIB {row.name.upper()} {number}, {place_words(room, s)}"
                yield SheetMark(label, low, high)
