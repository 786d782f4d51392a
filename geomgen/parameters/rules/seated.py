"""Where a seated pilot's joints are, worked out from his lengths: plain sums, no kernel.

Upright, all heights count from the seat. The trunk leans with the seat's back about the hips, which
touch both seat and back; the head stays upright on it, or leans back with it. Knees and elbows are
where two circles meet: that of the one bone about its end and that of the other about the other.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, hypot, radians, sin, sqrt

from geomgen.parameters.records.pilot import SURVEY, Pilot, length_of

Point = tuple[float, float, float]
# Half of the head's length and of the chest's depth [mm]: MEMORY, of the 50th man 195 and 250; how
# far the eye is ahead of the middle of the head [mm]: own choice.
HEAD, CHEST, EYE_AHEAD = 100.0, 125.0, 85.0
# Crown to chin [mm]: MEMORY.
FACE = 225.0
# Radii [mm] of upper arm, elbow, fist, knee and shoe: own choice.
ARM, ELBOW, FIST, KNEE, SHOE = 55.0, 40.0, 45.0, 60.0, 45.0
# Middle of the fist to the finger tips [mm]: MEMORY.
FINGERS = 115.0
# Of the foot so much lies behind the shank's axis, and so much ahead of it to the ball: own choice.
HEEL, BALL = 0.25, 0.5
# Knees and elbows do not bend further than to this angle between the bones [deg]: own choice.
BENT = 45.0


@dataclass(frozen=True)
class Bones:
    """Lengths between joints [mm], told from those that a tape measures."""

    thigh: float
    shank: float
    foot: float
    upper_arm: float
    forearm: float
    stretched_arm: float

    @property
    def leg(self) -> float:
        """Return the distance of knee and ball of the foot [mm], the foot square to the shank."""
        return hypot(self.shank, BALL * self.foot)


@dataclass(frozen=True)
class Trunk:
    """Joints on the centre plane and the right-hand hip and shoulder [mm]; the eye."""

    hips: Point
    chest: Point
    neck: Point
    crown: Point
    chin: Point
    crown_back: Point
    chin_back: Point
    eye: Point
    hip: Point
    shoulder: Point


@dataclass(frozen=True)
class LimbBend:
    """Two bones from joint to joint: how far apart their ends are and may be [mm], the joint."""

    apart: float
    least: float
    most: float
    joint: Point | None


def lengths_of(pilot: Pilot) -> dict[str, float]:
    """Return every length [mm] of the pilot; those that are not known are left out."""
    found = {key: length_of(pilot, key) for key in SURVEY}
    return {key: value for key, value in found.items() if value is not None}


def bones_of(lengths: dict[str, float]) -> Bones:
    """Return the lengths between the joints [mm]."""
    upper = lengths["upper_arm"] - ARM - ELBOW
    fore = lengths["forearm_reach"] - ELBOW - FINGERS
    return Bones(
        thigh=lengths["buttock_to_knee"] - CHEST - KNEE,
        shank=lengths["knee_height"] - KNEE,
        foot=lengths["foot_length"],
        upper_arm=upper,
        forearm=fore,
        stretched_arm=upper + fore + FINGERS,
    )


def trunk_of(pilot: Pilot, lengths: dict[str, float]) -> Trunk:
    """Return hips, chest, neck, head and eye [mm], the back leaning as the seat's."""
    lean = radians(pilot.seat_back_angle)
    up = (sin(lean), 0.0, cos(lean))
    thick = lengths["thigh_thickness"] / 2
    # As far from the seat as the thigh is thick, as far from the back as the chest is.
    ahead = (CHEST - thick * sin(lean)) / cos(lean)
    hips = (pilot.seat_station - ahead, 0.0, pilot.seat_waterline + thick)
    high = lengths["shoulder_height"]
    neck = along(hips, up, high - thick)
    joint = along(hips, up, high - thick - ARM)
    over = lengths["sitting_height"] - high
    top = (0.0, 0.0, 1.0)
    eye = along(neck, top, lengths["eye_height"] - high)
    return Trunk(
        hips=hips,
        chest=along(hips, up, max(high - thick - CHEST, 0.0)),
        neck=neck,
        crown=along(neck, top, over - HEAD),
        chin=along(neck, top, over - FACE + HEAD),
        crown_back=along(neck, up, over - HEAD),
        chin_back=along(neck, up, over - FACE + HEAD),
        eye=(eye[0] - EYE_AHEAD, 0.0, eye[2]),
        hip=(hips[0], lengths["hip_breadth"] / 2 - thick, hips[2]),
        shoulder=(joint[0], lengths["shoulder_breadth"] / 2 - ARM, joint[2]),
    )


def pedal_of(pilot: Pilot) -> Point:
    """Return where the ball of the right foot presses [mm]."""
    return (pilot.pedal_station, pilot.pedal_buttock_line, pilot.pedal_waterline)


def fist_of(pilot: Pilot) -> Point:
    """Return the middle of the right fist [mm]."""
    return (pilot.hand_station, pilot.hand_buttock_line, pilot.hand_waterline)


def leg_of(trunk: Trunk, bones: Bones, pedal: Point) -> LimbBend:
    """Return how the right leg bends to a pedal [mm], knee up."""
    return bend(trunk.hip, pedal, bones.thigh, bones.leg, (0.0, 0.0, 1.0))


def arm_of(trunk: Trunk, bones: Bones, fist: Point) -> LimbBend:
    """Return how the right arm bends to the fist [mm], elbow down."""
    return bend(trunk.shoulder, fist, bones.upper_arm, bones.forearm, (0.0, 0.0, -1.0))


def bend(start: Point, end: Point, first: float, second: float, toward: Point) -> LimbBend:
    """Return where two bones of lengths [mm] from `start` and `end` meet, on the side of `toward`.

    No joint where they do not reach, or would have to bend too far.

    >>> bend((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), 500.0, 500.0, (0.0, 0.0, 1.0)).joint
    (300.0, 0.0, 400.0)
    >>> bend((0.0, 0.0, 0.0), (1001.0, 0.0, 0.0), 500.0, 500.0, (0.0, 0.0, 1.0)).joint is None
    True
    """
    apart = hypot(*(b - a for a, b in zip(start, end, strict=True)))
    least = sqrt(first**2 + second**2 - 2 * first * second * cos(radians(BENT)))
    most = first + second
    if not least <= apart <= most:
        return LimbBend(apart, least, most, None)
    way = unit(tuple_of(b - a for a, b in zip(start, end, strict=True)))
    across = square_to(way, toward)
    share = (first**2 - second**2 + apart**2) / (2 * apart)
    off = sqrt(max(first**2 - share**2, 0.0))
    return LimbBend(apart, least, most, along(along(start, way, share), across, off))


def sole_of(knee: Point, hip: Point, ball: Point, bones: Bones) -> tuple[Point, Point]:
    """Return the unit ways [1] from knee [mm] to sole, and from heel to toe, square to each other.

    Both lie in the plane of the leg; the ball of the foot is where it should press.
    """
    down = unit(tuple_of(b - a for a, b in zip(knee, ball, strict=True)))
    # Square to it in the plane of hip, knee and ball, away from the hip.
    from_hip = tuple_of(b - a for a, b in zip(hip, knee, strict=True))
    out = square_to(down, from_hip)
    ahead, along_shank = BALL * bones.foot / bones.leg, bones.shank / bones.leg
    shank = tuple_of(along_shank * d - ahead * o for d, o in zip(down, out, strict=True))
    foot = tuple_of(ahead * d + along_shank * o for d, o in zip(down, out, strict=True))
    return shank, foot


def square_to(way: Point, toward: Point) -> Point:
    """Return the unit vector [1] square to a unit `way` that points most the way of `toward`.

    >>> square_to((1.0, 0.0, 0.0), (5.0, 0.0, 2.0))
    (0.0, 0.0, 1.0)
    """
    for wish in (toward, (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)):
        share = sum(a * b for a, b in zip(way, wish, strict=True))
        left = tuple_of(b - share * a for a, b in zip(way, wish, strict=True))
        if hypot(*left) > 1e-6 * hypot(*wish):
            return unit(left)
    raise AssertionError("no direction is along two axes")


def along(start: Point, way: Point, by: float) -> Point:
    """Return the point [mm] that is `by` [mm] from `start` along a unit way [1]."""
    return tuple_of(s + by * w for s, w in zip(start, way, strict=True))


def unit(way: Point) -> Point:
    """Return a way [any unit] with length one."""
    size = hypot(*way)
    return tuple_of(w / size for w in way)


def tuple_of(values: Iterable[float]) -> Point:
    """Return three numbers [any unit] as a point."""
    x, y, z = values
    return (x, y, z)
