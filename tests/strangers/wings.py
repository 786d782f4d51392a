"""Wings: low, middle, shoulder, on a pylon or free above the pod; and the pylon."""

from math import radians, sin
from typing import Any

from strangers.aft import Aft
from strangers.dice import Dice
from strangers.places import camber, thickness, wing_at
from strangers.pod import Pod

PLACES = ("low", "mid", "shoulder", "pylon", "parasol")
AEROFOILS = (
    *("NACA 2412", "NACA 4412", "NACA 4415", "NACA 2415", "NACA 4418", "NACA 1410", "NACA 6409"),
    *("NACA 3413", "NACA 0012", "NACA 2421", "NACA 4424", "NACA 23012", "NACA 23015"),
    *("NACA 23018", "NACA 43012", "NACA 24012", "NACA 63015", "NACA 5516", "NACA 1708"),
)
STRUTS = ("NACA 0012", "NACA 0015", "NACA 0018", "NACA 0021", "NACA 0024", "NACA 0030")


def wing(d: Dice, pod: Pod, end: Aft) -> dict[str, Any]:
    """Return a wing whose edge stands ahead of the blades; its height is still to be found."""
    root = d.between(950, 1450)
    half = d.between(3000, 5400)
    foil = d.pick(AEROFOILS, [4] * 5 + [1] * 5 + [1, 4, 4, 3] + [1] * 5)
    rows = [{"buttock_line": 0.0, "chord": root, "aerofoil": foil}]
    count = d.pick([1, 2, 3, 4], [4, 4, 2, 1])
    bends = sorted(d.exactly(0.25, 0.8) for _ in range(count - 1))
    bends = [b for i, b in enumerate(bends) if i == 0 or b - bends[i - 1] > 0.08]
    tip = d.between(0.5, 1.0)
    first = d.pick([0.0, d.between(0.5, 7), -d.between(0.5, 4)], [3, 5, 1])
    sweep = d.pick([0.0, d.between(0, 9), -d.between(0, 6)], [3, 4, 1])
    straight = d.chance(0.5)
    for share in [*bends, 1.0]:
        row: dict[str, Any] = {"buttock_line": share * half, "aerofoil": foil}
        row["chord"] = root * (
            1 + (tip - 1) * (share if d.chance(0.7) or share == 1 else 0.5 * share)
        )
        row["dihedral"] = first if straight else first + d.between(0, 6) * share
        row["sweep"] = sweep if straight else sweep + d.between(0, 5) * share
        if d.chance(0.5):
            row["washout"] = d.between(0, 3) * share
        if share == 1.0 and d.chance(0.3):
            row["aerofoil"] = d.pick(AEROFOILS[:6])
        rows.append(row)
    for inner, outer in zip(rows, rows[1:], strict=False):
        outer["chord"] = min(outer["chord"], inner["chord"])
    table: dict[str, Any] = {"leading_edge": pod.at(d.between(0.34, 0.48)), "sections": rows}
    if d.chance(0.6):
        table["incidence"] = d.between(0, 4)
    if d.chance(0.6):
        table["trailing_edge_thickness"] = d.between(1, 4)
    table["waterline"] = 0.0
    latest = end.front - d.between(60, 200)
    edges = [sum(wing_at(table, y)[::2]) for y in (0.0, 0.5 * end.radius, end.radius)]
    table["leading_edge"] -= max(0.0, max(edges) - latest)
    return table


def moved_ahead(table: dict[str, Any], pod: Pod, before: float) -> bool:
    """Move a wing so that it ends ahead of a station [mm] inside the pod, if the nose allows."""
    root = table["sections"][0]["chord"]
    edge = min(table["leading_edge"], before - root)
    if edge < pod.at(0.2):
        return False
    table["leading_edge"] = edge
    return True


def waterline(d: Dice, pod: Pod, place: str, table: dict[str, Any]) -> float:
    """Return the height of the leading edge [mm], by where the wing stands on the pod."""
    root = table["sections"][0]
    thick = thickness(root["aerofoil"]) * root["chord"]
    x = table["leading_edge"] + 0.3 * table["sections"][0]["chord"]
    crown, keel = pod.crown(x), pod.keel(x)
    if place == "low":
        return keel + d.between(0.1, 0.9) * thick
    if place == "mid":
        return keel + d.between(0.3, 0.7) * (crown - keel)
    if place == "shoulder":
        return crown - d.between(0.2, 1.1) * thick
    back = pod.crown(max(table["leading_edge"], pod.widest)) if d.wide else crown
    return max(crown, back) + 0.6 * thick + d.between(70, 420)


def pylon(d: Dice, pod: Pod, wing: dict[str, Any]) -> dict[str, Any]:
    """Return a strut fairing from inside the pod to inside the wing."""
    root = wing["sections"][0]
    chord = d.between(0.35, 0.75) * root["chord"]
    front = wing["leading_edge"] + d.between(0.1, 0.2) * root["chord"]
    low = min(pod.crown(front), pod.crown(front + chord)) - d.between(60, 160)
    foil = d.pick(STRUTS)
    # Half-way into the wing where the pylon ends aft: there the wing is thinnest and lowest.
    share = (front + chord - wing["leading_edge"]) / root["chord"]
    droop = share * sin(radians(wing.get("incidence", 0.0)))
    middle = camber(root["aerofoil"], share) - droop - d.between(0.0, 0.01)
    table = {
        "leading_edge": front,
        "waterline_low": low,
        "waterline_high": wing["waterline"] + middle * root["chord"],
        "chord": chord,
        "aerofoil": foil,
    }
    if d.chance(0.5):
        table["trailing_edge_thickness"] = d.between(1, 4)
    return table
