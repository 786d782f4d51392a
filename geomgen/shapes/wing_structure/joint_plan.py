"""The plan of a joint where the outer wing comes off: where plates, packings and pins stand.

All on the right, in the frame of the web: along the spar outward and up from the middle of its
depth at the joint, in the plane of its fore face; its normal points aft.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import AFT, BOTH, BOX, FORE, Spar, WingJoint
from geomgen.shapes.wing_structure.inner_room import InnerRoom, room_of
from geomgen.shapes.wing_structure.spar_lines import SparSection, section_at, spar_sections
from geomgen.shapes.wing_structure.spars import pieces_of

INNER, OUTWARD, PACKING = "inner", "outer", "packing"
# A web's faces are straight and parallel over the length of the plates within this [mm].
STRAIGHT = 0.01
# Openings in the skin stay so much more than the skin's thickness off the pins [mm]: own choice.
BEYOND = 0.5


@dataclass(frozen=True)
class JointPlate:
    """A plate or packing: its name, its half, from where to where along the spar [mm].

    `foot` is how far the face that it lies on stands aft of the frame [mm], `side` -1 where it
    lies ahead of that, 1 behind it.
    """

    name: str
    half: str
    low: float
    high: float
    foot: float
    side: int

    @property
    def packs(self) -> bool:
        """Say whether it only fills what the other half's plate is thick."""
        return self.name.startswith(PACKING)


@dataclass(frozen=True)
class JointPlan:
    """The plan of one joint: its spar, frame, plates; middles of its pins [mm], their ends aft.

    `webs` names the spar's pieces that the pins go through, `breadth` is how wide the spar is [mm].
    """

    spar: Spar
    room: InnerRoom
    frame: Frame
    plates: tuple[JointPlate, ...]
    pins: tuple[tuple[float, float], ...]
    ends: tuple[float, float]
    webs: tuple[str, ...]
    breadth: float

    @property
    def other_webs(self) -> tuple[str, ...]:
        """The spar's piece that holes for nuts are cut in, if any."""
        if self.joint.nut_hole is None:
            return ()
        return tuple(w for w in pieces_of(self.spar, []) if w.startswith("web")
                     and w not in self.webs)  # fmt: skip

    @property
    def joint(self) -> WingJoint:
        """The joint's table."""
        assert self.spar.wing_joint is not None
        return self.spar.wing_joint

    @property
    def opening_from(self) -> float:
        """How far beyond the ends of the pins openings in the skin begin [mm]."""
        return self.spar.skin + BEYOND

    @property
    def hole(self) -> float:
        """The diameter of the holes [mm]."""
        return self.joint.pin_diameter + self.joint.pin_clearance

    def foot(self, plate: JointPlate) -> float:
        """Return where the fore face of a plate stands aft of the frame [mm]."""
        thick, gap = self.joint.plate_thickness, self.joint.plate_gap
        return plate.foot + (gap if plate.side > 0 else -gap - thick)

    def taken_up(self, faces: tuple[float, float]) -> Floats | None:
        """Return the corners (2, 4, 2) [mm], x and u, of all plates in two planes across the span.

        None where they reach neither.
        """
        s0 = self.room.base + self.joint.at
        if faces[1] < s0 - self.joint.plate_length or faces[0] > s0 + self.joint.plate_length:
            return None
        feet = [self.foot(plate) for plate in self.plates]
        low, high = min(feet), max(feet) + self.joint.plate_thickness
        half = self.joint.plate_depth / 2
        return np.array(
            [
                [_at(self.frame, self.room, s, up, off) for off, up in
                 ((low, -half), (high, -half), (high, half), (low, half))]
                for s in faces
            ]
        )  # fmt: skip


def joint_plans(p: Parameters) -> list[JointPlan]:
    """Return the plans of all joints; GeometryError, naming the part, where one has no room."""
    return [joint_plan(p, spar) for spar in p.spars if spar.wing_joint is not None]


def joint_plan(p: Parameters, spar: Spar) -> JointPlan:
    """Return the plan of a spar's joint; GeometryError where its plates have no room."""
    joint, room = spar.wing_joint, room_of(p, spar.of)
    assert joint is not None
    sections = spar_sections(room, spar)
    s, long = room.base + joint.at, joint.plate_length
    if s - long < sections[0].s - 1e-6 or s + long > sections[-1].s + 1e-6:
        raise _refused(spar, "plate_length", f"its plates reach past an end of the spar: {long:g} "
                       f"mm on each side of {joint.at:g} mm")  # fmt: skip
    frame, aft = _frame(room, spar, sections)
    feet = {FORE: [(0.0, -1)], AFT: [(aft, 1)], BOTH: [(0.0, -1), (aft, 1)]}[joint.side]
    plates = tuple(plate for foot, side in feet for plate in _layers(joint, foot, side, len(feet)))
    reach = joint.pin_ends + joint.layers * (joint.plate_gap + joint.plate_thickness)
    ends = (
        -(joint.pin_ends if joint.side == AFT else reach),
        aft + (joint.pin_ends if joint.side == FORE else reach),
    )
    plan = JointPlan(spar, room, frame, plates, tuple(pin_places(joint)), ends, _webs(spar),
                     max(c.aft - c.fore for c in sections))  # fmt: skip
    _require_room(plan, sections)
    return plan


def _refused(spar: Spar, key: str, problem: str) -> GeometryError:
    return GeometryError(
        problem, part=f"joint_plate_{spar.name}", step="wing joint",
        look_at=[f"spars.{spar.name}.wing_joint.{key}"],
    )  # fmt: skip


def _webs(spar: Spar) -> tuple[str, ...]:
    assert spar.wing_joint is not None
    if spar.kind == BOX:
        sides = (FORE, AFT) if spar.wing_joint.side == BOTH else (spar.wing_joint.side,)
        return tuple(f"web_{side}" for side in sides)
    return tuple(what for what in pieces_of(spar, []) if what.startswith("web"))


def pin_places(joint: WingJoint) -> Iterator[tuple[float, float]]:
    """Yield where the pins stand: along the spar from the joint, and up from its middle [mm].

    >>> table = {"at": "1 m", "plate_thickness": "3 mm", "plate_depth": "60 mm", "overlap": "80 mm",
    ...          "plate_length": "150 mm", "pin_diameter": "8 mm", "pin_pitch": "30 mm",
    ...          "pin_pitch_along": "90 mm", "pins_off": "1 mm"}
    >>> list(pin_places(WingJoint.model_validate(table)))
    [(-44.0, -15.0), (46.0, -15.0), (-44.0, 15.0), (46.0, 15.0)]
    """
    for j in range(joint.pin_rows):
        for i in range(joint.pin_columns):
            along = (i - (joint.pin_columns - 1) / 2) * (joint.pin_pitch_along or 0.0)
            yield joint.pins_off + along, (j - (joint.pin_rows - 1) / 2) * (joint.pin_pitch or 0.0)


def _layers(joint: WingJoint, foot: float, side: int, faces: int) -> Iterator[JointPlate]:
    """Yield the plates and packings on one face of the web, from the web outward."""
    word = "" if faces == 1 else "_fore" if side < 0 else "_aft"
    for k in range(joint.layers):
        at = foot + side * k * (joint.plate_gap + joint.plate_thickness)
        half, other, out = (INNER, OUTWARD, -1) if k % 2 == 0 else (OUTWARD, INNER, 1)
        low, high = sorted((out * joint.plate_length, -out * joint.overlap))
        yield JointPlate(f"{half}{word}_{k + 1}", half, low, high, at, side)
        # On the outermost layer nothing lies that would have to be packed.
        if k + 1 < joint.layers:
            low, high = sorted((-out * joint.plate_length, -out * (joint.overlap + joint.gap)))
            yield JointPlate(f"{PACKING}_{other}{word}_{k + 1}", other, low, high, at, side)


def _frame(room: InnerRoom, spar: Spar, sections: list[SparSection]) -> tuple[Frame, float]:
    """Return the frame of the web's fore face, and how far the aft one stands behind it [mm].

    Of a box with plates on both faces the fore web's, and the aft web's aft face.
    """
    joint = spar.wing_joint
    assert joint is not None
    s0, web = room.base + joint.at, _webs(spar)[0]
    at = [s0 - joint.plate_length, s0, s0 + joint.plate_length]
    mine = [section_at(sections, s) for s in at]
    fore = [float(pieces_of(spar, sections)[web](c)[0, 0]) for c in mine]
    both = spar.kind == BOX and joint.side == BOTH
    behind = [c.aft - c.fore if both else spar.web for c in mine]
    bent = abs(fore[0] - 2 * fore[1] + fore[2]) / 2
    if bent > STRAIGHT:
        problem = (
            f"the web bends in plan by {bent:.2f} mm over the plates, which are flat: move the "
            "joint away from a break of sweep, chord or width"
        )
        raise _refused(spar, "at", problem)
    if max(behind) - min(behind) > STRAIGHT:
        problem = (
            "the fore and the aft web are not parallel: no pin is square to both. Write fore or "
            "aft, or a width that does not taper there"
        )
        raise _refused(spar, "side", problem)
    middles = [(sum(c.low) + sum(c.high)) / 4 for c in mine]
    long = 2 * joint.plate_length
    rise, sweep = (middles[2] - middles[0]) / long, (fore[2] - fore[0]) / long
    span, up = np.array(room.sections[0].span), np.array(room.sections[0].up)
    along = span + sweep * np.array([1.0, 0.0, 0.0]) + rise * up
    along /= np.linalg.norm(along)
    aft = np.array([1.0, 0.0, 0.0]) - sweep * span
    aft /= np.linalg.norm(aft)
    frame = Frame(room.point(s0, fore[1], middles[1]), vec(along), vec(np.cross(aft, along)))
    return frame, behind[1] / hypot(1.0, sweep)


def _at(frame: Frame, room: InnerRoom, s: float, up: float, off: float) -> tuple[float, float]:
    """Return station and height [mm] where a line along the spar meets a place along the span."""
    span, upward = np.array(room.sections[0].span), np.array(room.sections[0].up)
    start, along = np.array(frame.moved(off).lifted((0.0, up))), np.array(frame.across)
    point = start + (s - start @ span) / (along @ span) * along
    return float(point[0]), float(point @ upward)


def _require_room(plan: JointPlan, sections: list[SparSection]) -> None:
    """Require that the plates keep on the web and between caps, and the pins clear of caps."""
    spar, joint, room = plan.spar, plan.joint, plan.room
    s0, half = room.base + joint.at, joint.plate_depth / 2
    breaks = [c.s for c in sections if abs(c.s - s0) < joint.plate_length]
    webs = pieces_of(spar, sections)
    for s in (s0 - joint.plate_length, *breaks, s0, s0 + joint.plate_length):
        c = section_at(sections, s)
        for what in plan.webs:
            low, high = (float(webs[what](c)[i, 1]) for i in (0, 3))
            bottom, top = (_at(plan.frame, room, s, side * half, 0.0)[1] for side in (-1, 1))
            if bottom < low or top > high:
                need = 2 * max(low - bottom, top - high)
                raise _refused(spar, "plate_depth", "the plates reach past the web, which is "
                               f"{high - low:.1f} mm high at {s - room.base:.0f} mm: plate_depth "
                               f"{joint.plate_depth:g} mm must be {need:.1f} mm less")  # fmt: skip
    for along, up in plan.pins:
        s, tall = _span_of(plan, (along, up)), plan.hole / 2 / abs(plan.frame.up @ _up(room))
        c, (x, u) = section_at(sections, s), _at(plan.frame, room, s, up, 0.0)
        if not c.height(x, False) + c.cap + tall < u < c.height(x, True) - c.cap - tall:
            raise _refused(spar, "pin_pitch", f"a pin at {s - room.base:.0f} mm would run into a "
                           f"cap of the spar: less pin_pitch than {joint.pin_pitch or 0:g} mm, or "
                           "thinner pins")  # fmt: skip


def _up(room: InnerRoom) -> Floats:
    return np.array(room.sections[0].up)


def _span_of(plan: JointPlan, pin: tuple[float, float]) -> float:
    return float(np.array(plan.frame.lifted(pin)) @ np.array(plan.room.sections[0].span))


def pin_axis(plan: JointPlan, pin: tuple[float, float], at: float) -> Vec3:
    """Return the point of a pin's axis [mm] so far aft of the frame."""
    return plan.frame.moved(at).lifted(pin)
