"""Which way the grain of the sheet is to run, where bends run all round it.

Sheet cracks sooner in a bend that runs along its grain (common practice); a flange all round has
such bends whichever way it is laid, so the way with the fewest of them is taken.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.shops.sheet_metal.flat_pattern.pattern import Tab

# A bend counts as along the grain within so many degrees of it (own choice).
ALONG = 30.0


@dataclass(frozen=True)
class Grain:
    """The way of the grain on the pattern [deg, 0 is left to right], and how many bends follow."""

    angle: float
    along: int
    bends: int

    @property
    def words(self) -> str:
        """Return what the shop has to do.

        >>> Grain(90.0, 4, 36).words
        'up and down; 4 of 36 bends run along it: bend a trial piece that way first'
        """
        way = "up and down" if self.angle else "left to right"
        if not self.along:
            return f"{way}; no bend runs along it"
        return (
            f"{way}; {self.along} of {self.bends} bends run along it: bend a trial piece that "
            "way first"
        )


def grain_of(tabs: Sequence[Tab]) -> Grain | None:
    """Return the way of the grain that the fewest bends follow; None where nothing is bent.

    >>> tall = [Tab(1, ((0.0, 0.0), (0.0, 50.0)), 90.0, 9.0, 9.0, ((0.0, 9.0), (9.0, 9.0)))]
    >>> grain_of(tall).angle
    0.0
    """
    if not tabs:
        return None
    turns = [
        math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) for a, b in (tab.bend for tab in tabs)
    ]
    counts = [
        (sum(abs((turn - angle + 90.0) % 180.0 - 90.0) <= ALONG for turn in turns), angle)
        for angle in (90.0, 0.0)
    ]
    along, angle = min(counts, key=lambda row: row[0])
    return Grain(angle, along, len(tabs))
