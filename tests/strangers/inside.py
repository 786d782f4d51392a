"""What stands inside wing and tail: spars of every kind, ribs by places and by pitch."""

from typing import Any

from strangers.dice import Dice
from strangers.places import thickness

from geomgen.parameters.records.structure.wing import BOX, CHANNEL, KINDS, SIDES, TUBE

Host = tuple[str, dict[str, Any], str]


def inside(d: Dice, tables: dict[str, Any]) -> dict[str, Any]:
    """Return spars and ribs of a file whose surfaces are given; or nothing."""
    if d.chance(0.65):
        return {}
    hosts: list[Host] = [("wing", tables["wing"], "buttock_line")]
    if tables.get("tailplane") and d.chance(0.4):
        hosts.append(("tailplane", tables["tailplane"], "buttock_line"))
    if tables.get("fins") and d.chance(0.4):
        hosts.append(("fin", tables["fins"], "height"))
    found: dict[str, Any] = {"spars": [], "ribs": []}
    for of, table, along in hosts:
        skin = d.between(0.5, 2.5)
        rows = table["sections"]
        ends = (float(rows[0][along]), float(rows[-1][along]))
        deep = min(thickness(row["aerofoil"]) * row["chord"] for row in rows)
        for number in range(d.whole(1, 2)):
            found["spars"].append(_spar(d, (of, number), table, ends, (deep, skin)))
        if d.chance(0.8):
            found["ribs"].append(_ribs(d, of, ends, skin))
    return {key: value for key, value in found.items() if value}


def _spar(
    d: Dice, name: tuple[str, int], table: dict[str, Any], ends: tuple[float, float],
    room: tuple[float, float],
) -> dict[str, Any]:  # fmt: skip
    of, number = name
    deep, skin = room
    span = ends[1] - ends[0]
    kind = d.pick(KINDS, [3, 2, 4, 1])
    found: dict[str, Any] = {"name": f"{of}{number}", "of": of, "kind": kind, "skin": skin}
    found["web"] = d.between(1, 4)
    share = d.between(0.18, 0.34) + 0.35 * number
    if d.chance(0.7):
        found["chord_share"] = share
    else:
        root, tip = table["sections"][0], table["sections"][-1]
        at = table["leading_edge"] + share * root["chord"]
        found |= {"station_start": at, "station_end": at - 0.2 * (root["chord"] - tip["chord"])}
    if of == "fin" or d.chance(0.3):
        found["start"] = ends[0] + d.between(0.1, 0.3) * span
    if d.chance(0.7):
        found["end"] = ends[0] + d.between(0.7, 0.97) * span
    return found | _sizes(d, kind, deep, ends, found["web"])


def _sizes(
    d: Dice, kind: str, deep: float, ends: tuple[float, float], web: float
) -> dict[str, Any]:
    if kind == TUBE:
        return {"width": max(6.0, 3 * web, d.between(0.25, 0.5) * deep)}
    least = {BOX: 2, CHANNEL: 1}.get(kind, 1) * web + 4.0
    width, cap = max(least, d.between(0.2, 0.5) * deep), max(0.6, d.between(0.04, 0.14) * deep)
    side = {"web_side": d.pick(SIDES)} if kind == CHANNEL else {}
    if d.chance(0.5):
        return {"width": width, "cap_height": cap, **side}
    tip = {"at": ends[1], "width": max(least, 0.6 * width), "cap_height": max(0.5, 0.6 * cap)}
    return {"stations": [{"at": ends[0], "width": width, "cap_height": cap}, tip], **side}


def _ribs(d: Dice, of: str, ends: tuple[float, float], skin: float) -> dict[str, Any]:
    span = ends[1] - ends[0]
    found: dict[str, Any] = {"name": of, "of": of, "thickness": d.between(1.5, 6), "skin": skin}
    if d.chance(0.5):
        found["at"] = [ends[0] + share * span for share in (d.between(0.2, 0.4), 0.7, 0.9)]
    else:
        found |= {"pitch": min(2500.0, span / d.whole(1, 4)), "start": ends[0] + 0.2 * span}
        found["end"] = ends[0] + d.between(0.7, 0.95) * span
    if of != "fin" and d.chance(0.3):
        found |= {"beside_boom": True, "boom_gap": d.between(2, 20)}
    if d.chance(0.5):
        found |= {"hole_web": d.between(8, 30), "least_hole": d.between(20, 60)}
    if d.chance(0.3):
        found["notch_gap"] = d.between(0.1, 1.5)
    if d.chance(0.3):
        found["least_depth"] = d.between(4, 15)
    if d.chance(0.25):
        found["pieces"] = d.pick(["all", "nose", "tail"])
    return found
