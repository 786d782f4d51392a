"""Several freed keys: least squares of what is missing, from several starts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from geomgen.solving.search.level import CLEAR, Level
from geomgen.solving.search.log import Log, MeasuredState, Spent

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[Any]

# A step of the slopes, as a share of the bounds: well above what a measurement's noise can do.
SHARE = 0.01
STARTS, TURNS, SEED = 4, 12, 7
# Slopes are carried along while they miss by less than this share of the rests.
FORETOLD = 0.3
# How much worse than all else a state counts that can't be built.
WORSE = 3.0


class _Reached(Exception):  # noqa: N818 - it ends a solver, it is no error
    pass


@dataclass
class SeveralKeys:
    """A search over several freed keys, in shares (0 to 1) of their bounds.

    `near` says that first answers no longer tell enough on this way down.
    """

    log: Log
    level: Level
    size: int = 0
    worst: float = 1.0
    carried: "tuple[Floats, Floats, Floats] | None" = None
    carries: int = 0
    near: bool = False

    def run(self) -> list[tuple[float, ...]]:
        """Return the best values found [unit inside], of each start, the best first."""
        try:
            for start in self._starts():
                self._from(start)
                if any(self.level.reached(point, 1e-4) for point in self.log.within()):
                    break
                if self.log.stuck(fewest=len(self.log.asked.frees) + 1):
                    break
        except Spent:
            pass
        inside = [point for point in self.log.within() if point.built]
        return [point.values for point in sorted(inside, key=self._norm)[:1]]

    def values(self, shares: "Sequence[float] | Floats") -> list[float]:
        """Return the values [unit inside] at shares of the bounds."""
        frees = self.log.asked.frees
        return [
            min(max(f.low + float(u) * f.span, f.low), f.high)
            for f, u in zip(frees, shares, strict=True)
        ]

    def _starts(self) -> Iterator[Any]:
        """Yield the present values, then the best of points spread evenly over the bounds."""
        from scipy.stats import qmc

        frees = self.log.asked.frees
        yield [
            0.5 if f.start is None else min(max((f.start - f.low) / f.span, 0.0), 1.0)
            for f in frees
        ]
        spread = qmc.Halton(len(frees), rng=SEED)
        for _ in range(STARTS - 1):
            self.near = False
            row = spread.random(2 * len(frees) + 1)
            points = [(self._seen(shares), shares) for shares in row]
            built = [(self._norm(point), i) for i, (point, _) in enumerate(points) if point.built]
            if built:
                yield row[min(built)[1]]

    def _seen(self, shares: "Sequence[float] | Floats") -> MeasuredState:
        values = self.values(shares)
        return self.log.at(values) if self.near else self.log.look(values, self._clear)

    def _clear(self, point: MeasuredState) -> bool:
        self.near = not self.level.clear(point)
        return not self.near

    def _norm(self, point: MeasuredState) -> float:
        return sum(rest**2 for rest in self.level.rests(point)) if point.built else float("inf")

    def _rests(self, shares: "Sequence[float] | Floats", exact: bool = False) -> "Floats | None":
        import numpy as np

        values = self.values(shares)
        point = self.log.at(values) if exact else self._seen(shares)
        if not point.built:
            return None
        if self.level.reached(point) or (not self.level.firm and point.holds()):
            raise _Reached
        rests = self.level.rests(point)
        self.size = max(self.size, len(rests))
        padded = np.array([*rests, *([1.0] * (self.size - len(rests)))])[: self.size]
        self.worst = max(self.worst, float(np.linalg.norm(padded)))
        return padded

    def _from(self, start: Sequence[float]) -> None:
        """Go down from a start; once more with fresh slopes where carried ones ended it."""
        try:
            if self._rests(start) is None:
                return
            self.carried = None
            if self._down(start):
                self.carried = None
                best = min((p for p in self.log.within() if p.built), key=self._norm)
                frees = self.log.asked.frees
                pairs = zip(frees, best.values, strict=True)
                self._down([(value - free.low) / free.span for free, value in pairs])
        except _Reached:
            return

    def _down(self, start: Sequence[float]) -> bool:
        """Go down; say whether slopes were carried along on the way."""
        import numpy as np
        from scipy.optimize import least_squares

        finest = min(f.step.size / f.span for f in self.log.asked.frees)
        self.carries = 0
        least_squares(
            lambda u: self._or_worse(self._rests(u)),
            np.clip(start, 1e-9, 1 - 1e-9),
            jac=self._slopes,
            bounds=(0.0, 1.0),
            xtol=max(1e-8, 0.1 * finest),
            ftol=1e-12,
            gtol=1e-12,
            max_nfev=TURNS,
        )
        return self.carries > 0

    def _or_worse(self, rests: "Floats | None") -> "Floats":
        import numpy as np

        if rests is not None:
            return rests
        return np.full(self.size, WORSE * self.worst / np.sqrt(self.size))

    def _slopes(self, shares: "Floats") -> "Floats":
        """Return the slopes, (rests, keys).

        While they foretell what is measured they are carried along (Broyden's update), which takes
        no state to measure.
        """
        import numpy as np

        here = self._or_worse(self._rests(shares))
        slopes = self._carried(shares, here)
        if slopes is None:
            slopes = np.column_stack([self._slope(shares, i, here) for i in range(len(shares))])
        self.carried = (np.array(shares, dtype=float), here, slopes)
        return slopes

    def _carried(self, shares: "Floats", here: "Floats") -> "Floats | None":
        import numpy as np

        if self.carried is None:
            return None
        before, rests, slopes = self.carried
        move = np.asarray(shares) - before
        length = float(move @ move)
        if not length or len(rests) != len(here):
            return None
        missed = here - rests - slopes @ move
        if np.linalg.norm(missed) > FORETOLD * np.linalg.norm(rests):
            return None
        self.carries += 1
        return np.asarray(slopes + np.outer(missed, move) / length)

    def _slope(self, shares: "Floats", i: int, here: "Floats") -> "Floats":
        """Return the slopes along one key; a step that can't be built is taken the other way."""
        import numpy as np

        free = self.log.asked.frees[i]
        width = min(max(SHARE, free.step.size / free.span), 0.25)
        for step in (width, -width) if shares[i] < 0.5 else (-width, width):
            other = np.array(shares, dtype=float)
            other[i] += step
            if 0.0 <= other[i] <= 1.0:
                rests = self._rests(other)
                if rests is not None and self._blurred(shares, other, rests - here):
                    self.near = True
                    here = self._or_worse(self._rests(shares, exact=True))
                    rests = self._rests(other, exact=True)
                if rests is not None:
                    return np.asarray((rests - here) / step)
        return np.zeros_like(here)

    def _blurred(self, one: "Floats", other: "Floats", change: "Floats") -> bool:
        """Say whether first answers do not tell a change of the rests; none at all is told."""
        import numpy as np

        doubts = [self.level.doubts(self._seen(shares)) for shares in (one, other)]
        doubt = np.sum([np.pad(d, (0, len(change) - len(d))) for d in doubts], axis=0)
        return bool(np.any((change != 0.0) & (doubt * CLEAR > abs(change))))


def many(log: Log, level: Level) -> list[tuple[float, ...]]:
    """Return the best values found for several freed keys [unit inside]."""
    return SeveralKeys(log, level).run()
