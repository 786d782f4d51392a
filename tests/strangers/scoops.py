"""Cooling-air scoops anywhere round the pod, clear of wing, pylon and each other."""

from math import cos, radians, sin
from typing import Any

import numpy as np
from strangers.dice import Dice
from strangers.pod import Pod

NAMES = ("side", "top", "chin", "left", "right", "oil", "cheek", "belly", "ear", "aux")
TRIES = 60
Box = tuple[tuple[float, float, float], tuple[float, float, float]]


def scoops(
    d: Dice, pod: Pod, f: dict[str, Any], joint: float, solid: list[Box]
) -> list[dict[str, Any]]:
    """Return up to five entries; `solid` are boxes [mm] that none may run into."""
    wanted = d.pick(range(6), [1, 5, 6, 4, 2, 2])
    shared = d.chance(0.35)
    mouth = d.pick([0.0, d.between(-40, 20)])
    names = list(NAMES)
    found: list[dict[str, Any]] = []
    for tried in range(TRIES):
        if len(found) == wanted:
            break
        row = _one(d, pod, f, joint, mouth if shared and tried < TRIES / 2 else None, len(found))
        if row is None or not _stands(row, pod, solid, found, f):
            continue
        row["name"] = names.pop(int(d.exactly(0, len(names) - 0.01)))
        found.append(row)
    return found


def _one(
    d: Dice, pod: Pod, f: dict[str, Any], joint: float, shared: float | None, number: int
) -> dict[str, Any] | None:
    side, over, under = d.exactly(-25, 35), d.exactly(70, 110), d.exactly(-110, -70)
    around = d.pick([side, over, under, d.exactly(-180, 180), 90.0, -90.0], [6, 1, 1, 4, 2, 2])
    ahead = d.between(-60, 40) if shared is None else shared
    mouth = f["station"] - ahead
    room = joint - mouth - 15
    if room < 150:
        return None
    fairing = min(d.between(330, 620), 0.9 * room)
    passage = d.between(0.5, 0.78) * fairing
    if mouth + passage < f["station"] + 40:
        return None
    row: dict[str, Any] = {
        "clock_angle": around,
        "width": d.between(70, 190),
        "height": d.between(28, 75),
        "wall": d.between(1.5, 5),
        "boundary_layer_gap": d.pick([0.0, d.exactly(1, 4), d.exactly(4, 20)], [2, 2, 5]),
        "passage_length": passage,
        "fairing_length": fairing,
        "ahead": ahead,
        "by_station": d.chance(0.4),
    }
    if d.chance(0.2):
        row["width"] = d.between(35, 70)
    row["corner_radius"] = d.between(0.12, 0.4) * min(row["width"], row["height"])
    row["corner_radius"] = min(row["corner_radius"], 0.45 * min(row["width"], row["height"]))
    row["lip_radius"] = min(d.between(0.25, 0.44), 0.44) * row["wall"]
    row["mirrored"] = abs(cos(radians(around))) > 0.45 and d.chance(0.8)
    if d.chance(0.6):
        row["gap"] = d.pick(
            [0.0, d.exactly(0.1, 1.0), d.exactly(1, 2), d.exactly(2, 20)], [1, 5, 2, 1]
        )
    return row


def _stands(
    row: dict[str, Any], pod: Pod, solid: list[Box], others: list[dict[str, Any]], f: dict[str, Any]
) -> bool:
    mouth = f["station"] - row["ahead"]
    half = row["width"] / 2 + row["wall"]
    if not _fits(row, pod, mouth, half):
        return False
    boxes = _boxes(row, pod, mouth)
    if any(_meet(box, other, 12) for box in boxes for other in solid):
        return False
    if row["mirrored"] and _meet(boxes[0], boxes[1], 12):
        return False
    taken = [b for other in others for b in _boxes(other, pod, f["station"] - other["ahead"])]
    return not any(_meet(box, other, 12) for box in boxes for other in taken)


def _fits(row: dict[str, Any], pod: Pod, mouth: float, half: float) -> bool:
    """Say whether the pod is broad enough under mouth, passage and fairing."""
    turn = radians(row["clock_angle"])
    origin = np.array([0.0, pod.height(mouth)])
    for x in (mouth, mouth + row["passage_length"], mouth + row["fairing_length"]):
        points = pod.section(x) - origin
        out = points @ (cos(turn), sin(turn))
        across = points @ (-sin(turn), cos(turn))
        if np.max(out) < 1.5 * row["height"] + 20:
            return False
        beyond = out > 0.15 * np.max(out)
        least = min(-np.min(across[beyond]), np.max(across[beyond]))
        if least < 1.25 * half + 5:
            return False
    return True


def _boxes(row: dict[str, Any], pod: Pod, mouth: float) -> list[Box]:
    """Return a box [mm] round the scoop, and one round its mirror image."""
    turn = radians(row["clock_angle"])
    ends = []
    for x in (mouth, mouth + row["fairing_length"]):
        points = pod.section(x) - np.array([0.0, pod.height(mouth)])
        out, across = points @ (cos(turn), sin(turn)), points @ (-sin(turn), cos(turn))
        half = row["width"] / 2 + row["wall"]
        under = points[(out > 0) & (np.abs(across) <= half)]
        thick = row["height"] + row["boundary_layer_gap"] + row["wall"]
        grown = under + thick * np.array([cos(turn), sin(turn)])
        ends += [*under, *grown]
    at = np.array(ends) + np.array([0.0, pod.height(mouth)])
    (y0, z0), (y1, z1) = at.min(axis=0), at.max(axis=0)
    x0, x1 = mouth, mouth + row["fairing_length"]
    box = ((x0, float(y0), float(z0)), (x1, float(y1), float(z1)))
    if not row["mirrored"]:
        return [box]
    return [box, ((x0, -float(y1), float(z0)), (x1, -float(y0), float(z1)))]


def _meet(a: Box, b: Box, room: float) -> bool:
    return all(a[0][i] - room < b[1][i] and b[0][i] - room < a[1][i] for i in range(3))


def written(rows: list[dict[str, Any]], f: dict[str, Any], pod: Pod) -> list[dict[str, Any]]:
    """Return the rows as they stand in a file: mouths by station or from the firewall.

    A leaning firewall meets the skin elsewhere than on the thrust line: stations go with it.
    """
    found = []
    for row in rows:
        plain = {k: v for k, v in row.items() if k not in ("ahead", "by_station")}
        if row["by_station"] or f["tilt"]:
            plain["mouth"] = f["station"] - row["ahead"]
        else:
            plain["mouth"] = "at firewall"
            if row["ahead"]:
                plain["mouth_ahead"] = row["ahead"]
        found.append(plain)
    return found
