"""What ends the pod: the exit's rim, the fairing about the shaft, propeller and spinner."""

from dataclasses import dataclass
from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod


@dataclass(frozen=True)
class Aft:
    """The tables of exit, propeller and spinner, and what other parts must know of them [mm].

    `blades` is the blade plane, `front` the foremost that the blades come, `radius` how far out.
    `joint` is where the hull ends; `bore` what a shaft may fill, None where it can't get through.
    """

    exit: dict[str, Any] | None
    propeller: dict[str, Any]
    spinner: dict[str, Any] | None
    blades: float
    front: float
    radius: float
    joint: float
    bore: float | None


def aft(d: Dice, pod: Pod) -> Aft:
    """Return an exit where the tail is open, and a propeller behind all of it."""
    hub = d.between(80, 160)
    spinner = None
    if d.chance(0.65):
        spinner = {"diameter": d.between(120, 260), "length": d.between(110, 300)}
    rim = _exit(d, pod, hub) if pod.tail == "open" and d.chance(0.75) else None
    end = pod.end
    fairing = (rim or {}).get("tail_fairing")
    if fairing:
        end = max(end, fairing["stations"][-1]["station"])
    propeller: dict[str, Any] = {
        "diameter": d.between(1050, 1650),
        "waterline": pod.thrust,
        "blade_depth": d.between(40, 110),
        "hub_diameter": hub,
    }
    if d.chance(0.5):
        propeller["thrust_tilt"] = d.pick([1.0, -1.0, 2.0, -2.0, 3.5, -4.0])
    for key, most in (("flex", 20), ("mount_travel_radial", 10), ("mount_travel_axial", 5)):
        if d.chance(0.7):
            propeller[key] = d.between(0, most)
    half = propeller["blade_depth"] / 2 + propeller.get("mount_travel_axial", 0.0)
    blades = end + d.between(15, 130) + half
    joint = rim["rim_station"] if rim else pod.end
    bore = fairing.get("bore") if fairing else (None if pod.tail != "open" else 200.0)
    radius = propeller["diameter"] / 2 + propeller.get("mount_travel_radial", 0.0)
    front = blades - half - propeller.get("flex", 0.0)
    return Aft(rim, propeller, spinner, blades, front, radius, joint, bore)


def _exit(d: Dice, pod: Pod, hub: float) -> dict[str, Any]:
    rim: dict[str, Any] = {"rim_station": pod.end - d.between(0.02, 0.06) * pod.length}
    if d.chance(0.6):
        rim["gap"] = d.pick([0.0, d.exactly(0.1, 1), d.exactly(1, 2)], [1, 4, 2])
    if d.wide and d.chance(0.3):
        rim["gap"] = d.exactly(0, 20)
    if d.chance(0.6):
        rim["tail_fairing"] = _fairing(d, pod, rim["rim_station"])
    return rim


def _fairing(d: Dice, pod: Pod, joint: float) -> dict[str, Any]:
    last = pod.rows[-1]
    room = min(last["breadth"], last["crown"] - last["keel"]) - 2 * pod.wall
    most = d.between(0.3, 0.6) * room
    count = d.whole(2, 5)
    front = joint - d.between(20, 180)
    end = pod.end + d.pick([0.0, -d.exactly(2, 15), d.exactly(10, 50)], [1, 1, 2])
    rows = []
    for i in range(count):
        t = i / (count - 1)
        size = most * (1 - d.exactly(0.2, 0.3) * t**2) * (1 - 0.12 * (1 - t) ** 3)
        rows.append({"station": front + t * (end - front), "diameter": size + d.jitter(1)})
    fairing: dict[str, Any] = {"stations": rows}
    if d.chance(0.6):
        fairing["bore"] = d.between(0.3, 0.55) * most
    if d.chance(0.3):
        fairing["waterline"] = pod.thrust + d.exactly(-8, 8)
    return fairing


def placed(d: Dice, made: Aft, wing: dict[str, Any]) -> dict[str, Any]:
    """Return the propeller's table with its station, or how far it is behind the wing's edge."""
    from strangers.places import wing_at

    table = dict(made.propeller)
    at = d.pick([0.0, d.exactly(0.1, 0.9) * made.radius])
    edge, _, chord = wing_at(wing, at)
    share = (made.blades - edge - chord) / chord
    if d.chance(0.5) and 0.02 < share < 2.9:
        table |= {"behind_trailing_edge": round(share + 0.006, 2)}
        if at:
            table["behind_at"] = at
    else:
        table["station"] = made.blades + 1.0
    return table
