"""Where the outer wing or tail comes off: pin plates on a spar, ribs beside them."""

from itertools import pairwise
from typing import Any

from strangers.dice import Dice
from strangers.places import thickness

from geomgen.parameters.records.structure.wing import (
    BOTH,
    BOX,
    CHANNEL,
    FACES,
    PINS,
    PLATES,
    SIDES,
    TUBE,
)

ALONG = {"wing": "buttock_line", "tailplane": "buttock_line", "fin": "height"}
TABLES = {"wing": "wing", "tailplane": "tailplane", "fin": "fins"}


def pin(d: Dice, tables: dict[str, Any]) -> None:
    """Give some spars of a file a joint; at most one of what stands in one surface."""
    for of in dict.fromkeys(spar["of"] for spar in tables.get("spars", [])):
        spar = next(s for s in tables["spars"] if s["of"] == of)
        if spar["kind"] == TUBE or d.chance(0.45):
            continue
        rows = tables[TABLES[of]]["sections"]
        deep = min(thickness(row["aerofoil"]) * row["chord"] for row in rows)
        spar["wing_joint"] = _joint(d, spar, [float(row[ALONG[of]]) for row in rows], deep)
        ribs = tables.setdefault("ribs", [])
        own = next((row for row in ribs if row["of"] == of), None)
        if own is None:
            own = {"name": f"{of}j", "of": of, "thickness": 3.0, "skin": spar["skin"]}
            ribs.append(own)
        own["beside_joint"] = True


def _joint(d: Dice, spar: dict[str, Any], places: list[float], deep: float) -> dict[str, Any]:
    start, end = spar.get("start", max(places[0], 0.0)), spar.get("end", 0.98 * places[-1])
    breaks = sorted({start, *(s for s in places if start < s < end), end})
    low, high = max(pairwise(breaks), key=lambda run: run[1] - run[0])
    long = max(12.0, min(d.between(80, 250), 0.4 * (high - low)))
    overlap, depth = max(6.0, 0.5 * long), max(9.0, d.between(0.25, 0.42) * deep)
    pin_ = max(2.2, min(0.16 * depth, 0.1 * overlap))
    found: dict[str, Any] = {
        "at": (low + high) / 2, "plate_thickness": d.between(1, 5), "plate_depth": depth,
        "plate_length": long, "overlap": overlap, "pin_diameter": pin_,
        "side": _side(d, spar), "pin_pitch": 0.5 * depth, "pin_pitch_along": 1.1 * overlap,
    }  # fmt: skip
    for key, least, most in (("plate_gap", 0.0, 0.5), ("pin_clearance", 0.02, 0.2),
                             ("pin_ends", 0.0, 10.0), ("pins_off", -0.5, 0.5),
                             ("gap", 0.4, 0.02 * overlap)):  # fmt: skip
        if d.chance(0.4):
            found[key] = d.exactly(least, most)
    if d.chance(0.3):
        found["skin_gap"] = d.exactly(0.2, found.get("gap", 1.0))
    if d.chance(0.3):
        found |= {"pin_columns": 4, "pin_pitch_along": 0.4 * overlap}
    if d.chance(0.3):
        found["pin_rows"] = 1
    for key, words in (("material", PLATES), ("pin_material", PINS), ("layers", (2, 3, 4))):
        if d.chance(0.6):
            found[key] = d.pick(words)
    return found | _reach(d, spar, found)


def _reach(d: Dice, spar: dict[str, Any], joint: dict[str, Any]) -> dict[str, Any]:
    """Draw sockets and openings, which stand no nearer to each other than the pins."""
    found: dict[str, Any] = {}
    if d.chance(0.3):
        found["socket_diameter"] = joint["pin_diameter"] * d.between(1.5, 2.5)
    if d.chance(0.3):
        found["socket_length"] = d.between(20, 100)
    least = min(joint["pin_pitch"], joint["pin_pitch_along"])
    wide = max(3.0, 1.5 * joint["pin_diameter"])
    if wide < 0.9 * least and d.chance(0.2):
        found |= {"access_hole": wide, "access_side": d.pick(SIDES)}
    if wide < 0.9 * least and spar["kind"] == BOX and joint["side"] != BOTH and d.chance(0.5):
        found["nut_hole"] = wide
    return found


def _side(d: Dice, spar: dict[str, Any]) -> str:
    if spar["kind"] == CHANNEL:
        return str(spar.get("web_side", SIDES[0]))
    # The webs of a box that tapers are not parallel.
    tapered = spar["kind"] == BOX and spar.get("stations")
    return str(d.pick([face for face in FACES if not (tapered and face == BOTH)]))
