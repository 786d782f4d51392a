"""Where a wing stands at a buttock line: straight edges, no incidence."""

from itertools import pairwise
from math import radians, tan
from typing import Any


def wing_at(wing: dict[str, Any], buttock_line: float) -> tuple[float, float, float]:
    """Return leading edge, waterline and chord [mm] of a wing's table at a buttock line."""
    rows = wing["sections"]
    chord = rows[0]["chord"]
    quarter, height = wing["leading_edge"] + chord / 4, wing["waterline"]
    for inner, outer in pairwise(rows):
        width = outer["buttock_line"] - inner["buttock_line"]
        out = min(buttock_line, outer["buttock_line"]) - inner["buttock_line"]
        chord = inner["chord"] + out / width * (outer["chord"] - inner["chord"])
        quarter += out * tan(radians(outer.get("sweep", 0.0)))
        height += out * tan(radians(outer.get("dihedral", 0.0)))
        if buttock_line <= outer["buttock_line"]:
            break
    return quarter - chord / 4, height, chord


def thickness(airfoil: str) -> float:
    """Return the thickness of a section by its digits, in chords.

    >>> thickness("NACA 23012")
    0.12
    """
    return int(airfoil[-2:]) / 100
