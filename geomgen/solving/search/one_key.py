"""One freed key: where a measured figure crosses its aim."""

from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from geomgen.solving.search.level import Level
from geomgen.solving.search.log import Log, MeasuredState, Spent

if TYPE_CHECKING:
    from numpy.typing import NDArray

# States to look at between the bounds, while nothing crosses; rounds of them beside a hole.
BETWEEN, AROUND_HOLE = 14, 6
# With fewer states than these known nothing is hopeless, or only what stays far off, or whatever
# can't be built anywhere.
FEW, SOME, NONE = 4, 6, 9
# The root is told closer than the step of the answer by this much.
FINER = 0.25
# Below this share of the aim a level is nil.
NIL = 1e-7


class _Hole(Exception):  # noqa: N818 - a state that can't be built, on the way of a solver
    pass


class _Ended(Exception):  # noqa: N818
    pass


@dataclass
class OneKey:
    """The figure along one freed key, as far as it is known: its level by value, None in holes."""

    log: Log
    level: Level
    known: dict[float, float | None] = field(default_factory=dict)

    def look(self, x: float) -> float | None:
        """Measure at a value [unit inside] and return the level there."""
        return self._take(x, self.log.look([x], self.level.side_sure))

    def _take(self, x: float, point: MeasuredState) -> float | None:
        self.known[x] = self.level.along(point)
        return self.known[x]

    def crossings(self) -> list[float]:
        """Return the values [unit inside] at which the level is nil, the nearest to now first."""
        free = self.log.asked.frees[0]
        start = free.start
        inside = start is not None and free.low <= start <= free.high
        try:
            if start is not None and inside and self._enough(self.look(start)):
                return [start]
            self.look(free.low)
            self.look(free.high)
            self._between()
        except Spent:
            pass
        middle = start if start is not None else (free.low + free.high) / 2
        return self._roots(min(max(middle, free.low), free.high))

    def _enough(self, level: float | None) -> bool:
        return level is not None and (level >= 0 and not self.level.firm)

    def brackets(self, over_holes: bool = False) -> list[tuple[float, float]]:
        """Return neighbouring values [unit inside] with levels of different sign, holes or not."""
        xs = list(self._there()) if over_holes else sorted(self.known)
        return [(a, b) for a, b in zip(xs, xs[1:], strict=False) if self._differ(a, b)]

    def _differ(self, a: float, b: float) -> bool:
        one, other = self.known[a], self.known[b]
        return one is not None and other is not None and (one < 0) != (other < 0)

    def _there(self) -> dict[float, float]:
        """Return the levels that are known, in the order of their values."""
        return {x: level for x in sorted(self.known) if (level := self.known[x]) is not None}

    def _between(self) -> None:
        """Look between the bounds where the level may come to nil, until it crosses."""
        from scipy.optimize import direct

        free = self.log.asked.frees[0]
        hole = 1.0 + 2 * max(map(abs, self._there().values()), default=0.0)

        def distance(x: "NDArray[Any]") -> float:
            level = self.look(float(x[0]))
            if self._ended():
                raise _Ended
            return hole if level is None else abs(level)

        if not self._ended():
            finest = min(free.step.size * FINER / free.span, 1.0)
            with suppress(_Ended):
                direct(distance, [(free.low, free.high)], maxfun=BETWEEN, len_tol=finest)
            self._towards_hole()

    def _towards_hole(self) -> None:
        """Come closer to a hole beside the best state: a crossing may hide close behind it."""
        for _ in range(AROUND_HOLE):
            there = self._there()
            if not there or self.brackets(over_holes=True):
                return
            xs = sorted(self.known)
            at = xs.index(best := min(there, key=lambda x: abs(there[x])))
            holes = [x for x in xs[max(at - 1, 0) : at + 2] if x not in there]
            if not holes:
                return
            self.look((best + holes[0]) / 2)

    def _ended(self) -> bool:
        """Say whether the level crosses nil, or nothing speaks for a crossing.

        The figure rises or falls all the way, and beside where it comes nearest everything could
        be built; while few states are known, more is missing too than it changes over the bounds.
        """
        there = self._there()
        if self.brackets(over_holes=True) or self.log.stuck(fewest=3):
            return True
        if not there or len(self.known) < FEW:
            return len(self.known) >= NONE
        xs, levels = sorted(self.known), list(there.values())
        moves = [b - a for a, b in zip(levels, levels[1:], strict=False)]
        even = all(move > 0 for move in moves) or all(move < 0 for move in moves)
        least = min(map(abs, levels))
        at = xs.index(min(there, key=lambda x: abs(there[x])))
        whole = all(x in there for x in xs[max(at - 1, 0) : at + 2])
        far = least > max(levels) - min(levels)
        return even and whole and (far or len(self.known) >= SOME)

    def _slope(self, a: float, x: float, b: float) -> float:
        """Return the lesser slope of the level towards either end [1/unit inside]."""
        here, low, high = self.known[x], self.known[a], self.known[b]
        if here is None or low is None or high is None or not a < x < b:
            return 0.0
        return min(abs(here - low) / (x - a), abs(high - here) / (b - x))

    def _round_hole(self, a: float, b: float) -> None:
        """Come closer to a hole from both sides, until the sign changes on one of them."""
        for _ in range(AROUND_HOLE):
            holes = [x for x in self.known if a < x < b and self.known[x] is None]
            if not holes:
                return
            for x in ((a + min(holes)) / 2, (max(holes) + b) / 2):
                self.look(x)
            if self._within(a, b):
                return
            there = [x for x in self._there() if a <= x <= b]
            a = max(x for x in there if x < min(holes))
            b = min(x for x in there if x > max(holes))

    def _within(self, a: float, b: float) -> list[tuple[float, float]]:
        return [(c, d) for c, d in self.brackets() if a <= c and d <= b]

    def _roots(self, start: float) -> list[float]:
        """Return the roots in all brackets, those nearest to `start` first, then the best known."""
        pairs = self.brackets() or self.brackets(over_holes=True)
        found: list[float] = []
        try:
            for a, b in sorted(pairs, key=lambda ab: min(abs(x - start) for x in ab)):
                found += self._root(a, b)
        except Spent:
            pass
        there, firm = self._there(), self.level.firm
        nearest = sorted(there, key=lambda x: abs(x - start))
        best = sorted(nearest, key=lambda x: abs(there[x]) if firm else max(0.0, -there[x]))[:1]
        found.sort(key=lambda x: abs(x - start))
        return list(dict.fromkeys([*found, *best]))

    def _root(self, a: float, b: float) -> list[float]:
        """Return a root between levels of different sign; none where it would lie in a hole.

        Once a first answer does not tell the side there, the rest is measured exactly at once, and
        an exact figure that is off by less than `give` changes is a root.
        """
        from scipy.optimize import brentq

        near = False

        def level(x: float) -> float:
            nonlocal near
            point = self.log.at([x]) if near else self.log.look([x], self.level.side_sure)
            near = near or (a < x < b and point.exact)
            known = self._take(float(x), point)
            if known is None:
                raise _Hole
            quick = near and self.log.first is not None
            enough = give * self._slope(a, x, b) if quick else NIL
            return 0.0 if abs(known) <= max(enough, NIL) else known

        give = self.log.asked.frees[0].step.size * FINER
        if not any(a < x < b and level is None for x, level in self.known.items()):
            with suppress(_Hole):
                return [float(brentq(level, a, b, xtol=give, maxiter=50))]
        self._round_hole(a, b)
        return next(filter(None, (self._root(c, d) for c, d in self._within(a, b))), [])
