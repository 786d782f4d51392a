"""What the answer about the air says of the skin ahead of mouths: whether the air has left it."""

from collections.abc import Mapping
from dataclasses import replace
from math import inf
from typing import Any

from geomgen.kernel.plain import vec
from geomgen.measurements.answers import missing, said_no
from geomgen.measurements.outside_air.said import JUDGED, LAYER, NAME, TIMES, right_of
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered

ID = "inlet.separated."
HIDDEN = "no panel of the mouth faces the air: it may stand in another part"
WHAT = "length of skin up to the mouth that the air has left"


def separated(by: Answered) -> list[Measurement]:
    """Return for each mouth the length of skin up to it that the air has left [mm]."""
    answer, ways = by.answers.get(NAME), by.model.passages
    if answer is None:
        return []
    if said_no(answer):
        return [replace(missing(f"{ID}{w.name}", "mm", answer), part=w.name) for w in ways]
    pairs = {s: pair for s, pair in answer["states"].items() if s in JUDGED}
    shut = answer["unmeasured"]
    return [_of(way.name, pairs, shut) for way in ways if pairs]


def _of(name: str, pairs: Mapping[str, Any], shut: Mapping[str, str]) -> Measurement:
    rows = {
        state: [each["mouths"].get(right_of(name, each)) for each in pair]
        for state, pair in pairs.items()
    }
    found = {state: pair for state, pair in rows.items() if pair[0]}
    id_ = f"{ID}{name}"
    if not found:
        why = shut.get(name, shut.get(_right(name), HIDDEN))
        return Measurement(id_, name, WHAT, None, "mm", LAYER, note=why)
    fine = {state: row["left"] for state, (row, _) in found.items()}
    lost = [f"{state}: {left['why']}" for state, left in fine.items() if left["length"] is None]
    known = [state for state, left in fine.items() if left["length"] is not None]
    worst = max(known, key=lambda s: (fine[s]["length"], fine[s]["most"]), default=None)
    if worst is None or (lost and not fine[worst]["length"]):
        return Measurement(id_, name, WHAT, None, "mm", LAYER, note="; ".join(lost))
    left, other = fine[worst], found[worst][1]
    at = () if left["at"] is None else (vec(left["at"]),)
    return Measurement(
        id_, name, WHAT, left["length"], "mm", LAYER,
        _off(left, other["left"] if other else None), _where(worst, left), at,
        note="; ".join([*lost, left["words"]]),
    )  # fmt: skip


def _right(name: str) -> str:
    return name.removesuffix("_left") + "_right" if name.endswith("_left") else name


def _off(left: Mapping[str, Any], coarse: Mapping[str, Any] | None) -> float:
    """Return how far the length may be off towards its limit [mm].

    Where the air stays on that is all that it may have left; where it has left, what the panels
    say. Without end where coarser panels tell nothing.
    """
    if coarse is None or coarse["length"] is None:
        return inf
    panels = TIMES * abs(left["length"] - coarse["length"])
    return float(panels if left["length"] else max(panels, left["most"]))


def _where(state: str, left: Mapping[str, Any]) -> str:
    if left["length"]:
        return f"{state}, leaves the skin at {place(vec(left['at']))}, ahead of the mouth"
    if left["at"] is not None:
        return f"{state}, might leave the skin from {place(vec(left['at']))} on"
    return f"{state}, stays on the skin up to the mouth"
