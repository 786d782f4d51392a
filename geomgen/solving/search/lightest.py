"""The least mass that still meets everything: a minimiser without slopes, with constraints."""

from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from geomgen.solving.search.level import Level
from geomgen.solving.search.log import Log, MeasuredState, Spent
from geomgen.solving.search.several_keys import SeveralKeys
from geomgen.verdicts.check import Check

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[Any]

FIRST, GIVE = 0.25, 1e-6
# What counts of a state that can't be built, as a share of a limit.
OUTSIDE = -0.5


class Lightest:
    """A search for the least mass from a state that meets everything, in shares of the bounds.

    What is asked has to be met, and no check may fail that passes at the start.
    """

    def __init__(self, log: Log, level: Level, start: MeasuredState) -> None:
        self.log, self.level, self.start = log, level, start
        self.many = SeveralKeys(log, level)
        failing = {check.id for check in start.failing()}
        self.kept = [
            check.id for check in start.checks if check.margin is not None and check.binding
        ]
        self.kept = [name for name in self.kept if name not in failing]
        self.good = start

    def run(self) -> MeasuredState:
        """Return the lightest state found that meets everything."""
        import numpy as np
        from scipy.optimize import NonlinearConstraint, minimize

        if not self.start.mass:
            return self.start
        frees = self.log.asked.frees
        pairs = zip(frees, self.start.values, strict=True)
        shares = np.array([(v - f.low) / f.span for f, v in pairs])
        firm = len(self._firm(self.start))
        high = np.full(len(self._room(shares)), np.inf)
        high[:firm] = 0.0
        finest = min(f.step.size / f.span for f in frees)
        last = min(max(0.2 * finest, 1e-6), 0.5 * FIRST)
        with suppress(Spent):
            minimize(
                self._mass,
                shares,
                method="COBYQA",
                bounds=[(0.0, 1.0)] * len(frees),
                constraints=[NonlinearConstraint(self._room, np.zeros_like(high), high)],
                options={
                    "initial_tr_radius": FIRST,
                    "final_tr_radius": last,
                    "maxfev": self.log.asked.evaluations,
                },
            )
        return self.best()

    def best(self) -> MeasuredState:
        """Return the lightest of all measured states that meet everything."""
        good = [p for p in self.log.within() if p.mass is not None and self.fits(p)]
        return min(good, key=lambda point: point.mass or 0.0, default=self.start)

    def fits(self, point: MeasuredState) -> bool:
        """Say whether a state meets what is asked and no check fails that did not at the start."""
        if not self.level.reached(point, 1e-4):
            return False
        rows = {check.id: check for check in point.checks}
        return all(_room(rows.get(name)) >= -GIVE for name in self.kept)

    def _at(self, shares: Sequence[float]) -> MeasuredState:
        return self.log.at(self.many.values(shares))

    def _mass(self, shares: "Floats") -> float:
        point = self._at(list(shares))
        if point.mass is None:
            # As heavy as where it can be built; that it can't be is for the constraints to say.
            return self._share(self.good)
        self.good = point
        if self._unmoved():
            raise Spent
        return self._share(point)

    def _unmoved(self) -> bool:
        """Say whether the mass stayed the same in all states of a first look round."""
        seen = [point.mass for point in self.log.points if point.mass is not None]
        enough = len(seen) >= 2 * len(self.log.asked.frees) + 2
        return enough and max(seen) - min(seen) <= GIVE * max(seen)

    def _share(self, point: MeasuredState) -> float:
        assert self.start.mass
        return (point.mass or 0.0) / self.start.mass

    def _firm(self, point: MeasuredState) -> list[float]:
        pairs = [gap for gap in point.gaps if self.level.is_firm(gap)]
        return [1.0 if gap.off is None else gap.off / gap.scale for gap in pairs]

    def _room(self, shares: "Floats") -> "Floats":
        """Return what has to be nil, then what must not be negative, as shares of the limits."""
        import numpy as np

        point = self._at(list(shares))
        many_firm = len(self._firm(self.start))
        many_soft = len([gap for gap in self.start.gaps if not self.level.is_firm(gap)])
        if not point.built:
            return np.full(many_firm + many_soft + len(self.kept), OUTSIDE)
        firm = self._firm(point)
        soft = [self.level.slack(gap) for gap in point.gaps if not self.level.is_firm(gap)]
        rows = {check.id: check for check in point.checks}
        kept = [_room(rows.get(name)) for name in self.kept]
        return np.array([*_long(firm, many_firm, 1.0), *_long(soft, many_soft, -1.0), *kept])


def _long(found: list[float], many: int, missing: float) -> list[float]:
    return [*found, *([missing] * (many - len(found)))][:many]


def _room(check: Check | None) -> float:
    """Return how far a check is inside its limits, as a share of them; -1 when it is not there."""
    if check is None or check.margin is None:
        return -1.0
    limit = max((abs(v) for v in (check.target.low, check.target.high) if v is not None), default=0)
    return (check.margin - (check.error_bound or 0.0)) / max(limit, 1.0)
