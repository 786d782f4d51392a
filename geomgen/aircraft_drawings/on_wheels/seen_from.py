"""What every view of the standing machine is given: lines, stance, checks, letters, words."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isclose

from geomgen.aircraft_drawings.measures import Measures
from geomgen.aircraft_drawings.on_wheels.attitudes import Attitude
from geomgen.aircraft_drawings.on_wheels.stance import LoadedCentre, Stance
from geomgen.drafting.record import CENTRE, Drawing, Path, Point, line
from geomgen.kernel.visibility.look import Look
from geomgen.verdicts.check import Check

# Half of a cross at a point, over the height of the letters.
CROSS = 0.5
# A figure of the drawing may be so far off its check [mm, deg]: own choice, what is printed.
AGREE = 0.05


@dataclass(frozen=True)
class StandingMachine:
    """A machine that stands, its looks, attitudes, centres of its loadings and its checks."""

    measures: Measures
    stance: Stance
    looks: dict[str, Look]
    attitudes: tuple[Attitude, ...]
    centres: tuple[LoadedCentre, ...]
    checks: dict[str, Check] = field(default_factory=dict)

    def known(self, id_: str) -> bool:
        """Say whether a figure was measured."""
        return id_ in self.checks and self.checks[id_].measured is not None

    @property
    def fore_and_aft(self) -> tuple[LoadedCentre, ...]:
        """Return the most forward and the most aft centre; nothing where none is known."""
        if not self.centres:
            return ()
        order = sorted(self.centres, key=lambda centre: centre.at[0])
        return (order[0], order[-1])

    def disagreeing(self, drawing: Drawing) -> list[str]:
        """Return the names of dimensions whose figure is not that of the check of their name."""
        off = []
        for one in drawing.dimensions:
            check = self.checks.get(one.name)
            if check is None or check.measured is None:
                continue
            within = max(AGREE, check.error_bound or 0.0)
            if not isclose(one.measured, abs(check.measured), rel_tol=0.0, abs_tol=within):
                off.append(one.name)
        return off


def cross(at: Point, letters: float, name: str) -> tuple[Path, Path]:
    """Return the mark of a point [mm], for letters of a height [mm]."""
    (x, y), half = at, CROSS * letters
    return (
        line((x - half, y), (x + half, y), CENTRE, name),
        line((x, y - half), (x, y + half), CENTRE, name),
    )


def least_and_most(centres: Sequence[LoadedCentre], angles: Sequence[float]) -> list[LoadedCentre]:
    """Return the centres of the least and of the greatest of some angles [deg]."""
    order = sorted(range(len(centres)), key=lambda i: angles[i])
    return [centres[order[0]], centres[order[-1]]]
