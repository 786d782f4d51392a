"""Landing gear of a new file, as high as the propeller asks for, on legs."""

from dataclasses import dataclass, field
from math import cos, radians, tan
from typing import Any

from geomgen.starting import weights
from geomgen.starting.body_tables import keel_at
from geomgen.starting.proportions import SPARE, Proportions
from geomgen.starting.weights import Weight, together

# Angles at the mains to the centre of gravity, from the upright [deg].
TIP_BACK, MAINS_AHEAD = 18.5, 20.5
# Strut travel of a small wheel under a boom, which has little room over it [mm].
TAIL_TRAVEL = 15.0


@dataclass(frozen=True)
class PlacedWheel:
    """A wheel: station and buttock line [mm], tyre, what gives way, the table of its leg."""

    role: str
    station: float
    out: float
    diameter: float
    width: float
    deflection: float
    flat: float
    leg: dict[str, Any] = field(default_factory=dict)

    def on(self, ground: float) -> dict[str, Any]:
        """Return its table, standing with its share of the load on the ground there [mm]."""
        return {
            "name": self.role,
            "role": self.role,
            "station": self.station,
            "buttock_line": self.out,
            "waterline": ground + self.diameter / 2 - self.deflection,
            "diameter": self.diameter,
            "width": self.width,
            "deflection": self.deflection,
            "flat": self.flat,
            **({"travel": TAIL_TRAVEL} if self.role == "tail" else {}),
            "mirrored": self.out > 0.0,
            "leg": self.leg,
        }


def gear(q: Proportions) -> dict[str, Any]:
    """Return the gear."""
    tricycle = q.choices.gear == "tricycle"
    ground = _on_three(q) if tricycle else _on_tailwheels(q)
    return {
        "layout": q.choices.gear,
        "rotation": q.rotation,
        **({"take_off_pitch": q.take_off_pitch} if tricycle else {}),
        "strut_travel": q.strut,
        "wheels": [wheel.on(level) for wheel, level in zip(wheels(q), ground, strict=True)],
    }


def wheels(q: Proportions) -> list[PlacedWheel]:
    """Return the wheels, the mains by the centre of gravity."""
    station = main_station(q)
    if q.choices.gear == "tricycle":
        leaf, tube = _leaf(q, station - 50.0), _fork(q, "pod", (470.0, 0.0, 515.0), 38.0, 18.0)
        return [
            PlacedWheel("main", station, 780.0, 360.0, 110.0, 40.0, 50.0, leaf),
            PlacedWheel("nose", 430.0, 0.0, 300.0, 90.0, 35.0, 45.0, tube),
        ]
    at = (q.boom_end - 160.0, q.boom_line, q.boom_tail)
    leaf, tube = _leaf(q, station - 30.0), _fork(q, "boom", at, 25.0, 10.0)
    return [
        PlacedWheel("main", station, 710.0, 380.0, 115.0, 40.0, 50.0, leaf),
        PlacedWheel("tail", q.boom_end - 100.0, q.boom_line, 150.0, 50.0, 12.0, 18.0, tube),
    ]


def main_station(q: Proportions) -> float:
    """Return the station of the main wheels [mm], by their angle to the centre of gravity.

    With a nosewheel they stand so far behind the most aft centre, with tailwheels so far ahead of
    the middle one. How high the centre is over the ground changes little with the place looked for.
    """
    tricycle = q.choices.gear == "tricycle"
    aft = weights.wanted(q)
    place = aft
    for _ in range(4):
        ground = _ground_of_three(q, place) if tricycle else _ground_of_mains(q, place)
        high = _centre_waterline(q) - ground
        if tricycle:
            place = aft + high * tan(radians(TIP_BACK))
        else:
            place = aft - weights.RANGE / 2 - high * tan(radians(MAINS_AHEAD))
    return place


def _centre_waterline(q: Proportions) -> float:
    """Return the waterline of the centre of gravity [mm]; the gear is low and pulls it down."""
    gear = Weight(13.0, 0.0, 100.0)
    return together([*weights.fixed(q), weights.pilot(q, weights.LIGHTEST), gear]).waterline


def _lowest(q: Proportions) -> tuple[float, float]:
    """Return station and waterline of the lowest place that the blade tips reach."""
    return (
        q.blades + q.blade_depth / 2 + q.flex + q.shake,
        q.thrust_line - q.diameter / 2 - q.shake,
    )


def _leaf(q: Proportions, station: float) -> dict[str, Any]:
    """Return a leaf spring whose root stands a little inside the pod's lower skin there [mm]."""
    return {
        "kind": "leaf",
        "rooted_in": "pod",
        "gap": q.gap,
        "station": station,
        "buttock_line": 140.0,
        "waterline": keel_at(q, station) + 93.0,
        "root_breadth": 90.0,
        "root_thickness": 18.0,
        "tip_breadth": 60.0,
        "tip_thickness": 12.0,
    }


def _fork(
    q: Proportions, family: str, at: tuple[float, float, float], diameter: float, axle: float
) -> dict[str, Any]:
    """Return a tube with a fork over the wheel, its root in the middle of boom or pod's keel."""
    keys = dict(zip(("station", "buttock_line", "waterline"), at, strict=True))
    return {"kind": "tube", "rooted_in": family, "gap": q.gap, **keys, "diameter": diameter,
            "wall": 0.08 * diameter, "fork": True, "axle_diameter": axle}  # fmt: skip


def _ground_of_three(q: Proportions, main: float) -> float:
    """Return the ground under mains at a station [mm] with a nosewheel.

    So low that the blades stay clear by the rule at take-off, and at rotation too.
    """
    station, tip = _lowest(q)
    lever = station - main
    off = tip - lever * tan(radians(q.take_off_pitch)) - q.ground_rule / cos(radians(q.rotation))
    return min(off, tip - lever * tan(radians(q.rotation))) - SPARE


def _on_three(q: Proportions) -> tuple[float, float]:
    ground = _ground_of_three(q, main_station(q))
    return ground, ground


def _ground_of_mains(q: Proportions, main: float) -> float:
    """Return the ground under mains at a station [mm] with tailwheels.

    It stands on all wheels at the largest pitch less a degree, the blades clear by the rule.
    """
    station, tip = _lowest(q)
    return tip - q.ground_rule - SPARE - (station - main) * _slope(q)


def _on_tailwheels(q: Proportions) -> tuple[float, float]:
    main, tail = wheels(q)
    ground = _ground_of_mains(q, main.station)
    return ground, ground + (tail.station - main.station) * _slope(q)


def _slope(q: Proportions) -> float:
    return tan(radians(q.rotation - 1.0))
