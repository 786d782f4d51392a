"""Pilots of all sizes, seated upright or lying back, and canopies of all lengths."""

from math import cos, hypot, radians, sin
from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod

WHO = tuple(f"{rank} {who}" for rank in ("5th", "50th", "95th") for who in ("man", "woman"))
# What the middle one of all people measures [mm], about; nobody is alike in every length.
MIDDLE = {
    "sitting_height": 880.0,
    "eye_height": 765.0,
    "shoulder_height": 575.0,
    "shoulder_breadth": 430.0,
    "hip_breadth": 365.0,
    "thigh_thickness": 157.0,
    "buttock_to_knee": 582.0,
    "knee_height": 523.0,
    "upper_arm": 347.0,
    "forearm_reach": 452.0,
    "foot_length": 250.0,
}


def pilot(d: Dice, pod: Pod) -> dict[str, Any] | None:
    """Return a pilot whose feet and hands reach; None for no word of him."""
    if d.chance(0.6):
        return None
    size = d.exactly(0.93, 1.09)
    lengths = {key: round(size * d.exactly(0.98, 1.02) * mm, 1) for key, mm in MIDDLE.items()}
    table: dict[str, Any] = dict(lengths)
    if d.chance(0.6):
        table = {"percentile": d.pick(WHO)}
        if d.chance(0.3):
            table["sitting_height"] = d.exactly(870, 980)
            lengths |= {"sitting_height": table["sitting_height"]}
    if d.chance(0.3):
        table["percentiles"] = [d.pick(WHO)]
    lean = d.exactly(0, 60)
    seat, level = pod.at(d.between(0.34, 0.5)), pod.keel(pod.widest) + d.between(20, 90)
    table |= {"seat_station": seat, "seat_waterline": level, "seat_back_angle": lean}
    for key, low, high in (("helmet", 0, 40), ("room", 0, 25)):
        if d.chance(0.5):
            table[key] = d.exactly(low, high)
    legs = lengths["buttock_to_knee"] - 185 + hypot(lengths["knee_height"] - 60, 125)
    reach, rise = d.exactly(0.62, 0.8) * legs, radians(d.exactly(-5, 25))
    table["pedal_station"] = seat - 90 - reach * cos(rise)
    table["pedal_waterline"] = level + 80 + reach * sin(rise)
    if d.chance(0.5):
        table["pedal_buttock_line"] = d.exactly(60, 130)
    return table | _hands(d, lengths, (seat, level, radians(lean)))


def _hands(d: Dice, lengths: dict[str, float], seat: tuple[float, float, float]) -> dict[str, Any]:
    """Return where the fists are, below the shoulders and ahead of them."""
    station, level, lean = seat
    along = lengths["shoulder_height"] - 135
    arms = lengths["upper_arm"] - 95 + lengths["forearm_reach"] - 155
    out, fist = lengths["shoulder_breadth"] / 2 - 55, d.exactly(0, 150)
    reach = (d.exactly(0.72, 0.84) * arms) ** 2 - (out - fist) ** 2
    down = radians(d.exactly(15, 55))
    found = {
        "hand_station": station - 95 + along * sin(lean) - reach**0.5 * cos(down),
        "hand_waterline": level + 80 + along * cos(lean) - reach**0.5 * sin(down),
    }
    return found | ({"hand_buttock_line": fist} if d.chance(0.8) else {})


def canopy(d: Dice, pod: Pod) -> dict[str, Any] | None:
    """Return what of the pod is glass; None for no word of it."""
    if d.chance(0.6):
        return None
    ends = pod.at(d.exactly(0.05, 0.2)), pod.at(d.exactly(0.35, 0.55))
    sills = (pod.height(x) + d.exactly(-0.2, 0.5) * (pod.crown(x) - pod.height(x)) for x in ends)
    names = ("fore_station", "aft_station", "fore_sill", "aft_sill")
    return dict(zip(names, (*ends, *sills), strict=True)) | _built(d)


def _built(d: Dice) -> dict[str, Any]:
    """Return whether the canopy is a line, an opening or a part; what is not used is there too."""
    how = d.pick(("line", "opening", "glazing", "glazing"))
    found: dict[str, Any] = {"built_as": how} if how != "line" or d.chance(0.5) else {}
    if how == "glazing" or d.chance(0.2):
        found |= {
            "thickness": d.exactly(1.0, 6.0),
            "material": d.pick(("acrylic", "polycarbonate")),
        }
    return found | ({"gap": d.exactly(0.5, 6.0)} if d.chance(0.5) else {})
