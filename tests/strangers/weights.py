"""What things weigh: parts by material, wall, skin or the scales, items, tanks, who is carried."""

from math import pi
from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod

from geomgen.parameters.records.conditions import WEIGHTS
from geomgen.parameters.records.masses import GROUPS, INNER, POWERPLANT, TANK_KINDS, USEFUL
from geomgen.parameters.values.materials import MATERIALS

PARTS = {
    "tailplane": "tailplane",
    "fins": "fin",
    "pylon": "pylon",
    "exit": "exit",
    "engine": "engine",
    "spinner": "spinner",
    "scoops": "scoop",
    "gear": "wheel",
    "spars": "spar",
    "ribs": "rib",
    "fittings": "fitting",
}
# What is weighed with all that stands in it.
SPARRED = ("wing", "tailplane", "fin")
LITRE, KG = 1e6, 1.0
NAMES = ("battery", "seat", "radio", "tools", "first aid", "compass", "heater", "horn")


def weights(d: Dice, pod: Pod, tables: dict[str, Any]) -> dict[str, Any]:
    """Return masses, items, tanks and loads of a file whose other tables are given; or nothing."""
    if d.chance(0.6):
        return {}
    there = ["pod", "wing", "boom", *(part for key, part in PARTS.items() if tables.get(key))]
    laminate = bool((tables.get("handoff") or {}).get("laminate"))
    found: dict[str, Any] = {
        "mass": [_part(d, part, laminate) for part in there if d.chance(0.8)],
        "items": [_item(d, name, pod, there) for name in NAMES if d.chance(0.7)],
    }
    if d.chance(0.3):
        found["mass"].append({"part": "boom_left", "weighed": d.between(0.5, 4)})
    if d.chance(0.7):
        found["tanks"] = [_tank(d, name, pod) for name in ("fore", "aft")[: d.whole(1, 2)]]
    if d.chance(0.8):
        found["loads"] = _loads(d, pod)
        seat = (tables.get("pilot") or {}).get("seat_station")
        if isinstance(seat, float | int):
            found["loads"]["station"] = seat + d.exactly(-150, 150)
    _include(Dice(d.grade, d.seed, "includes"), found)
    return {key: value for key, value in found.items() if value}


def _include(d: Dice, found: dict[str, Any]) -> None:
    """Let some items count as the weight of what no row of [[mass]] weighs, nor another item."""
    known = {row["part"] for row in found["mass"]}
    if any(row["part"] in SPARRED and "weighed" in row for row in found["mass"]):
        known |= {"spar", "rib", "fitting", "joint_plate", "joint_pin"}
    for item in found["items"]:
        if item["group"] == USEFUL:
            continue
        inside = [family for family in INNER if family not in known and d.chance(0.5)]
        if inside and d.chance(0.3):
            item["includes"] = inside
            known |= set(inside)


def limits(d: Dice) -> dict[str, Any]:
    """Return keys of the rules that are about mass, centre and wheels."""
    wishes: dict[str, Any] = {
        "weights": d.pick(WEIGHTS),
        "empty_mass": d.between(90, 250),
        "gross_mass": d.between(200, 450),
        "fuel_volume": d.between(10, 40) * LITRE,
        "lateral_limit": d.between(5, 40),
        "forward_limit": f"{d.exactly(5, 25):.1f} % chord",
        "aft_limit": d.pick(
            [f"{d.exactly(25, 45):.1f} % chord", f"static margin {d.exactly(0.02, 0.2):.3f}"]
        ),
        "nose_load_least": round(d.exactly(0.04, 0.1), 3),
        "nose_load_most": round(d.exactly(0.11, 0.25), 3),
        "overturn_angle": d.between(50, 65),
        "tip_back_angle": d.between(10, 20),
        "mains_ahead_least": d.between(10, 16),
        "mains_ahead_most": d.between(22, 30),
        "tail_down_angle": d.between(6, 15),
    }
    return {key: value for key, value in wishes.items() if d.chance(0.3)}


def _part(d: Dice, part: str, laminate: bool) -> dict[str, Any]:
    way = d.pick(["full", "tube", "skin", "cored", "weighed"], [2, 2, 2, 2, 1])
    row: dict[str, Any] = {"part": part}
    if way == "weighed":
        return row | {"weighed": d.between(0.3, 40), "source": "my own scales"}
    if way in ("full", "tube", "cored"):
        row["material"] = d.pick(sorted(MATERIALS))
        if d.chance(0.4):
            row["density"] = d.between(15, 1500)
    if way == "tube":
        row["wall"] = d.between(0.4, 6)
    if way in ("skin", "cored"):
        if laminate and d.chance(0.5):
            row["laminate"] = True
        else:
            row["skin"] = d.between(0.2, 2.5)
    if d.chance(0.4):
        row["band"] = round(d.exactly(0.02, 0.3), 3)
    return row


def _item(d: Dice, name: str, pod: Pod, there: list[str]) -> dict[str, Any]:
    row: dict[str, Any] = {"name": name, "group": d.pick(GROUPS), "mass": d.between(0.2, 12)}
    if d.chance(0.3):
        row["band"] = row["mass"] * d.exactly(0.0, 0.5)
    if d.chance(0.3):
        row["at"] = d.pick(there)
    else:
        row |= {"station": pod.at(d.exactly(0.05, 0.95)), "waterline": pod.thrust}
        if d.chance(0.4):
            row["buttock_line"] = d.between(50, 300)
            row["mirrored"] = d.chance(0.6)
    for side in ("length", "width", "height"):
        if d.chance(0.4):
            row[side] = d.between(50, 600)
    if d.chance(0.3):
        row["source"] = "my own scales"
    if row["group"] == POWERPLANT and d.chance(0.4):
        row["weight_of"] = d.pick(["engine", "propeller"])
    return row


def _tank(d: Dice, name: str, pod: Pod) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": name,
        "usable": d.between(5, 30) * LITRE,
        "station": pod.at(d.exactly(0.4, 0.7)),
        "waterline": pod.thrust,
    }
    if d.chance(0.6):
        row |= {"unusable": d.between(0.1, 1.5) * LITRE, "density": d.between(700, 780)}
    if d.chance(0.4):
        row |= {"low_station": row["station"] + d.between(-80, 80)}
        row |= {"low_waterline": row["waterline"] - d.between(20, 150)}
    if d.chance(0.3):
        row["buttock_line"] = d.between(20, 250)
    if d.chance(0.4):
        row |= _shaped(d, row)
    return row


def _shaped(d: Dice, row: dict[str, Any]) -> dict[str, Any]:
    """Return a tank's solid that holds its fuel, in the place that its fuel had."""
    spare = round(d.exactly(0.0, 0.05), 3)
    wall = d.between(0.8, 4)
    room = 1.15 * (row["usable"] + row.get("unusable", 0.0)) / (1.0 - spare)
    shape = {key: row.pop(key) for key in ("station", "waterline", "buttock_line") if key in row}
    shape |= {"kind": d.pick(TANK_KINDS), "wall": wall}
    if shape["kind"] == "box":
        width, height = d.between(150, 300), d.between(120, 250)
        length = room / ((width - 2 * wall) * (height - 2 * wall)) + 2 * wall
        shape |= {"width": width, "height": height, "length": length}
    else:
        diameter = d.between(150, 300)
        length = room / (pi / 4 * (diameter - 2 * wall) ** 2) + 2 * wall
        shape |= {"diameter": diameter, "length": length}
        if d.chance(0.7):
            shape["axis"] = d.pick(("x", "y", "z"))
    # The last fuel lies in the room: as far from its middle as the room is sure to reach.
    for low, middle, size in (
        ("low_station", "station", "length"),
        ("low_waterline", "waterline", "height"),
    ):
        if low in row:
            reach = min(shape.get(key, length) for key in (size, "diameter", "length", "width"))
            row[low] = shape[middle] - d.exactly(0.1, 0.9) * (reach / 2 - wall)
    return {"shape": shape, **({"expansion": spare} if d.chance(0.5) else {})}


def _loads(d: Dice, pod: Pod) -> dict[str, Any]:
    names = ["light", "heavy", "me"][: d.whole(1, 3)]
    pilots = [{"name": name, "mass": d.between(50, 110)} for name in names]
    table: dict[str, Any] = {
        "station": pod.at(d.exactly(0.25, 0.45)),
        "waterline": pod.thrust,
        "pilots": pilots,
    }
    if d.chance(0.4):
        pilots[0]["ballast"] = d.between(1, 8)
        table["ballast_station"] = pod.at(0.06)
        if d.chance(0.5):
            table["ballast_waterline"] = pod.thrust
    if d.chance(0.5):
        place = {"station": pod.at(0.5), "waterline": pod.thrust}
        table["baggage"] = [{"name": "locker", "most": d.between(2, 10), **place}]
        if d.chance(0.4):
            table["baggage"][0]["buttock_line"] = d.between(-200, 200)
    if d.chance(0.5):
        share = {"fuel": round(d.exactly(0, 1), 2), "baggage": round(d.exactly(0, 1), 2)}
        table["cases"] = [{"name": "usual", "pilot": names[0], **share}]
    return table
