"""How a machine stands on its wheels: loads by the lever, angles at which it would fall over.

Plain statics, worked out in the ground's own axes: aft along it, across, up square to it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import atan2, degrees

import numpy as np

from geomgen.arrays import Floats
from geomgen.measurements.record import Measurement

CONTACT, TOUCH = "gear.contact.", "gear.tail_touch"
MAIN, NOSE, TAIL = "main", "nose", "tail"
Place = tuple[float, float, float]


@dataclass(frozen=True)
class Wheels:
    """Contacts with the ground [mm] by role, each (n, 3), the ground's normal, the mains' axles.

    `third` is nose or tail, `names` are the parts of mains and others, in their order.
    `touch` is how far the nose can come up until a part touches [deg], None where no wheel or part
    says.
    """

    mains: Floats
    others: Floats
    third: str
    normal: Floats
    axles: Floats
    touch: Measurement | None = None
    names: tuple[str, ...] = ()

    def along(self, place: Place) -> tuple[float, float, float]:
        """Return a place [mm] as aft, right and up [mm] from the mean of the mains' contacts."""
        aft = np.array([self.normal[2], 0.0, -self.normal[0]])
        aft /= np.linalg.norm(aft)
        right = np.cross(self.normal, aft)
        off = np.array(place) - self.mains.mean(axis=0)
        return float(off @ aft), float(off @ right), float(off @ self.normal)


def wheels_on_the_ground(measurements: Iterable[Measurement]) -> Wheels | None:
    """Return the wheels as they were measured [mm]; None where they don't stand on three.

    The place of each contact is what its wheel is: main, nose or tail.
    """
    every = list(measurements)
    found: dict[str, list[Measurement]] = {MAIN: [], NOSE: [], TAIL: []}
    for m in every:
        if m.id.startswith(CONTACT) and m.where in found and m.points:
            found[m.where].append(m)
    third = NOSE if found[NOSE] else TAIL
    if len(found[MAIN]) < 2 or not found[third]:
        return None
    further = dict(found[MAIN][0].further)
    normal = np.array([further[f"normal {axis}"] for axis in "xyz"])
    return Wheels(
        np.array([m.points[0] for m in found[MAIN]]),
        np.array([m.points[0] for m in found[third]]),
        third,
        normal,
        np.array([m.points[1] for m in found[MAIN]]),
        next((m for m in every if m.id == TOUCH), None),
        tuple(m.part for m in (*found[MAIN], *found[third])),
    )


def share_on_third(wheels: Wheels, centre: Place) -> float:
    """Return the share of the weight [1] that nose or tail wheels carry, by the lever.

    Below nothing the machine falls over the mains.
    """
    aft, _, _ = wheels.along(centre)
    other = float(np.mean([wheels.along(tuple(c))[0] for c in wheels.others]))
    return aft / other


def tip_back(wheels: Wheels, centre: Place) -> float:
    """Return how far the nose can come up before the centre is over the mains [deg].

    Of a tailwheel it is how far the tail can come up before the machine stands on its nose.
    """
    aft, _, up = wheels.along(centre)
    way = -aft if wheels.third == NOSE else aft
    return degrees(atan2(way, up))


def overturn(wheels: Wheels, centre: Place) -> tuple[float, int]:
    """Return the larger overturn angle [deg] of both sides and the side, 1 right, -1 left.

    The angle between the ground and the line from the axis through main and third wheel up to the
    centre; the larger, the easier it falls over.
    """
    at = np.array(wheels.along(centre))
    worst, side = -1.0, 1
    for hand in (1, -1):
        main = _outmost(wheels, wheels.mains, hand)
        other = _outmost(wheels, wheels.others, hand)
        line = main[:2] - other[:2]
        line /= np.linalg.norm(line)
        off = at[:2] - other[:2]
        apart = float(line[0] * off[1] - line[1] * off[0])
        # Inside is to the left of the way from nose to right main, to the right on the other side.
        inward = hand * apart * (-1.0 if wheels.third == NOSE else 1.0)
        angle = degrees(atan2(float(at[2]), inward))
        if angle > worst:
            worst, side = angle, hand
    return worst, side


def _outmost(wheels: Wheels, contacts: Floats, hand: int) -> Floats:
    places = np.array([wheels.along((float(x), float(y), float(z))) for x, y, z in contacts])
    return np.asarray(places[int(np.argmax(hand * places[:, 1]))])


def mains_ahead(wheels: Wheels, centre: Place) -> float:
    """Return by how much the mains stand ahead of the centre with the waterlines level [deg].

    The angle at the mains' contact between the upright and the line to the centre.
    """
    axle = wheels.axles.mean(axis=0)
    high = float(np.mean((wheels.axles - wheels.mains) @ wheels.normal))
    return degrees(atan2(centre[0] - float(axle[0]), centre[2] - float(axle[2]) + high))


def tail_down(wheels: Wheels) -> float:
    """Return how far the nose is up as it stands, against the waterlines [deg]."""
    return degrees(atan2(-float(wheels.normal[0]), float(wheels.normal[2])))


def loads_of_wheels(wheels: Wheels, centre: Place, mass: float) -> tuple[list[float], list[float]]:
    """Return what each main and each other wheel carries [kg], as springs of one stiffness.

    Of three wheels that is the lever's own answer; of more the least uneven one.
    """
    contacts = np.concatenate([wheels.mains, wheels.others])
    places = np.array([wheels.along((float(x), float(y), float(z))) for x, y, z in contacts])
    aft, right, _ = wheels.along(centre)
    rows = np.stack([np.ones(len(places)), places[:, 0], places[:, 1]])
    found = np.linalg.lstsq(rows, mass * np.array([1.0, aft, right]), rcond=None)[0].tolist()
    return found[: len(wheels.mains)], found[len(wheels.mains) :]


def spread_of(values: Sequence[float]) -> tuple[int, int]:
    """Return the places of the least and the greatest of some values [any unit].

    >>> spread_of([3.0, 1.0, 2.0])
    (1, 0)
    """
    return int(np.argmin(values)), int(np.argmax(values))
