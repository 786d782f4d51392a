"""Whether a socket gets onto the ends of a joint's pins, and pins and socket through the skin."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import PinJoint, Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.second_library import second_library
from geomgen.kernel.visibility.straight_way import TOUCH

# A round tool is drawn with so many corners; less than this of it in a part is contact [mm3].
CORNERS, LEAST = 96, 1.0
FAR = 2e4


@dataclass(frozen=True)
class PinEnd:
    """An end of a pin: side -1 forward or 1 aft along the pins, where it is and looks [mm]."""

    pin: str
    side: float
    at: Vec3
    way: Vec3

    @property
    def word(self) -> str:
        """Say which end it is."""
        return "fore" if self.side < 0 else "aft"


def pin_end(joint: PinJoint, pin: str, body: Body, side: float) -> PinEnd:
    """Return an end of a pin, told from its solid's mesh [mm]."""
    points, along = body.mesh.vertices, side * np.array(joint.pins_along)
    reach = points @ along
    last = points[reach > reach.max() - TOUCH]
    middle = (last.min(axis=0) + last.max(axis=0)) / 2
    # Of a ring of corners the middle of its box is that of the ring, but for how far it leans.
    axis = points.mean(axis=0)
    at = axis + ((middle - axis) @ along) * along
    return PinEnd(pin, side, vec(at), vec(along))


def width_of(end: PinEnd, body: Body) -> float:
    """Return the diameter of a pin [mm]."""
    off = body.mesh.vertices - np.array(end.at)
    off = off - np.outer(off @ np.array(end.way), np.array(end.way))
    return 2 * float(np.linalg.norm(off, axis=1).max())


def tool(start: Floats, way: Vec3, diameter: float, length: float) -> Any:
    """Return a round tool as one of the second library's solids [mm]: from `start` along `way`."""
    aft = np.array(way)
    across = np.cross(aft, np.eye(3)[int(np.argmin(np.abs(aft)))])
    across /= np.linalg.norm(across)
    frame = Frame(vec(start), vec(across), vec(np.cross(aft, across)))
    turn = np.array([frame.across, frame.up, frame.normal]).T
    made = second_library().Manifold.cylinder(length, diameter / 2, diameter / 2, CORNERS)
    return made.transform(np.c_[turn, start])


def met_by(made: Any, bodies: Mapping[str, Body]) -> dict[str, Vec3]:
    """Return the places [mm] where a tool meets bodies by more than contact, by their names."""
    found = {}
    for name, body in bodies.items():
        shared = made ^ body.hull
        if shared.volume() > LEAST:
            low, high = np.array(shared.bounding_box()).reshape(2, 3)
            found[name] = vec((low + high) / 2)
    return found


def bars_of_socket(
    joint: PinJoint, end: PinEnd, own: Mapping[str, Body], others: Mapping[str, Body]
) -> dict[str, Vec3]:
    """Return what bars a socket from the nut on an end of a pin, and where [mm].

    It comes straight along the pin: of its `own` spar from outside, past `others` its length.
    """
    start = np.array(end.at) - (joint.seat - TOUCH) * np.array(end.way)
    wide = joint.socket_diameter - 2 * TOUCH
    near = tool(start, end.way, wide, joint.seat + joint.socket_length)
    return met_by(tool(start, end.way, wide, FAR), own) | met_by(near, others)


def closed_skin(
    joint: PinJoint, end: PinEnd, pin: Body, skins: Mapping[str, Body]
) -> dict[str, Vec3]:
    """Return which skins a pin or the socket for its nut does not get through, and where [mm]."""
    wide = max(joint.socket_diameter, width_of(end, pin)) - 2 * TOUCH
    start = np.array(end.at) + (joint.opening_from + TOUCH) * np.array(end.way)
    return met_by(tool(start, end.way, wide, FAR), skins)


def words_of(ends: Sequence[tuple[PinEnd, dict[str, Vec3]]]) -> str:
    """Return in words which ends of pins are barred by what, their places [mm] left out."""
    return "; ".join(f"{end.pin}, {end.word} end: {', '.join(bars)}" for end, bars in ends)
