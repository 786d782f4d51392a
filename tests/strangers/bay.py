"""The engine bay: firewall with its holes, and an engine that fits behind it."""

from math import atan, degrees, hypot, radians, tan
from typing import Any

from strangers.aft import Aft
from strangers.dice import Dice
from strangers.pod import Pod

SHEETS = ("stainless steel", "mild steel", "terne plate", "monel", "titanium", "aluminium")
FITTINGS = ("steel", "stainless steel", "brass", "copper", "titanium", "aluminium")
USES = (
    "fuel line",
    "throttle cable",
    "wiring",
    "tacho drive",
    "starter cable",
    "oil line",
    "choke",
)


def firewall(d: Dice, pod: Pod, joint: float) -> dict[str, Any]:
    """Return a firewall that stands between the seat and the end of the hull."""
    table: dict[str, Any] = {
        "station": pod.at(d.between(0.56, 0.70)),
        "thickness": d.between(0.4, 1.2) if d.chance(0.8) else d.between(1.2, 3.0),
        "material": d.pick(SHEETS),
    }
    if d.chance(0.7):
        table["gap"] = d.pick([0.0, d.exactly(0.1, 1.0), d.exactly(1, 2)], [1, 4, 1])
    if d.chance(0.6):
        table["flange"] = d.between(12, 40)
        table["flange_direction"] = d.pick(["aft", "forward"])
    if d.wide:
        table["gap"] = d.pick([0.2, d.exactly(0, 20)])
    table["tilt"] = _tilt(d, pod, table, joint)
    table["penetrations"] = _holes(d, pod, table["station"])
    return table


def _tilt(d: Dice, pod: Pod, f: dict[str, Any], joint: float) -> float:
    steep = d.pick([0.0, d.exactly(0.5, 8), d.exactly(8, 16), d.exactly(16, 30)], [4, 3, 2, 2])
    pair = pod.neighbours(f["station"])
    deep = max(row["crown"] - row["keel"] for row in pair)
    room = min(f["station"] - pod.start, joint - f["station"]) - f.get("flange", 0) - 10
    most = degrees(atan(max(0.9 * room / deep, 0.0)))
    lean = round(min(steep, most), 1) * d.pick([1, -1])
    return d.exactly(-30, 30) if d.wide else lean


def lean(table: dict[str, Any], pod: Pod, low: float, high: float) -> tuple[float, float]:
    """Return how far fore and aft sheet and flange reach between two waterlines [mm]."""
    slope = tan(radians(table["tilt"]))
    at = [table["station"] + slope * (z - pod.thrust) for z in (low, high)]
    flange = table.get("flange", 0.0)
    aft = table.get("flange_direction", "aft") == "aft"
    fore, back = (0.0, flange) if aft else (flange, 0.0)
    return min(at) - fore, max(at) + back + table["thickness"]


def _holes(d: Dice, pod: Pod, station: float) -> list[dict[str, Any]]:
    pair = pod.neighbours(station)
    half = min(row["breadth"] for row in pair) / 2 - pod.wall
    low = max(row["keel"] for row in pair) + pod.wall
    high = min(row["crown"] for row in pair) - pod.wall
    found: list[dict[str, Any]] = []
    if half < 60 or high - low < 120:
        return []
    for _ in range(d.pick([0, 1, 2, 3, 5], [2, 2, 2, 2, 1])):
        size = d.exactly(6, 45)
        y = d.exactly(-0.55, 0.55) * half
        z = (low + high) / 2 + d.exactly(-0.28, 0.28) * (high - low)
        clear = all(
            hypot(y - o["buttock_line"], z - o["waterline"]) > (size + o["diameter"]) / 2 + 8
            for o in found
        )
        if clear:
            found.append(
                {
                    "use": d.pick(USES),
                    "buttock_line": y,
                    "waterline": z,
                    "diameter": size,
                    "fitting": d.pick(FITTINGS),
                }
            )
    return found


def engine(d: Dice, pod: Pod, f: dict[str, Any], end: Aft) -> dict[str, Any] | None:
    """Return a case with cylinders, a shaft, perhaps a muffler and a fan; None for no engine."""
    if d.chance(0.12):
        return None
    mid = pod.thrust
    tall = d.between(0.28, 0.4) * (pod.crown(f["station"]) - pod.keel(f["station"]))
    _, behind = lean(f, pod, mid - tall, mid + tall)
    front = behind + d.between(45, 110)
    room = min(end.joint, pod.end) - front
    long = max(d.between(0.4, 0.62) * room, 60.0)
    aft = front + long
    width = d.between(0.42, 0.55) * min(pod.breadth(front), pod.breadth(aft))
    low = max(pod.keel(front), pod.keel(aft)) + pod.wall
    high = min(pod.crown(front), pod.crown(aft)) - pod.wall
    tall = min(tall, 1.2 * min(mid - low, high - mid))
    case = {"name": "case", "station": front, "length": long, "width": width, "waterline": mid}
    case["height"] = tall
    boxes, cylinders = [case], _cylinders(d, case, pod)
    if d.chance(0.35):
        boxes.append(_muffler(d, case, pod, low))
    shaft = min(0.8 * end.bore, 60.0) if end.bore else 40.0
    reach = end.front - 4 if end.bore else min(end.joint, pod.end) - 2 * pod.wall - 30
    fairing = (end.exit or {}).get("tail_fairing")
    if fairing and not end.bore:
        reach = fairing["stations"][0]["station"] - 10
    if reach > aft + 5:
        cylinders.append(
            {
                "name": "shaft",
                "station": aft - 10,
                "length": reach - aft + 10,
                "diameter": shaft,
                "waterline": mid,
            }
        )
    table: dict[str, Any] = {"boxes": boxes, "cylinders": cylinders}
    if d.chance(0.75):
        table["fan_face"] = _fan(d, case, cylinders)
    hung = [part for part in ("exit", "scoop", "pylon", "firewall") if d.chance(0.06)]
    if fairing and d.chance(0.8):
        hung.append("tail_fairing")
    return table | ({"fixed_parts": hung} if hung else {})


def _cylinders(d: Dice, case: dict[str, Any], pod: Pod) -> list[dict[str, Any]]:
    kind = d.pick(["twin", "upright", "inverted", "inline", "none"], [4, 2, 1, 1, 1])
    size = min(d.between(90, 150), 0.6 * case["length"])
    x, z = case["station"] + case["length"] / 2, case["waterline"]
    if kind == "twin":
        out = min(d.between(0.72, 0.84) * pod.breadth(x + size / 2) - 2 * pod.wall, 640)
        row = {"name": "pots", "length": max(out, case["width"] + 20), "axis": "y"}
        return [row | {"station": x, "diameter": min(size, 0.8 * case["height"]), "waterline": z}]
    if kind in ("upright", "inverted"):
        way = 1 if kind == "upright" else -1
        room = (pod.crown(x + size / 2) - z) if way > 0 else (z - pod.keel(x + size / 2))
        long = max(0.8 * (room - pod.wall), 0.6 * case["height"])
        row = {"name": "barrel", "station": x, "length": long, "axis": "z"}
        return [row | {"diameter": min(size, 0.8 * case["width"]), "waterline": z + way * long / 2}]
    if kind == "inline":
        row = {"name": "head", "station": case["station"] + 5, "length": 0.8 * case["length"]}
        size = 0.4 * case["height"]
        return [row | {"diameter": size, "waterline": z + case["height"] / 2, "buttock_line": 5.0}]
    return []


def _muffler(d: Dice, case: dict[str, Any], pod: Pod, low: float) -> dict[str, Any]:
    under = case["waterline"] - case["height"] / 2
    height = max(min(d.between(60, 120), 0.6 * (under - low)), 20.0)
    return {
        "name": "muffler",
        "station": case["station"] + 0.1 * case["length"],
        "length": 0.6 * case["length"],
        "width": 0.6 * case["width"],
        "height": height,
        "buttock_line": d.pick([0.0, d.exactly(-20, 20)]),
        "waterline": under - height / 2 + 5,
    }


def _fan(d: Dice, case: dict[str, Any], cylinders: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the face of a fan whose drum stands on one side of the case."""
    facing = d.pick(["forward", "aft", "left", "right", "up", "down"], [6, 1, 1, 1, 1, 1])
    x, z = case["station"] + case["length"] / 2, case["waterline"]
    size = 0.7 * min(case["height"], case["width"], case["length"])
    half = {"f": case["length"] / 2, "a": case["length"] / 2}
    sides = {"l": case["width"] / 2, "r": case["width"] / 2}
    tops = {"u": case["height"] / 2, "d": case["height"] / 2}
    out = (half | sides | tops)[facing[0]] + d.exactly(8, 25)
    y = 0.0
    way = {"forward": (-1, 0, 0), "aft": (1, 0, 0), "left": (0, -1, 0), "right": (0, 1, 0)}
    way |= {"up": (0, 0, 1), "down": (0, 0, -1)}
    axis = "x" if facing in ("forward", "aft") else "y" if facing in ("left", "right") else "z"
    dx, dy, dz = way[facing]
    drum = {"name": "fan", "length": 2 * 30.0, "diameter": size, "axis": axis}
    face = (x + dx * out, y + dy * out, z + dz * out)
    middle = [p - 30.0 * w for p, w in zip(face, way[facing], strict=True)]
    start = middle[0] - (30.0 if axis == "x" else 0.0)
    cylinders.append(drum | {"station": start, "buttock_line": middle[1], "waterline": middle[2]})
    table = {"station": face[0], "buttock_line": face[1], "waterline": face[2]}
    return table | {"diameter": 0.95 * size, "facing": facing}
