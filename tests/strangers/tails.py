"""Booms and what they carry: tailplane, fins, in every arrangement."""

from math import radians, tan
from typing import Any

from strangers.aft import Aft
from strangers.dice import Dice
from strangers.places import thickness, wing_at

GROUPS = ("straight", "straight with fins", "high", "inverted V", "fins", "none")
MOUNTS = ("in", "through", "under", "on", "apart")
SYMMETRICAL = ("NACA 0006", "NACA 0009", "NACA 0010", "NACA 0012", "NACA 0015")
# The least dihedral that the schema allows, turned round.
STEEPEST = 50.0


def booms(d: Dice, wing: dict[str, Any], end: Aft, mount: str) -> dict[str, Any]:
    """Return booms outside of the blades' reach, mounted on the wing in one of several ways."""
    size = d.between(85, 170)
    out = end.radius + d.between(60, 220) + 0.65 * size
    edge, height, chord = wing_at(wing, out)
    root = wing["sections"][0]
    thick = thickness(root["aerofoil"]) * chord
    if mount == "in":
        size = min(size, 0.75 * thick)
        first, centre = edge + d.between(0.22, 0.34) * chord, height + 0.1 * thick
    elif mount == "through":
        former, size = size, max(size, 1.3 * thick)
        out += 0.65 * (size - former)
        first, centre = edge - d.between(80, 400), height + d.between(-0.1, 0.2) * thick
    else:
        first = edge + d.between(-0.15, 0.25) * chord
        off = 0.62 * thick + size / 2
        off += d.between(30, 90) if mount == "apart" else -d.between(0.25, 0.4) * size
        centre = height + (off if mount == "on" else -off + 0.25 * thick)
    last = end.blades + d.between(1100, 1900)
    rise = d.pick([0.0, d.between(-60, 160)], [2, 1])
    nose = d.pick(["round", "flat"]) if mount != "in" else d.pick(["round", "flat"], [1, 3])
    tail = d.pick(["flat", "round"], [3, 1])
    rows = _rows(d, (first, last), (centre, centre + rise), size, (nose, tail), edge + chord)
    return {"buttock_line": out, "nose": nose, "tail": tail, "stations": rows}


def _rows(
    d: Dice,
    ends: tuple[float, float],
    heights: tuple[float, float],
    size: float,
    kinds: tuple[str, str],
    edge: float,
) -> list[dict[str, Any]]:
    first, last = ends
    places = [first, last]
    inner = d.whole(0, 3)
    places += [first + (i + 1) / (inner + 1) * (last - first) for i in range(inner)]
    if kinds[0] == "round":
        places += [first + 0.04 * (last - first), first + 0.15 * (last - first)]
    if kinds[1] == "round":
        places += [last - 0.05 * (last - first), last - 0.18 * (last - first)]
    slim, oval = d.between(0.5, 0.85), d.pick([1.0, d.between(0.8, 1.25)])
    rows = []
    for x in sorted(places):
        t = (x - first) / (last - first)
        if rows and x - rows[-1]["station"] < 0.02 * (last - first):
            continue
        grown = size * (1 + (slim - 1) * t)
        if kinds[0] == "round":
            grown *= _rounded(t / 0.15)
        if kinds[1] == "round":
            grown *= _rounded((1 - t) / 0.18)
        z = heights[0] + (heights[1] - heights[0]) * t**1.5
        off = 0.0 if grown == 0.0 else d.jitter(1)
        row = {"station": x, "waterline": z, "width": oval * grown + off, "height": grown + off}
        rows.append(row)
    return rows


def _rounded(u: float) -> float:
    return 1.0 if u >= 1 else max(0.0, 1 - (1 - u) ** 2) ** 0.5


def tail(
    d: Dice, boom: dict[str, Any], group: str, end: Aft
) -> tuple[dict[str, Any] | None, dict[str, Any] | None]:
    """Return tables of tailplane and fins of a group, standing on the booms."""
    rows, out = boom["stations"], boom["buttock_line"]
    last = rows[-1]["station"]
    chord = d.between(420, 720)
    fin_chord = d.between(420, 680)
    back = last - d.between(0, 120) - (0.25 * (last - rows[0]["station"]) * 0.2)
    fins = _fins(d, boom, back, fin_chord, group) if group != "inverted V" else None
    if group in ("straight", "inverted V", "none"):
        fins = None
    if group in ("fins", "none"):
        return None, fins
    front = max(back - chord, end.blades + 200)
    level = boom_height(boom, front + chord / 2)
    angle = 0.0
    over = 0.0
    if group == "inverted V":
        angle = -d.pick([d.exactly(8, STEEPEST), d.exactly(20, STEEPEST)])
        level += out * tan(radians(-angle))
    if group == "high" and fins:
        top = fins["waterline"] + fins["sections"][-1]["height"]
        over = d.pick([0.0, d.exactly(0.1, 0.5) * out])
        level = top - (0.0 if over else d.exactly(0.08, 0.3) * fins["sections"][-1]["height"])
        front = _fin_place(fins, level) + d.between(-0.1, 0.1) * chord
    foil = d.pick(SYMMETRICAL)
    root = {"buttock_line": 0.0, "chord": chord, "aerofoil": foil}
    tip = {"buttock_line": out + over, "aerofoil": foil}
    tip["chord"] = chord * d.pick([1.0, d.between(0.75, 1.0)])
    if angle:
        tip["dihedral"] = angle
    if d.chance(0.3):
        tip["sweep"] = d.between(0, 10)
    plane = {"leading_edge": front, "waterline": level, "sections": [root, tip]}
    if d.chance(0.6):
        plane["incidence"] = d.between(-3, 1)
    if d.chance(0.3):
        plane["trailing_edge_thickness"] = d.between(1, 4)
    if d.chance(0.1):
        tip["washout"] = d.between(-2, 2)
    return plane, fins


def boom_height(boom: dict[str, Any], station: float) -> float:
    """Return the waterline of a boom's centre line [mm], straight between its rows."""
    rows = boom["stations"]
    for fore, aft in zip(rows, rows[1:], strict=False):
        if station <= aft["station"]:
            t = (station - fore["station"]) / (aft["station"] - fore["station"])
            return float(fore["waterline"] + t * (aft["waterline"] - fore["waterline"]))
    return float(rows[-1]["waterline"])


def _fins(d: Dice, boom: dict[str, Any], back: float, chord: float, group: str) -> dict[str, Any]:
    tall = d.between(480, 900)
    ventral = d.chance(0.4)
    foil = d.pick(SYMMETRICAL)
    sweep = d.pick([0.0, d.between(5, 40)])
    front = back - chord
    rows = [{"height": 0.0, "chord": chord, "aerofoil": foil}]
    if ventral:
        rows[0] = rows[0] | {"height": -d.between(120, 320), "chord": 0.85 * chord}
        rows.append({"height": 0.0, "chord": chord, "aerofoil": foil, "sweep": -d.between(0, 15)})
    top = {"height": tall, "chord": chord * d.between(0.5, 0.9), "aerofoil": foil, "sweep": sweep}
    if d.chance(0.25):
        half = {"height": 0.5 * tall, "chord": (chord + top["chord"]) / 2, "aerofoil": foil}
        rows.append(half | {"sweep": 0.8 * sweep})
    rows.append(top)
    level = boom_height(boom, back - chord / 2)
    table = {
        "leading_edge": front,
        "waterline": level,
        "buttock_line": boom["buttock_line"],
        "sections": rows,
    }
    if d.chance(0.4):
        table["trailing_edge_thickness"] = d.between(1, 4)
    return table


def _fin_place(fins: dict[str, Any], level: float) -> float:
    """Return the leading edge of a fin [mm] at a waterline."""
    rows = fins["sections"]
    quarter, height = fins["leading_edge"] + rows[0]["chord"] / 4, rows[0]["height"]
    for row in rows[1:]:
        rise = min(level - fins["waterline"], row["height"]) - height
        if rise > 0:
            quarter += rise * tan(radians(row.get("sweep", 0.0)))
            height += rise
    return float(quarter - rows[-1]["chord"] / 4)
