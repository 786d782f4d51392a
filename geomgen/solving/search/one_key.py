"""One freed key: where a measured figure crosses its aim."""

from collections.abc import Callable
from dataclasses import dataclass, field

from geomgen.solving.search.level import Level
from geomgen.solving.search.log import Log, Spent

# Rounds of halving the gaps between measured states, while nothing crosses.
ROUNDS = 2
CLOSER, AROUND_HOLE = 12, 6
# The root is told closer than the step of the answer by this much.
FINER = 0.25
# Below this share of the aim a level is nil.
NIL = 1e-7


class _Hole(Exception):  # noqa: N818 - a state that can't be built, on the way of a solver
    pass


class _Crossed(Exception):  # noqa: N818
    pass


@dataclass
class Line:
    """The figure along one freed key, as far as it is known: its level by value, None in holes."""

    log: Log
    level: Level
    known: dict[float, float | None] = field(default_factory=dict)

    def look(self, x: float) -> float | None:
        """Measure at a value [unit inside] and return the level there."""
        self.known[x] = self.level.along(self.log.at([x]))
        return self.known[x]

    def crossings(self) -> list[float]:
        """Return the values at which the level crosses nil, those nearest to the present first."""
        free = self.log.asked.frees[0]
        start = free.start
        inside = start is not None and free.low <= start <= free.high
        try:
            if start is not None and inside and self._enough(self.look(start)):
                return [start]
            self.look(free.low)
            self.look(free.high)
            self._halve()
            if not self.brackets() and not self._across_holes() and not self._hopeless():
                self._closer()
        except Spent:
            pass
        middle = start if start is not None else (free.low + free.high) / 2
        return self._roots(min(max(middle, free.low), free.high))

    def _enough(self, level: float | None) -> bool:
        return level is not None and (level >= 0 and not self.level.firm)

    def brackets(self) -> list[tuple[float, float]]:
        """Return neighbouring values with levels of different sign."""
        xs = sorted(self.known)
        return [(a, b) for a, b in zip(xs, xs[1:], strict=False) if self._differ(a, b)]

    def _differ(self, a: float, b: float) -> bool:
        one, other = self.known[a], self.known[b]
        return one is not None and other is not None and (one < 0) != (other < 0)

    def _halve(self) -> None:
        """Look between what is known until the level crosses nil."""
        for _ in range(ROUNDS):
            if self.log.stuck(fewest=3):
                return
            xs = sorted(self.known)
            pairs = list(zip(xs, xs[1:], strict=False))
            for a, b in sorted(pairs, key=self._promise):
                if self.brackets():
                    return
                self.look((a + b) / 2)
            if not self.brackets() and self._hopeless(far=True):
                return

    def _hopeless(self, far: bool = False) -> bool:
        """Say whether nothing speaks for a crossing between the measured states.

        The figure rises or falls all the way, and beside where it comes nearest everything could
        be built; `far` asks too that more is missing than it changes over all the bounds.
        """
        if self.log.stuck(fewest=3):
            return True
        xs = sorted(self.known)
        there = {x: level for x in xs if (level := self.known[x]) is not None}
        if not there:
            return False
        levels = list(there.values())
        moves = [b - a for a, b in zip(levels, levels[1:], strict=False)]
        even = all(move > 0 for move in moves) or all(move < 0 for move in moves)
        least = min(map(abs, levels))
        at = xs.index(min(there, key=lambda x: abs(there[x])))
        beside = xs[max(at - 1, 0) : at + 2]
        whole = all(x in there for x in beside)
        return even and whole and (not far or least > max(levels) - min(levels))

    def _promise(self, pair: tuple[float, float]) -> float:
        """Return what orders gaps: the least level at an end, holes last."""
        levels = [abs(level) for x in pair if (level := self.known[x]) is not None]
        return min(levels, default=float("inf"))

    def _across_holes(self) -> bool:
        """Look where the sign changes over states that can't be built."""
        there = [x for x in sorted(self.known) if self.known[x] is not None]
        for a, b in zip(there, there[1:], strict=False):
            if self._differ(a, b):
                self._round_hole(a, b)
        return bool(self.brackets())

    def _round_hole(self, a: float, b: float) -> None:
        """Come closer to a hole from both sides, until the sign changes on one of them."""
        for _ in range(AROUND_HOLE):
            holes = [x for x in self.known if a < x < b and self.known[x] is None]
            if not holes:
                return
            for x in ((a + min(holes)) / 2, (max(holes) + b) / 2):
                self.look(x)
            within = [x for x in sorted(self.known) if a <= x <= b]
            if any(self._differ(c, d) for c, d in zip(within, within[1:], strict=False)):
                return
            a = max((x for x in within if x < min(holes) and self._there(x)), default=a)
            b = min((x for x in within if x > max(holes) and self._there(x)), default=b)

    def _there(self, x: float) -> bool:
        return self.known[x] is not None

    def _closer(self) -> None:
        """Follow the figure to where it comes nearest; stop where it crosses."""
        from scipy.optimize import minimize_scalar

        there = {x: level for x, level in self.known.items() if level is not None}
        if not there:
            return
        best = min(there, key=lambda x: abs(there[x]))
        sign, worst = there[best] < 0, max(abs(level) for level in there.values())
        xs = sorted(self.known)
        at = xs.index(best)
        ends = (xs[max(at - 1, 0)], xs[min(at + 1, len(xs) - 1)])

        def distance(x: float) -> float:
            level = self.look(float(x))
            if level is None:
                return 2 * worst + 1.0
            if (level < 0) != sign:
                raise _Crossed
            return abs(level)

        give = self.log.asked.frees[0].step.size * FINER
        options = {"xatol": give, "maxiter": CLOSER}
        try:
            minimize_scalar(distance, bounds=ends, method="bounded", options=options)
        except _Crossed:
            return

    def _roots(self, start: float) -> list[float]:
        """Return the roots in all brackets, those nearest to `start` first, then the best known."""
        pairs = sorted(self.brackets(), key=lambda ab: min(abs(x - start) for x in ab))
        found: list[float] = []
        try:
            for a, b in pairs:
                found += self._root(a, b)
        except Spent:
            pass
        there = {x: level for x, level in self.known.items() if level is not None}
        if self.level.firm:
            best = sorted(there, key=lambda x: abs(there[x]))[:1]
        else:
            good = [x for x in there if there[x] >= 0]
            best = sorted(good, key=lambda x: abs(x - start))[:1]
            best = best or sorted(there, key=lambda x: -there[x])[:1]
        found.sort(key=lambda x: abs(x - start))
        return list(dict.fromkeys([*found, *best]))

    def _root(self, a: float, b: float) -> list[float]:
        from scipy.optimize import brentq

        give = self.log.asked.frees[0].step.size * FINER

        def level(x: float) -> float:
            known = self.look(float(x))
            if known is None:
                raise _Hole
            return 0.0 if abs(known) <= NIL else known

        try:
            return [float(brentq(level, a, b, xtol=give, maxiter=50))]
        except _Hole:
            self._round_hole(a, b)
        inner = [(c, d) for c, d in self.brackets() if a <= c and d <= b]
        return _first_root(self._root, inner)


def _first_root(
    root: Callable[[float, float], list[float]], pairs: list[tuple[float, float]]
) -> list[float]:
    for a, b in pairs:
        found = root(a, b)
        if found:
            return found
    return []
