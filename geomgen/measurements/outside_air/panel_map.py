"""The solved panels as a map: what there is of each, what it is, the pressures solved on it.

Nothing is solved or smoothed here. Panels inside other bodies are gone, the tail that stands for
the air that leaves is no skin; what another part cuts has a value that nobody should read.
"""

from collections.abc import Collection, Iterator, Mapping
from typing import Any

import numpy as np

from geomgen.air.paneling.machine import Outside
from geomgen.air.potential.flow import Flow
from geomgen.arrays import Bools, Floats, Ints
from geomgen.measurements.record import Measurement

ID = "air.panels"
# What a piece of a panel is: skin, skin whose value is cut short, air that goes in.
SKIN, UNSURE, MOUTH = 0, 1, 2
KEPT = ("points", "pieces", "kinds", "sides")
# Figures are kept to a hundredth of a millimetre and a ten thousandth of the ram pressure.
MILLIMETRE, COEFFICIENT = 2, 4


def mapped(
    shown: Outside, doubtful: Bools, lone: Collection[str] = (), left: Collection[str] = ()
) -> dict[str, Any]:
    """Return by body points [mm], four of them a piece (a triangle has one twice), kinds, panels.

    `doubtful` (n,) says whose pressures another body cuts short. Of `lone` bodies there is one, of
    these the `left` ones on the left; of all others there are both sides.
    """
    facets, owner = shown.panels.facets
    kinds = np.where(doubtful, UNSURE, SKIN)
    for through in shown.mouths.values():
        kinds[through] = MOUTH
    skin = ~shown.drawn[owner]
    found = {}
    for index, name in enumerate(shown.panels.names):
        of = skin & (shown.panels.body[owner] == index)
        if of.any():
            found[name] = _body(facets.corners[of], kinds[owner[of]], owner[of])
            found[name]["sides"] = [int(name not in left), int(name not in lone or name in left)]
    return found


def _body(corners: Floats, kinds: Ints, owner: Ints) -> dict[str, Any]:
    flat = np.round(corners.reshape(-1, 3), MILLIMETRE) + 0.0
    points, number = np.unique(flat, axis=0, return_inverse=True)
    return {
        "points": points.reshape(-1).tolist(),
        "pieces": number.reshape(-1).tolist(),
        "kinds": kinds.tolist(),
        "panels": owner.tolist(),
    }


def coefficients(flow: Flow) -> list[float]:
    """Return the pressure coefficients (n,) [1] of a state that flies, as they were solved."""
    found = np.round(flow.coefficients(), COEFFICIENT) + 0.0
    return [float(each) for each in found]


def said_of_panels(answer: Mapping[str, Any], method: str) -> Iterator[Measurement]:
    """Return the map as rows of figures, by body; none where the answer has no map."""
    bodies = answer.get("map", {})
    flown = answer.get("pressures", {})
    if not bodies or not flown:
        return
    rows: list[tuple[str, tuple[float, ...]]] = []
    for name, body in bodies.items():
        rows += [(f"{what} {name}", tuple(body[what])) for what in KEPT]
        for state, solved in flown.items():
            rows.append((f"{state} {name}", tuple(solved[panel] for panel in body["panels"])))
    count = sum(len(body["kinds"]) for body in bodies.values())
    yield Measurement(
        ID, "pod", "pieces of panels whose pressures are shown", float(count), "1",
        f"{method}; by body its points in mm, four of them for each piece, what each is (0 skin, "
        "1 skin whose pressure another part cuts short, 2 where air goes in), whether it is on the "
        "right and on the left, and by state the pressure coefficient of each", rows=tuple(rows),
    )  # fmt: skip
