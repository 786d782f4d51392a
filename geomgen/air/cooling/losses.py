"""What the air loses on its way: factors on the dynamic pressure at a section, with their sources.

All are of ducts with a quiet, even flow ahead of them. Close together or in a propeller's stream
they may be half as much again.
"""

from dataclasses import dataclass
from math import radians, sin

import numpy as np

from geomgen.errors import ParameterError
from geomgen.units import both

# Lip radius over diameter against the factor of a bell without a wall round it: Idelchik, diagram
# 3-4, in ASHRAE's table of fitting losses 1-2; PUBLISHED (table read). Nought is a sharp edge.
LIPS = (0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12, 0.16, 0.20)
ENTRIES = (1.0, 0.87, 0.74, 0.61, 0.51, 0.40, 0.32, 0.20, 0.15, 0.10, 0.06, 0.03)
# A sharp turn in a square duct, by its angle [deg]: ASHRAE Handbook, Fundamentals, 2005, CR3-6;
# PUBLISHED (table read).
SHARP_ANGLES = (0.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0)
SHARP = (0.0, 0.07, 0.16, 0.34, 0.55, 0.81, 1.2)
# A round turn of 90 deg in a square duct, by its middle radius over the width: the same, CR3-1;
# PUBLISHED (table read).
RADII = (0.5, 0.75, 1.0, 1.5, 2.0)
ROUND = (1.18, 0.44, 0.21, 0.17, 0.15)
# Other angles as a share of that at 90 deg: the same table.
ANGLES = (0.0, 20.0, 30.0, 45.0, 60.0, 75.0, 90.0, 110.0, 130.0, 150.0, 180.0)
SHARES = (0.0, 0.31, 0.45, 0.60, 0.78, 0.90, 1.0, 1.13, 1.20, 1.28, 1.40)
# From this whole angle [deg] on a growing section loses what a sudden one does.
SUDDEN = 45.0


@dataclass(frozen=True)
class PressureLoss:
    """One loss: its name, the factor [1] on the dynamic pressure at `area` [mm2], its source."""

    name: str
    factor: float
    area: float
    source: str


def entry(lip: float) -> float:
    """Return the factor [1] of air that is sucked in from rest past a lip.

    `lip` [1] is the lip's radius over the mouth's hydraulic diameter.
    Source: Idelchik, diagram 3-4. Status: PUBLISHED.

    >>> entry(0.0), entry(0.05), entry(0.3)
    (1.0, 0.4, 0.03)
    """
    return float(np.interp(_within("lip", lip, 0.0, 10.0), LIPS, ENTRIES))


def turn(angle: float, radius: float | None = None) -> float:
    """Return the factor [1] of a turn by an angle [deg].

    `radius` [1] is that of its middle over the duct's width; left out, the corner is sharp.
    Range: square ducts; a wide and low one that turns across its height loses up to a third less.
    Sharp corners beyond 90 deg grow as round ones do (own choice).
    Source: ASHRAE Handbook, Fundamentals, 2005, CR3-1 and CR3-6. Status: PUBLISHED.

    >>> turn(90.0), round(turn(45.0, 1.0), 3)
    (1.2, 0.126)
    """
    bent = _within("turn", angle, 0.0, 180.0)
    share = float(np.interp(bent, ANGLES, SHARES))
    if radius is None:
        return float(np.interp(bent, SHARP_ANGLES, SHARP)) if bent <= 90.0 else SHARP[-1] * share
    return share * float(np.interp(_within("radius", radius, 0.0, 100.0), RADII, ROUND))


def sudden_growth(ratio: float) -> float:
    """Return the factor [1] of a section that grows at once, `ratio` [1] the small over the large.

    Equation: (1 - ratio)^2. Source: Borda and Carnot, balance of momentum. Status: DERIVED.

    >>> sudden_growth(0.5), sudden_growth(0.0)
    (0.25, 1.0)
    """
    return (1.0 - _within("ratio", ratio, 0.0, 1.0)) ** 2


def growth(ratio: float, angle: float) -> float:
    """Return the factor [1] of a section that grows evenly, on the small one's dynamic pressure.

    `ratio` [1] is the small over the large area, `angle` [deg] the whole angle between its walls.
    Equation: 2.6 sin(angle/2) (1 - ratio)^2 up to 45 deg, (1 - ratio)^2 beyond.
    Source: Gibson, as in a handbook of valves and fittings. Status: MEMORY; friction left out.

    >>> round(growth(0.5, 10.0), 4), growth(0.5, 60.0)
    (0.0567, 0.25)
    """
    spread = _within("angle", angle, 0.0, 180.0)
    share = 1.0 if spread >= SUDDEN else min(1.0, 2.6 * sin(radians(spread / 2)))
    return share * sudden_growth(ratio)


def narrowing(ratio: float) -> float:
    """Return the factor [1] of a sharp narrowing on the dynamic pressure in the small section.

    `ratio` [1] is the small over the large area. Equation: 0.5 (1 - ratio).
    Source: Idelchik. Status: MEMORY.

    >>> narrowing(0.8)
    0.09999999999999998
    """
    return 0.5 * (1.0 - _within("ratio", ratio, 0.0, 1.0))


def passage(
    mouth: float,
    *,
    angle: float,
    throat: float,
    end: float,
    spread: float,
    bay: float,
    radius: float | None = None,
) -> tuple[PressureLoss, ...]:
    """Return the losses of a passage from its mouth to rest in the bay.

    Areas [mm2]: of the mouth, the throat, the passage's end and the bay across it. `angle` [deg]
    is the whole turn, taken at the throat; `spread` [deg] the angle at which the section grows
    behind it; `radius` [1] as in `turn`.

    >>> [loss.name for loss in passage(2e4, angle=60.0, throat=1.8e4, end=2.5e4, spread=15.0,
    ...     bay=1e5)]
    ['throat', 'turn', 'growth', 'into the bay']
    """
    for name, area in (("mouth", mouth), ("throat", throat), ("end", end), ("bay", bay)):
        if not area > 0:
            raise ParameterError(f"the {name} needs an area above zero", written=both(area, "area"))
    narrow = min(throat, mouth)
    wide = max(end, narrow)
    return (
        PressureLoss("throat", narrowing(narrow / mouth), narrow, "Idelchik, from memory"),
        PressureLoss("turn", turn(angle, radius), narrow, "ASHRAE fitting losses"),
        PressureLoss("growth", growth(narrow / wide, spread), narrow, "Gibson, from memory"),
        PressureLoss(
            "into the bay", sudden_growth(min(1.0, wide / bay)), wide, "Borda and Carnot, DERIVED"
        ),
    )


def _within(name: str, value: float, low: float, high: float) -> float:
    if not low <= value <= high:
        raise ParameterError(
            f"no loss is known for this {name}", written=f"{value}", allowed=f"{low:g} to {high:g}"
        )
    return value
