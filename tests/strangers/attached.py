"""What is bolted on inside and what must stay free: fittings, room of controls, ways of a hand."""

from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod

from geomgen.parameters.records.masses import OUT_SIDES
from geomgen.parameters.records.structure.assembly import CENTRE, LEVEL, WHOLE
from geomgen.parameters.records.structure.attachments import INSIDE, SIDES, SKINS
from geomgen.parameters.values.materials import MATERIALS

USES = ("engine mount", "boom", "gear", "seat", "belt", "control bracket")
CONTROLS = ("stick", "pedals", "throttle")
RUNS = ("aileron", "elevator", "rudder")
KEYS = {"tailplane": "tailplane", "fin": "fins"}


def attached(d: Dice, pod: Pod, tables: dict[str, Any]) -> dict[str, Any]:
    """Return fittings, controls and access of a file whose other tables are given; or nothing."""
    if d.chance(0.65):
        return {}
    found: dict[str, Any] = {}
    if d.chance(0.8):
        found["fittings"] = [_fitting(d, pod, tables, f"b{i}") for i in range(d.whole(1, 3))]
    if d.chance(0.7):
        found["controls"] = _controls(d, pod)
    if d.chance(0.6):
        found["access"] = [_way(d, pod, tables, f"a{i}") for i in range(d.whole(1, 2))]
    return found


def _sheets(tables: dict[str, Any]) -> list[str]:
    found = ["firewall"]
    for row in tables.get("frames") or []:
        two = "width" in row and {"top", "under"} & set(row) and {"bottom", "over"} & set(row)
        found += [f"frame_{row['name']}{hand}" for hand in (("_right", "_left") if two else ("",))]
    return found


def _fitting(d: Dice, pod: Pod, tables: dict[str, Any], name: str) -> dict[str, Any]:
    station = pod.at(d.exactly(0.25, 0.7))
    size = d.exactly(0.1, 0.25) * pod.breadth(station)
    bolt = d.exactly(3.0, 8.0)
    row: dict[str, Any] = {
        "name": name,
        "use": d.pick(USES),
        "waterline": pod.height(station) + d.jitter(0.2) * size,
        "width": max(40.0, size),
        "height": max(40.0, d.exactly(0.6, 1.4) * size),
        "thickness": d.between(2, 8),
        "bolts": _bolts(d, bolt),
    }
    if d.chance(0.6):
        row |= {"buttock_line": d.exactly(0.1, 0.3) * pod.breadth(station)}
        row |= {"mirrored": True} if d.chance(0.6) else {}
    if d.chance(0.5):
        row |= {"on": d.pick(_sheets(tables)), "side": d.pick(["fore", "aft"])}
    else:
        row |= _by_itself(d, tables, station)
    for key, low, high in (("gap", 0.0, 1.0), ("backed", 0.3, 0.98), ("density", 1000, 8000)):
        if d.chance(0.3):
            row[key] = d.exactly(low, high)
    if d.chance(0.7):
        row["material"] = d.pick(tuple(MATERIALS))
    return row


def _by_itself(d: Dice, tables: dict[str, Any], station: float) -> dict[str, Any]:
    there = [one for one in INSIDE if one not in KEYS or tables.get(KEYS[one])]
    row: dict[str, Any] = {"station": station, "side": d.pick(SIDES), "inside": d.pick(there)}
    for key in ("tilt", "sweep"):
        if d.chance(0.3):
            row[key] = d.exactly(-20, 20)
    return row


def _bolts(d: Dice, diameter: float) -> dict[str, Any]:
    row: dict[str, Any] = {"diameter": diameter, "columns": d.whole(1, 2), "rows": d.whole(1, 2)}
    if max(row["columns"], row["rows"]) > 1:
        row["pitch"] = d.exactly(2.0, 3.0) * diameter
    if row["rows"] > 1 and d.chance(0.5):
        row["row_pitch"] = d.exactly(2.0, 3.0) * diameter
    return row


def _point(d: Dice, pod: Pod, share: float) -> dict[str, Any]:
    station = pod.at(share)
    aside = {"buttock_line": d.exactly(0.0, 0.2) * pod.breadth(station)} if d.chance(0.5) else {}
    return {"station": station, "waterline": pod.height(station), **aside}


def assembly(d: Dice, pod: Pod, tables: dict[str, Any]) -> dict[str, Any] | None:
    """Return how the parts of a file are put together; or nothing."""
    if d.chance(0.75):
        return None
    found: dict[str, Any] = {}
    if d.chance(0.7):
        found["pod_split"] = d.pick([CENTRE, LEVEL, WHOLE])
    if found.get("pod_split") == LEVEL:
        found["split_waterline"] = pod.height(pod.at(0.5))
    there = ["pod", "wing", "firewall", "boom_left"]
    there += [kind for kind in ("frame", "stringer", "spar", "rib") if tables.get(f"{kind}s")]
    for key in ("order", "built_in_place"):
        if d.chance(0.5):
            found[key] = sorted({d.pick(there) for _ in range(d.whole(1, 4))})
    return found


def round_tanks(d: Dice, tables: dict[str, Any]) -> None:
    """Say of some tanks that have a shape how much room is round them, and how they come out."""
    shapes = [row["shape"] for row in tables.get("tanks") or [] if "shape" in row]
    for shape in shapes:
        for key, chance in (("gap", 0.5), ("rests_on", 0.3), ("out", 0.4)):
            if d.chance(chance):
                shape[key] = {"gap": d.between(0, 20), "rests_on": ["firewall"]}.get(
                    key, d.pick(OUT_SIDES)
                )
        if "out" in shape and d.chance(0.5):
            shape["off"] = sorted({d.pick(["wing", "firewall", "boom"]) for _ in range(2)})


def _controls(d: Dice, pod: Pod) -> dict[str, Any]:
    found: dict[str, Any] = {"boxes": [], "runs": []}
    if d.chance(0.4):
        found["clearance"] = d.between(2, 20)
    for name in CONTROLS[: d.whole(0, 2)]:
        place = _point(d, pod, d.exactly(0.2, 0.5))
        box = {"name": name, **place, "length": d.between(80, 300), "width": d.between(60, 250)}
        mirrored = {"mirrored": True} if d.chance(0.3) else {}
        found["boxes"].append(box | {"height": d.between(80, 300)} | mirrored)
    for name in RUNS[: d.whole(0, 2)]:
        shares = sorted(d.exactly(0.2, 0.9) for _ in range(d.whole(2, 3)))
        run: dict[str, Any] = {"name": name, "diameter": d.between(4, 30)}
        run["points"] = [_point(d, pod, share) for share in shares]
        run |= {"mirrored": True} if d.chance(0.4) else {}
        if d.chance(0.6):
            run["through"] = sorted({d.pick(SKINS) for _ in range(2)})
        found["runs"].append(run)
    return {key: value for key, value in found.items() if value}


def _way(d: Dice, pod: Pod, tables: dict[str, Any], name: str) -> dict[str, Any]:
    row: dict[str, Any] = {"name": name, "start": _point(d, pod, d.exactly(0.1, 0.4))}
    row["end"] = _point(d, pod, d.exactly(0.45, 0.9))
    if d.chance(0.5):
        row["hand"] = d.between(60, 130)
    if d.chance(0.6):
        row["through"] = d.pick(_sheets(tables))
    return row
