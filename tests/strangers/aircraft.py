"""A whole aircraft of someone else's, by grade and number."""

from typing import Any

from strangers import (
    aft,
    attached,
    bay,
    framing,
    gear,
    inside,
    joints,
    legs,
    outside,
    pilots,
    pinned,
    scoops,
    shops,
    tails,
    weights,
    wings,
)
from strangers.dice import Dice
from strangers.handwriting import Pen
from strangers.places import thickness, wing_at
from strangers.pod import TAILS, Pod, pod
from strangers.wild import strewn

from geomgen.parameters.editing.writing import toml_of


def aircraft(grade: str, seed: int) -> str:
    """Return the text of a parameter file that describes aircraft number `seed` of a grade.

    >>> aircraft("fair", 17) == aircraft("fair", 17)
    True
    """
    plain = tables(grade, seed)
    written = Pen(Dice(grade, seed, "pen")).tables(plain)
    if grade == "wide":
        written = strewn(Dice(grade, seed, "wild"), written)
    return toml_of(written)


def tables(grade: str, seed: int) -> dict[str, Any]:
    """Return the same as tables of plain numbers: mm, deg, W, m/s, kg."""

    def dice(part: str) -> Dice:
        return Dice(grade, seed, part)

    d = dice("plan")
    body = pod(dice("pod"), d.pick(TAILS, [5, 2, 2]), d.pick(["round", "flat"], [4, 1]))
    end = aft.aft(dice("aft"), body)
    wall = bay.firewall(dice("firewall"), body, end.joint)
    place = d.pick(wings.PLACES, [2, 3, 3, 4, 2])
    before = bay.lean(wall, body, body.keel(body.widest), body.crown(body.widest))[0] - 15
    wing = wings.wing(dice("wing"), body, end)
    on_skin = place in ("low", "mid", "shoulder")
    through = d.chance(0.5) and on_skin and wings.moved_ahead(wing, body, before)
    wing["waterline"] = wings.waterline(dice("height"), body, place, wing)
    pylon = wings.pylon(dice("pylon"), body, wing) if place == "pylon" else None
    mount = d.pick(tails.MOUNTS, [4, 3, 3, 2, 1])
    boom = tails.booms(dice("booms"), wing, end, mount)
    group = d.pick(tails.GROUPS, [3, 5, 4, 4, 1, 1])
    plane, fins = tails.tail(dice("tail"), boom, group, end)
    entries = scoops.scoops(dice("scoops"), body, wall, end.joint, _solid(body, wing, pylon, place))
    over = bool(plane and plane["sections"][-1]["buttock_line"] > boom["buttock_line"] + 1)
    wheels = gear.gear(dice("gear"), body, end, wing, boom)
    legs.legs(dice("legs"), wheels, body, wing, boom)
    found: dict[str, Any] = {
        "name": f"{grade}-{seed}",
        **({"revision": d.pick(["B", "0.3", "2nd-try"])} if d.chance(0.2) else {}),
        "title": f"stranger {seed}, {grade}: {place} wing, {group} tail",
        **shops.asked(dice("asked")),
        "pod": body.table(),
        "exit": end.exit,
        "booms": boom,
        "wing": wing,
        "tailplane": plane,
        "fins": fins,
        "pylon": pylon,
        "firewall": wall,
        "scoops": scoops.written(entries, wall, body),
        "engine": bay.engine(dice("engine"), body, wall, end),
        "propeller": aft.placed(dice("propeller"), end, wing),
        "spinner": end.spinner,
        "gear": wheels,
        "pilot": pilots.pilot(dice("pilot"), body),
        "canopy": pilots.canopy(dice("canopy"), body),
        "joints": joints.joints(dice("joints"), place, mount, group, over, through),
        "drawings": shops.drawings(dice("drawings"), body),
        "handoff": shops.handoff(
            dice("handoff"),
            body,
            wing["sections"][-1]["buttock_line"],
            [row["name"] for row in entries],
            end.exit,
            bool(wall.get("flange")),
        ),
    }
    found |= framing.framing(dice("framing"), body, wall, end.joint)
    framing.halve(dice("half frames"), body, found)
    ply = (found["handoff"] or {}).get("ply")
    if ply is not None and found.get("frames") and (d := dice("jig")).chance(0.8):
        ply["jig"] = shops.jig(d)
    found["air"] = outside.outside_air(dice("air"), body)
    found |= inside.inside(dice("inside"), found)
    pinned.pin(dice("pinned"), found)
    found |= attached.attached(dice("attached"), body, found)
    found["assembly"] = attached.assembly(dice("assembly"), body, found)
    found |= weights.weights(dice("weights"), body, found)
    attached.round_tanks(dice("round tanks"), found)
    if "rules" in found:
        found["rules"] |= weights.limits(dice("limits"))
    if "rules" in found and found["air"] and (d := dice("neutral point")).chance(0.3):
        found["rules"]["neutral_point"] = d.pick(["air", "estimate"])
    kept = {key: value for key, value in found.items() if value not in (None, [])}
    _only_what_is_there(kept)
    return shops.varied(dice("varied"), kept)


def _only_what_is_there(tables: dict[str, Any]) -> None:
    """Take out of the parts that hang on the engine what this aircraft does not have."""
    hung = tables.get("engine", {}).get("fixed_parts", [])
    has = {"exit": "exit", "scoop": "scoops", "pylon": "pylon"}
    there = [part for part in hung if has.get(part, "firewall") in tables]
    if hung:
        tables["engine"]["fixed_parts"] = there
    if hung and not there:
        del tables["engine"]["fixed_parts"]


def _solid(
    body: Pod, wing: dict[str, Any], pylon: dict[str, Any] | None, place: str
) -> list[scoops.Box]:
    """Return boxes [mm] round what stands at the pod's skin beside the scoops."""
    root = wing["sections"][0]
    edge, level, chord = wing_at(wing, body.breadth(body.widest) / 2)
    thick = thickness(root["aerofoil"]) * root["chord"]
    low, high = min(level, wing["waterline"]) - thick, max(level, wing["waterline"]) + thick
    found: list[scoops.Box] = [
        ((edge - 20, -9e3, low), (max(edge + chord, edge + root["chord"]) + 20, 9e3, high))
    ]
    if pylon:
        half = thickness(pylon["aerofoil"]) * pylon["chord"] / 2
        front = pylon["leading_edge"]
        found.append(
            ((front, -half, body.height(front)), (front + pylon["chord"], half, level + thick))
        )
    return found
