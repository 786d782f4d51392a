"""Firewall, scoops, engine and propeller of a new file."""

from math import pi, sqrt
from typing import Any

from geomgen.sizing.formulas.cooling import inlet_area
from geomgen.starting.figures import RelativePlace
from geomgen.starting.proportions import Proportions

# Where round the pod, whether there are two of them, width of a mouth in heights.
KINDS = {"cheek": (0.0, True, 3.0), "shoulder": (40.0, True, 3.0), "belly": (-90.0, False, 4.2)}
# Mouths together, as a ratio of what the rule of thumb asks for: room for an exit of what heat and
# pressure ask for, and no larger than the mouths.
AMPLE = 1.25
# Corner radius of a mouth, and length of the fairing, in heights.
CORNER, FAIRING = 0.27, 7.1
# Passages end well ahead of the fan, so that the air need not turn back [mm].
PASSAGE = 230.0
# Holes of the firewall: use, buttock line, waterline, diameter [mm], fitting.
HOLES = (
    ("fuel line", -90, 685, 14, "steel"),
    ("throttle and choke cables", 65, 735, 18, "stainless steel"),
    ("wiring", 90, 1015, 25, "steel"),
)
# Engine behind the firewall: front [mm], length, width, height, waterline.
BOXES = (("crankcase", 394, 280, 190, 178, 850), ("reduction gear", 668, 94, 128, 190, 884))
# Cylinder: front or centre [mm], length, diameter, waterline, axis.
CYLINDERS = (
    ("fan housing", 343, 56, 192, 858, "x"),
    ("front cylinder", 470, 128, 106, 990, "z"),
    ("rear cylinder", 597, 128, 106, 990, "z"),
    ("muffler", 470, 162, 86, 732, "y"),
)


def firewall(q: Proportions) -> dict[str, Any]:
    """Return the firewall: stainless sheet with a flange and three holes."""
    names = ("use", "buttock_line", "waterline", "diameter", "fitting")
    return {
        "station": q.firewall,
        "thickness": 0.5,
        "material": "stainless steel",
        "gap": q.gap,
        "flange": 25.0,
        "penetrations": [dict(zip(names, row, strict=True)) for row in HOLES],
    }


def scoops(q: Proportions) -> list[dict[str, Any]]:
    """Return the scoops; their mouths share what the rule of thumb asks for."""
    mouths = sum(2 if KINDS[kind][1] else 1 for kind in q.choices.scoops)
    all_of_them = AMPLE * inlet_area(q.power, q.climb_speed)
    return [_scoop(q, kind, all_of_them / mouths) for kind in q.choices.scoops]


def _scoop(q: Proportions, kind: str, area: float) -> dict[str, Any]:
    around, mirrored, wide = KINDS[kind]
    height = sqrt(area / (wide - (4 - pi) * CORNER**2))
    return {
        "name": kind,
        "mirrored": mirrored,
        "clock_angle": around,
        "mouth": "at firewall",
        "width": wide * height,
        "height": height,
        "corner_radius": CORNER * height,
        "lip_radius": 1.5,
        "wall": 3.0,
        "boundary_layer_gap": 6.0,
        "passage_length": PASSAGE,
        "fairing_length": max(FAIRING * height, PASSAGE + 120.0),
        "gap": q.gap,
    }


def engine() -> dict[str, Any]:
    """Return the envelope of an upright engine with two cylinders and a fan in front."""
    boxes = ("name", "station", "length", "width", "height", "waterline")
    cylinders = ("name", "station", "length", "diameter", "waterline", "axis")
    fan = _behind(cylinders, CYLINDERS[0])
    face = {"station": fan["station"], "waterline": fan["waterline"]}
    return {
        "boxes": [_behind(boxes, row) for row in BOXES],
        "cylinders": [_behind(cylinders, row) for row in CYLINDERS],
        "fan_face": {**face, "diameter": fan["diameter"] - 10.0},
        "fixed_parts": ["tail_fairing"],
    }


def _behind(names: tuple[str, ...], row: tuple[Any, ...]) -> dict[str, Any]:
    """Return a body's table, its station counted from the firewall."""
    found = dict(zip(names, row, strict=True))
    return {**found, "station": RelativePlace("firewall", found["station"])}


def propeller(q: Proportions) -> dict[str, Any]:
    """Return the propeller behind the pod."""
    return {
        "diameter": q.diameter,
        "station": q.blades,
        "waterline": q.thrust_line,
        "blade_depth": q.blade_depth,
        "flex": q.flex,
        "mount_travel_radial": q.shake,
        "mount_travel_axial": q.shake - 1.0,
        "hub_diameter": q.hub,
    }


def spinner(q: Proportions) -> dict[str, Any]:
    """Return the spinner."""
    return {"diameter": q.hub + 12.0, "length": 180.0}
