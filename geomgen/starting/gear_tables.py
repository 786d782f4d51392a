"""Landing gear of a new file, as high as the propeller asks for, on legs."""

from dataclasses import dataclass, field
from math import cos, radians, tan
from typing import Any

from geomgen.starting.proportions import SPARE, Proportions


@dataclass(frozen=True)
class _Wheel:
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
        """Return its table, standing with its share of the load on the ground there."""
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
            "mirrored": self.out > 0.0,
            "leg": self.leg,
        }


def gear(q: Proportions) -> dict[str, Any]:
    """Return the gear."""
    tricycle = q.choices.gear == "tricycle"
    wheels = _tricycle(q) if tricycle else _tailwheel(q)
    return {
        "layout": q.choices.gear,
        "rotation": q.rotation,
        **({"take_off_pitch": q.take_off_pitch} if tricycle else {}),
        "strut_travel": q.strut,
        "wheels": wheels,
    }


def _lowest(q: Proportions) -> tuple[float, float]:
    """Return station and waterline of the lowest place that the blade tips reach."""
    return (
        q.blades + q.blade_depth / 2 + q.flex + q.shake,
        q.thrust_line - q.diameter / 2 - q.shake,
    )


def _leaf(q: Proportions, station: float, waterline: float) -> dict[str, Any]:
    """Return a leaf spring whose root stands a little inside the pod's lower skin there [mm]."""
    return {
        "kind": "leaf",
        "rooted_in": "pod",
        "gap": q.gap,
        "station": station,
        "buttock_line": 140.0,
        "waterline": waterline,
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


def _tricycle(q: Proportions) -> list[dict[str, Any]]:
    """Stand so high that the blades stay clear by the rule at take-off, and at rotation too."""
    leaf, tube = _leaf(q, 1900.0, 555.0), _fork(q, "pod", (470.0, 0.0, 515.0), 38.0, 18.0)
    main = _Wheel("main", 1950.0, 720.0, 360.0, 110.0, 40.0, 50.0, leaf)
    nose = _Wheel("nose", 430.0, 0.0, 300.0, 90.0, 35.0, 45.0, tube)
    station, tip = _lowest(q)
    lever = station - main.station
    off = tip - lever * tan(radians(q.take_off_pitch)) - q.ground_rule / cos(radians(q.rotation))
    ground = min(off, tip - lever * tan(radians(q.rotation))) - SPARE
    return [wheel.on(ground) for wheel in (main, nose)]


def _tailwheel(q: Proportions) -> list[dict[str, Any]]:
    """Stand on all wheels at the largest pitch less a degree, the blades clear by the rule."""
    at = (q.boom_end - 160.0, q.boom_line, q.boom_tail)
    leaf, tube = _leaf(q, 1120.0, 480.0), _fork(q, "boom", at, 25.0, 10.0)
    main = _Wheel("main", 1150.0, 710.0, 380.0, 115.0, 40.0, 50.0, leaf)
    tail = _Wheel("tail", q.boom_end - 100.0, q.boom_line, 150.0, 50.0, 12.0, 18.0, tube)
    station, tip = _lowest(q)
    slope = tan(radians(q.rotation - 1.0))
    ground = tip - q.ground_rule - SPARE - (station - main.station) * slope
    rise = (tail.station - main.station) * slope
    return [main.on(ground), tail.on(ground + rise)]
