"""What someone puts into the pod: frames across it with openings, stringers along its skin."""

from typing import Any

from strangers.dice import Dice
from strangers.places import wing_at
from strangers.pod import Pod

from geomgen.parameters.values.materials import MATERIALS

USES = ("legs", "tank", "controls", "spar", "duct", "belt fitting")
# Frames keep so far off the firewall and the joint at the exit [mm].
CLEAR = 40.0


def framing(d: Dice, pod: Pod, wall: dict[str, Any], joint: float) -> dict[str, Any]:
    """Return frames and stringers of a pod whose firewall and last joint [mm] are given."""
    if d.chance(0.65):
        return {}
    places = [pod.at(d.exactly(0.15, 0.8)) for _ in range(d.whole(1, 3))]
    at_wall = wall["station"] if isinstance(wall["station"], float | int) else pod.at(0.7)
    clear = [x for x in sorted(places) if abs(x - at_wall) > CLEAR and x < joint - CLEAR]
    frames = [_frame(d, pod, x, f"f{i}") for i, x in enumerate(clear)]
    ends = sorted((pod.at(d.exactly(0.15, 0.4)), pod.at(d.exactly(0.5, 0.65))))
    stringers = [_stringer(d, pod, ends, f"s{i}") for i in range(d.whole(0, 2))]
    return {"frames": frames, "stringers": stringers}


def halve(d: Dice, pod: Pod, tables: dict[str, Any]) -> None:
    """Cut some frames of a file off straight: at heights, or clear of what the file has there."""
    for row in tables.get("frames") or []:
        if d.chance(0.4):
            row |= _ends(d, pod, row["station"], tables)
            row |= {"end_gap": d.exactly(1.0, 12.0)} if d.chance(0.5) else {}
            row.pop("openings", None)


def _ends(d: Dice, pod: Pod, station: float, tables: dict[str, Any]) -> dict[str, Any]:
    """Return where a frame at a station [mm] is cut off."""
    low, high = pod.keel(station), pod.crown(station)
    cuts = {"bottom": low + d.exactly(0.3, 0.45) * (high - low),
            "top": low + d.exactly(0.55, 0.7) * (high - low)}  # fmt: skip
    wing, level, half = tables["wing"], *_wing_there(tables["wing"], station)
    if level is not None and low + 80.0 < level - half and level + half < high - 80.0:
        return d.pick([{"under": "wing"}, {"over": "wing"}])
    c = tables.get("canopy")
    if c and c["fore_station"] + 40.0 < station < c["aft_station"] - 40.0 and d.chance(0.6):
        return {"under": "canopy"}
    away = wing["leading_edge"] - 60.0 > station or level is None
    if not away:
        return {}
    return d.pick([{"top": cuts["top"]}, {"bottom": cuts["bottom"]}, cuts])


def _wing_there(wing: dict[str, Any], station: float) -> tuple[float | None, float]:
    """Return about where the wing's middle is at a station [mm], and half how thick it is."""
    edge, level, chord = wing_at(wing, 0.0)
    share = (station - edge) / chord
    if not -0.1 < share < 1.1:
        return None, 0.0
    return (level, 0.1 * chord) if 0.1 < share < 0.8 else (-1e9, 0.0)


def _frame(d: Dice, pod: Pod, station: float, name: str) -> dict[str, Any]:
    row: dict[str, Any] = {"name": name, "station": station, "thickness": d.between(2, 12)}
    row["material"] = d.pick(tuple(MATERIALS))
    if d.chance(0.3):
        row["tilt"] = d.between(-18, 18)
    if d.chance(0.3):
        row["density"] = d.between(100, 800)
    if d.chance(0.5):
        row["gap"] = d.between(0.2, 1.5)
    if d.chance(0.5):
        row["width"] = d.between(30, 70)
        return row
    if d.chance(0.7):
        row["openings"] = [_opening(d, pod, station) for _ in range(d.whole(1, 2))]
    return row


def _opening(d: Dice, pod: Pod, station: float) -> dict[str, Any]:
    half = pod.breadth(station) / 2
    middle = pod.height(station)
    row: dict[str, Any] = {"use": d.pick(USES), "waterline": middle + d.jitter(0.2) * half}
    if d.chance(0.4):
        row["buttock_line"] = d.exactly(0.3, 0.45) * half
        if d.chance(0.6):
            row["mirrored"] = True
    size = 0.35 * half
    if d.chance(0.5):
        return row | {"diameter": size}
    row |= {"width": size, "height": d.exactly(0.6, 1.1) * size}
    return row | ({"corner_radius": 0.25 * size} if d.chance(0.6) else {})


def _stringer(d: Dice, pod: Pod, ends: list[float], name: str) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": name,
        "start": ends[0],
        "end": ends[1],
        "width": d.between(10, 25),
        "depth": d.between(6, 16),
        "material": d.pick(tuple(MATERIALS)),
    }
    if d.chance(0.3):
        row |= {"girth": d.pick([0.0, 1.0]), "mirrored": False}
    elif d.chance(0.5):
        row["girth"] = d.exactly(0.15, 0.85)
    else:
        row["waterline"] = pod.height(pod.at(0.4))
    for key, low, high in (("gap", 0.2, 1.5), ("notch_clearance", 0.1, 1.0), ("density", 60, 700)):
        if d.chance(0.3):
            row[key] = d.between(low, high)
    return row
