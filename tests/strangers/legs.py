"""Legs of the wheels: tubes and leaves out of pod, boom and wing, beside the tyre or over it."""

from typing import Any

from strangers.dice import Dice
from strangers.places import wing_at
from strangers.pod import Pod

Root = tuple[float, float, float]


def legs(
    d: Dice, gear: dict[str, Any] | None, pod: Pod, wing: dict[str, Any], boom: dict[str, Any]
) -> None:
    """Give the wheels legs, or some of them: roots inside what they stand in [mm]."""
    for wheel in gear["wheels"] if gear else ():
        if d.chance(0.25):
            continue
        out = wheel.get("buttock_line", 0.0)
        kinds = ["pod", "wing", "boom"] if wheel["role"] == "main" else ["pod"]
        if wheel["role"] == "tail":
            kinds = ["boom"]
            if out == 0.0:
                continue
        where = d.pick(kinds)
        root = {"pod": _in_pod, "wing": _in_wing, "boom": _in_boom}[where](
            d, wheel, {"pod": pod, "wing": wing, "boom": boom}[where]
        )
        wheel["leg"] = _leg(d, wheel, where, root)


def _in_pod(d: Dice, wheel: dict[str, Any], pod: Pod) -> Root:
    at = min(max(wheel["station"] + d.between(-250, 60), pod.at(0.1)), pod.at(0.9))
    beside = 0.15 * pod.breadth(at) if wheel["role"] == "main" else 0.0
    return at, beside, pod.keel(at) + 0.2 * (pod.crown(at) - pod.keel(at))


def _in_wing(d: Dice, wheel: dict[str, Any], wing: dict[str, Any]) -> Root:
    edge, level, chord = wing_at(wing, wheel["buttock_line"])
    return edge + d.between(0.25, 0.4) * chord, wheel["buttock_line"], level


def _in_boom(d: Dice, wheel: dict[str, Any], boom: dict[str, Any]) -> Root:
    rows = boom["stations"]
    first, last = rows[0]["station"], rows[-1]["station"]
    at = min(max(wheel["station"] + d.between(-120, -20), first + 60), last - 60)
    level = rows[0]["waterline"]
    for fore, aft in zip(rows, rows[1:], strict=False):
        if fore["station"] <= at <= aft["station"]:
            share = (at - fore["station"]) / (aft["station"] - fore["station"])
            level = fore["waterline"] + share * (aft["waterline"] - fore["waterline"])
    return at, boom["buttock_line"], level


def _leg(d: Dice, wheel: dict[str, Any], where: str, root: Root) -> dict[str, Any]:
    small = wheel["diameter"] < 250
    thick = d.exactly(18, 26) if small else d.exactly(24, 45)
    leg: dict[str, Any] = {"kind": d.pick(["tube", "leaf"]), "rooted_in": where}
    if leg["kind"] == "tube":
        leg["diameter"] = thick
        if d.chance(0.6):
            leg["wall"] = d.exactly(0.05, 0.2) * thick
    else:
        leg["root_breadth"], leg["root_thickness"] = 2 * thick, 0.5 * thick
        leg["tip_breadth"] = d.exactly(0.6, 1.0) * leg["root_breadth"]
        leg["tip_thickness"] = d.exactly(0.5, 1.0) * leg["root_thickness"]
    gap = d.exactly(5, 25)
    if d.chance(0.5):
        leg["tyre_gap"] = gap
    if d.chance(0.5):
        leg["axle_diameter"] = d.exactly(10, 25)
    if d.chance(0.3):
        leg["gap"] = d.exactly(0.2, 1.0)
    out = wheel.get("buttock_line", 0.0)
    clear = wheel["width"] / 2 + 25 + 2 * thick
    if abs(root[1] - out) < clear and not (where == "wing" and d.chance(0.5)):
        leg["fork"] = True
    elif abs(root[1] - out) < clear:
        root = (root[0], out + clear, root[2])
    leg |= {"station": root[0], "waterline": root[2]}
    if root[1] > 0.0:
        leg["buttock_line"] = root[1]
    return leg
