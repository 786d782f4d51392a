"""The pilot as plain geometry: limbs to measure room from, his eye, the glass before him.

Nothing is built of them, so that no file and no check takes him for a part of the aircraft.
"""

from collections.abc import Iterator
from dataclasses import replace

from geomgen.errors import GeometryError
from geomgen.kernel.plain import Glass, Limb, Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.pilot import Pilot, sitters
from geomgen.parameters.rules.seated import (
    ARM,
    CHEST,
    ELBOW,
    FIST,
    HEAD,
    HEEL,
    KNEE,
    SHOE,
    Bones,
    Trunk,
    along,
    arm_of,
    bones_of,
    fist_of,
    leg_of,
    lengths_of,
    pedal_of,
    sole_of,
    trunk_of,
)


def limbs(p: Parameters) -> list[Limb]:
    """Return the pilot's limbs [mm], the right-hand ones before their mirrors; none without him.

    `reach` are the balls that the stretched arms sweep about the shoulders. The limbs of others who
    fly it follow, each with its owner's name.
    """
    seated = sitters(p.pilot) if p.pilot else []
    return [
        replace(limb, name=f"{limb.name}{whose}") for whose, one in seated for limb in _limbs(one)
    ]


def _limbs(pilot: Pilot) -> list[Limb]:
    lengths, room = lengths_of(pilot), pilot.room
    trunk, bones = trunk_of(pilot, lengths), bones_of(lengths)
    thick = lengths["thigh_thickness"] / 2 + room
    middle = [*_head(trunk, pilot.helmet), *_body(trunk, thick, room)]
    right = [
        *_arm(trunk, bones, fist_of(pilot), room),
        *_leg(trunk, bones, pedal_of(pilot), thick, room),
    ]
    return [*middle, *right, *(_mirrored(limb) for limb in right)]


def eye(p: Parameters) -> Vec3 | None:
    """Return the place [mm] that the pilot looks from, between his eyes; None without him."""
    return trunk_of(p.pilot, lengths_of(p.pilot)).eye if p.pilot else None


def other_eyes(p: Parameters) -> dict[str, Vec3]:
    """Return the places [mm] that others who fly it look from, by whose they are."""
    seated = sitters(p.pilot)[1:] if p.pilot else []
    return {whose: trunk_of(one, lengths_of(one)).eye for whose, one in seated}


def glass(p: Parameters) -> Glass | None:
    """Return the glazed part of the pod [mm]; None where the file has no canopy."""
    c = p.canopy
    return Glass(c.fore_station, c.aft_station, c.fore_sill, c.aft_sill) if c else None


def _head(trunk: Trunk, helmet: float) -> Iterator[Limb]:
    around = HEAD + helmet
    yield Limb("head", trunk.crown, trunk.chin, around, around)
    if trunk.crown_back != trunk.crown:
        yield Limb("head leant back", trunk.crown_back, trunk.chin_back, around, around)


def _body(trunk: Trunk, thick: float, room: float) -> Iterator[Limb]:
    yield Limb("trunk", trunk.hips, trunk.chest, thick, CHEST + room)
    for name, joint, radius in (
        ("shoulders", trunk.shoulder, ARM + room),
        ("hips", trunk.hip, thick),
    ):
        yield Limb(name, joint, _other_side(joint), radius, radius)


def _arm(trunk: Trunk, bones: Bones, fist: Vec3, room: float) -> Iterator[Limb]:
    elbow = _joint("arms", arm_of(trunk, bones, fist).joint)
    shoulder = trunk.shoulder
    yield Limb("upper arm right", shoulder, elbow, ARM + room, ELBOW + room)
    yield Limb("forearm right", elbow, fist, ELBOW + room, FIST + room)
    yield Limb("reach right", shoulder, shoulder, bones.stretched_arm, bones.stretched_arm)


def _leg(trunk: Trunk, bones: Bones, pedal: Vec3, thick: float, room: float) -> Iterator[Limb]:
    knee = _joint("legs", leg_of(trunk, bones, pedal).joint)
    shank, foot = sole_of(knee, trunk.hip, pedal, bones)
    ankle = along(knee, shank, bones.shank - SHOE)
    heel = along(ankle, foot, SHOE - HEEL * bones.foot)
    toe = along(ankle, foot, (1.0 - HEEL) * bones.foot - SHOE)
    yield Limb("thigh right", trunk.hip, knee, thick, KNEE + room)
    yield Limb("knee right", knee, knee, KNEE + room, KNEE + room)
    yield Limb("shank right", knee, ankle, KNEE + room, SHOE + room)
    yield Limb("foot right", heel, toe, SHOE + room, SHOE + room)


def _joint(what: str, found: Vec3 | None) -> Vec3:
    if found is None:
        raise GeometryError(f"the pilot's {what} do not reach", part="pilot", step="pilot")
    return found


def _other_side(point: Vec3) -> Vec3:
    return (point[0], -point[1], point[2])


def _mirrored(limb: Limb) -> Limb:
    ends = _other_side(limb.start), _other_side(limb.end)
    name = limb.name.replace("right", "left")
    return Limb(name, *ends, limb.start_radius, limb.end_radius)
