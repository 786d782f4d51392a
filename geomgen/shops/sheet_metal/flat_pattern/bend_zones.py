"""Bend angles in a few zones: which tabs are bent to one angle, and to which."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats

# Angles are given in steps of so many degrees: what a brake is set to (own choice).
STEP = 0.5
LETTERS = "ABCDEFGHIJKL"


@dataclass(frozen=True)
class Zone:
    """Tabs that are bent to one angle [deg]: letter and numbers."""

    name: str
    angle: float
    tabs: tuple[int, ...]

    @property
    def words(self) -> str:
        """Return the tabs' numbers, runs of them from first to last.

        >>> Zone("A", 95.0, (1, 2, 3, 7, 9, 10)).words
        '1-3, 7, 9-10'
        """
        runs: list[list[int]] = []
        for number in self.tabs:
            if runs and number == runs[-1][1] + 1:
                runs[-1][1] = number
            else:
                runs.append([number, number])
        return ", ".join(f"{a}-{b}" if b > a else str(a) for a, b in runs)


def angles_in(ideal: Floats, many: int) -> Floats:
    """Return the angle (n,) [deg] of each tab's zone, at most `many` different ones.

    The zones are those whose widest spread of ideal angles is the least; each takes the middle of
    its own, in whole steps.

    >>> angles_in(np.array([90.0, 95.1, 91.2, 94.0]), 2).tolist()
    [90.5, 94.5, 90.5, 94.5]
    """
    order = np.argsort(ideal, kind="stable")
    rising = ideal[order]
    spreads = np.unique(np.round(rising[None, :] - rising[:, None], 9))
    spreads = spreads[spreads >= 0]
    low, high = 0, len(spreads) - 1
    while low < high:
        middle = (low + high) // 2
        if len(_starts(rising, float(spreads[middle]))) <= many:
            high = middle
        else:
            low = middle + 1
    found = np.empty(len(ideal))
    starts = [*_starts(rising, float(spreads[low])), len(rising)]
    for a, b in zip(starts, starts[1:], strict=False):
        found[order[a:b]] = STEP * round((rising[a] + rising[b - 1]) / 2 / STEP)
    return found


def _starts(rising: Floats, spread: float) -> list[int]:
    """Return where groups of rising values begin that spread no further than so."""
    starts = [0]
    for i, value in enumerate(rising):
        if value - rising[starts[-1]] > spread + 1e-6:
            starts.append(i)
    return starts


def zones_of(angles: Sequence[float]) -> tuple[Zone, ...]:
    """Return the zones of tabs with such angles [deg], numbered from 1; the least angle is zone A.

    >>> [(zone.name, zone.angle, zone.words) for zone in zones_of([96.0, 96.0, 91.5])]
    [('A', 91.5, '3'), ('B', 96.0, '1-2')]
    """
    return tuple(
        Zone(letter, angle, tuple(i + 1 for i, each in enumerate(angles) if each == angle))
        for letter, angle in zip(LETTERS, sorted(set(angles)), strict=False)
    )
