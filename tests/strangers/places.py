"""Where a wing stands at a buttock line: straight edges, chords taken level."""

from itertools import pairwise
from math import radians, sin, tan
from typing import Any


def wing_at(wing: dict[str, Any], buttock_line: float) -> tuple[float, float, float]:
    """Return leading edge, waterline of the quarter chord and chord [mm] at a buttock line."""
    rows = wing["sections"]
    chord = rows[0]["chord"]
    quarter, height = wing["leading_edge"] + chord / 4, wing["waterline"]
    height -= chord / 4 * sin(radians(wing.get("incidence", 0.0)))
    for inner, outer in pairwise(rows):
        width = outer["buttock_line"] - inner["buttock_line"]
        out = min(buttock_line, outer["buttock_line"]) - inner["buttock_line"]
        chord = inner["chord"] + out / width * (outer["chord"] - inner["chord"])
        quarter += out * tan(radians(outer.get("sweep", 0.0)))
        height += out * tan(radians(outer.get("dihedral", 0.0)))
        if buttock_line <= outer["buttock_line"]:
            break
    return quarter - chord / 4, height, chord


def thickness(aerofoil: str) -> float:
    """Return the thickness of a section by its digits, in chords.

    >>> thickness("NACA 23012")
    0.12
    """
    return int(aerofoil[-2:]) / 100


def camber(aerofoil: str, share: float) -> float:
    """Return about how high a section's mean line stands at a share of the chord, in chords.

    Five digits are taken for two per cent of camber far ahead.

    >>> camber("NACA 2412", 0.4), camber("NACA 2412", 1.0), camber("NACA 0012", 0.5)
    (0.02, 0.0, 0.0)
    """
    digits = aerofoil.split()[-1]
    most, place = (int(digits[0]) / 100, int(digits[1]) / 10) if len(digits) == 4 else (0.02, 0.15)
    if most == 0.0:
        return 0.0
    along = share / place if share < place else (1 - share) / (1 - place)
    return most * (2 * along - along**2)
