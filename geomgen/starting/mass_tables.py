"""What a new file says of masses: parts, items, the tank, who is carried."""

from typing import Any

from geomgen.starting import weights
from geomgen.starting.figures import RelativePlace
from geomgen.starting.gear_tables import PlacedWheel, wheels
from geomgen.starting.proportions import Proportions
from geomgen.starting.weights import Weight

ESTIMATE = "own estimate: weigh yours"
# Battery [kg], its waterlines ahead of the seat and behind it [mm], and where it may stand: so far
# behind the nose, so far ahead of the firewall [mm].
BATTERY, BATTERY_LOW, BATTERY_HIGH = 3.5, 660.0, 840.0
FOREMOST, OFF_FIREWALL = 160.0, 180.0
# One wheel, one leg [kg].
WHEELS = {"main": (3.1, "main wheel with brake"), "nose": (2.4, "nose wheel"),
          "tail": (0.55, "tail wheel")}  # fmt: skip
LEGS = {"main": 1.5, "nose": 1.3, "tail": 0.2}
SIDES = ("right", "left")
FUEL, UNUSABLE = 18e6, 0.6e6


def mass(q: Proportions) -> list[dict[str, Any]]:
    """Return what the parts are made of."""
    if not q.choices.described:
        return []
    foam = {"density": weights.FOAM, "source": ESTIMATE}
    core = {"material": "PVC foam 60"}
    glass = {"material": "glass laminate"}
    pylon = {"material": "birch plywood", "wall": weights.PLY}
    rows: list[tuple[str, bool, dict[str, Any]]] = [
        ("pod", True, {**core, **_skin(q), "band": 0.15}),
        ("exit", True, {**core, **_skin(q)}),
        ("tail_fairing", True, _skin(q)),
        ("scoop", bool(q.choices.scoops), {**core, **_skin(q)}),
        ("wing", True, {**_skin(q), **foam}),
        ("boom", True, {"material": "carbon laminate", "wall": weights.TUBE}),
        ("tailplane", True, {**_skin(q), **foam}),
        ("fin", q.choices.tail != "inverted-v", {**_skin(q), **foam}),
        ("pylon", q.pylon_chord > 0.0, pylon),
        ("spinner", True, {**glass, "wall": 1.2}),
    ]
    found = [{"part": part, **row} for part, there, row in rows if there]
    return [*found, *(_leg(wheel) for wheel in wheels(q))]


def _skin(q: Proportions) -> dict[str, Any]:
    """Return the laminate where the file describes one, else a skin of the same weight."""
    if q.laminated:
        return {"laminate": True}
    return {"skin": weights.SKIN, "source": ESTIMATE}


def _leg(wheel: PlacedWheel) -> dict[str, Any]:
    part = f"leg_{wheel.role}"
    if wheel.leg["kind"] == "leaf":
        return {"part": part, "material": "glass laminate"}
    return {"part": part, "material": "steel", "wall": wheel.leg["wall"]}


def items(q: Proportions) -> list[dict[str, Any]]:
    """Return what has no solid, and what is weighed by itself."""
    if not q.choices.described:
        return []
    engine = {"name": "engine with reduction gear and fan", "group": "powerplant", "mass": 20.5,
              "band": 0.5, "weight_of": "engine", "at": "engine", "source": ESTIMATE}  # fmt: skip
    station = battery_station(q)
    battery = {"name": "battery", "group": "systems", "mass": BATTERY, "station": station,
               "waterline": BATTERY_LOW if station < q.seat_station else BATTERY_HIGH,
               "source": ESTIMATE}  # fmt: skip
    return [engine, *map(_item, weights.items(q)), battery, *_wheels(q)]


def _item(item: weights.PlacedItem) -> dict[str, Any]:
    place = RelativePlace(item.anchor, item.off) if item.anchor else float(item.off)
    named = {} if item.weight_of is None else {"weight_of": item.weight_of}
    return {
        "name": item.name,
        "group": item.group,
        "mass": item.mass,
        "band": item.band,
        **named,
        **({"includes": list(item.includes)} if item.includes else {}),
        "station": place,
        "waterline": float(item.waterline),
        "source": ESTIMATE,
    }


def _wheels(q: Proportions) -> list[dict[str, Any]]:
    rows = []
    for wheel in wheels(q):
        weight, name = WHEELS[wheel.role]
        for side in SIDES if wheel.out else ("",):
            at = f"wheel_{wheel.role}"
            rows.append({
                "name": f"{name}, {side}" if side else name, "group": "structure", "mass": weight,
                "band": 0.1 * weight, "at": f"{at}_{side}" if side else at, "source": ESTIMATE,
            })  # fmt: skip
    return rows


def battery_station(q: Proportions) -> float:
    """Return where the battery brings the lightest pilot's centre to the wanted station [mm]."""
    rest = weights.together([
        *weights.fixed(q),
        *gear_weights(q),
        weights.pilot(q, weights.LIGHTEST),
        Weight(weights.BALLAST, *weights.BALLAST_PLACE),
    ])  # fmt: skip
    want = weights.wanted(q)
    station = want - rest.mass * (rest.station - want) / BATTERY
    return min(max(station, FOREMOST), q.firewall - OFF_FIREWALL)


def gear_weights(q: Proportions) -> list[Weight]:
    """Return wheels and legs, by what is estimated of them [kg, mm]."""
    return [
        Weight((2 if wheel.out else 1) * (WHEELS[wheel.role][0] + LEGS[wheel.role]),
               wheel.station, 100.0)
        for wheel in wheels(q)
    ]  # fmt: skip


def tanks(q: Proportions) -> list[dict[str, Any]]:
    """Return the one tank, behind the seat."""
    if not q.choices.described:
        return []
    low = q.tank_waterline - 90.0
    return [{"name": "main", "usable": FUEL, "unusable": UNUSABLE, "station": q.tank_station,
             "waterline": q.tank_waterline, "low_waterline": low}]  # fmt: skip


def loads(q: Proportions) -> dict[str, Any] | None:
    """Return who is carried, with the ballast of a light pilot in the nose."""
    if not q.choices.described:
        return None
    seated = weights.pilot(q, weights.HEAVIEST)
    station, waterline = weights.BALLAST_PLACE
    return {
        "station": seated.station,
        "waterline": seated.waterline,
        "ballast_station": station,
        "ballast_waterline": waterline,
        "pilots": [
            {"name": "lightest", "mass": weights.LIGHTEST, "ballast": weights.BALLAST},
            {"name": "heaviest", "mass": weights.HEAVIEST},
        ],
        "cases": [{"name": "heaviest, half fuel", "pilot": "heaviest", "fuel": 0.5}],
    }


def limits(q: Proportions) -> dict[str, Any]:
    """Return the limits of mass and centre that go with these tables, all own choice."""
    if not q.choices.described:
        return {}
    ours = "own choice"
    found: dict[str, Any] = {
        "empty_mass": {"value": 165.0, "source": ours},
        "gross_mass": {"value": 300.0, "source": ours},
        "forward_limit": {"value": "10 % chord", "source": ours},
        "aft_limit": {
            "value": "static margin 0.03",
            "source": "own choice, to be confirmed in flight",
        },
    }
    if q.choices.gear == "tricycle":
        why = "own choice: a high centre and 15 deg of tip-back ask for it"
        found["nose_load_most"] = {"value": 0.28, "source": why}
    return found
