"""Joints: what meets is joined, one is trimmed to the other."""

from typing import Any

from strangers.dice import Dice

from geomgen.parameters.records.aircraft import FAMILIES, STAYING


def joints(
    d: Dice, place: str, mount: str, group: str, over: bool, through: bool
) -> list[dict[str, Any]]:
    """Return the joints that an arrangement of wing, booms and tail needs.

    `through` says that a wing on the pod's skin runs through it in one piece, `over` that a high
    tailplane runs over the fins.
    """
    found: list[tuple[str, str]] = []
    if place in ("low", "mid", "shoulder"):
        found.append(("pod", "wing") if through else ("wing", "pod"))
    if place == "pylon":
        # Where the pylon stands in the pod, it may meet the firewall there.
        inside = d.chance(0.15)
        found += [("pod", "pylon"), ("firewall", "pylon")] if inside else [("pylon", "pod")]
        found.append(d.pick([("pylon", "wing"), ("wing", "pylon")], [6, 1]))
    if mount != "apart":
        found.append(d.pick([("boom", "wing"), ("wing", "boom")], [3, 1]))
    if group in ("straight", "straight with fins", "inverted V"):
        found.append(("tailplane", "boom"))
    if group in ("straight with fins", "high", "fins"):
        found.append(d.pick([("fin", "boom"), ("boom", "fin")], [4, 1]))
    if group == "straight with fins":
        found.append(("tailplane", "fin"))
    if group == "high":
        found.append(("fin", "tailplane") if over else ("tailplane", "fin"))
    if d.wide and d.chance(0.2):
        found.append((d.pick(FAMILIES), d.pick(STAYING)))
    rows = []
    same = d.pick([None, 0.0, d.exactly(0.1, 0.6), d.exactly(0.6, 2)], [3, 1, 3, 2])
    for trim, to in found:
        row: dict[str, Any] = {"trim": trim, "to": to}
        if same is not None:
            row["gap"] = same
        if d.wide:
            row["gap"] = d.exactly(0, 20)
        rows.append(row)
    return rows
