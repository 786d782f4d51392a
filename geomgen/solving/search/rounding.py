"""The answer on steps that a builder can build, measured again there."""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from geomgen.solving.search.log import Log, MeasuredState, Spent
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.one_key import NIL

# With more freed keys than this, not every corner round a value is measured.
CORNERS, LIGHTER = 3, 10
# A figure comes to an asked value between the steps when it is this near, as a share of what may
# be off on a step: over a jump it stays on one side.
REACHED = 0.5
Counts = tuple[int, ...]


def spare_for(keys: int) -> int:
    """Return how many measured states a search has to leave for the rounding.

    >>> [spare_for(keys) for keys in (1, 2, 5)]
    [3, 5, 7]
    """
    return (2**keys if keys <= CORNERS else keys + 1) + 1


@dataclass
class Rounding:
    """States on the steps round values that a search found.

    `former` names the checks that failed before; `gives` is, by check, how far a figure may be off
    an asked value because of the steps: half of what one step of every key changes. It is given
    only to figures that come to the asked value where the search ended (`between`).
    """

    log: Log
    former: frozenset[str]
    gives: dict[str, float] = field(default_factory=dict)
    between: set[str] = field(default_factory=set)
    at: dict[Counts, MeasuredState] = field(default_factory=dict)

    def near(self, values: Sequence[float]) -> MeasuredState | None:
        """Return the best state on steps round values [unit inside]; None when none is measured."""
        where = self._round(values)
        try:
            root = self.log.at(values)
        except Spent:
            return self.best()
        try:
            for counts in where:
                point = self._look(counts)
                if self._done(point):
                    break
            self._take_gives(where, root)
            if not any(point.holds(self.gives) for point in self.at.values()):
                self._further(where)
            if self.log.asked.least_mass:
                self._lighter()
        except Spent:
            pass
        self._take_gives(where, root)
        return self.best()

    def best(self) -> MeasuredState | None:
        """Return the best state on steps so far."""
        return min(self.at.values(), key=self.rank, default=None)

    def rank(self, point: MeasuredState) -> tuple[float, ...]:
        """Return what orders states: met, nothing broken [1], light [kg], little missing [1]."""
        if not point.built:
            return (9.0,)
        broken = [check for check in point.failing() if check.id not in self.former]
        holds = point.holds(self.gives)
        mass = 0.0
        if self.log.asked.least_mass:
            mass = float("inf") if point.mass is None else point.mass
        off = sum(gap.short for gap in point.gaps if not gap.limited)
        # Among states that hold, the nearest to what is aimed at.
        missing = off if holds else point.short
        return (0.0 if holds else 1.0, float(len(broken)), mass if holds else 0.0, missing)

    def _look(self, counts: Counts) -> MeasuredState:
        frees = self.log.asked.frees
        if counts not in self.at:
            texts = [free.on_step(n) for free, n in zip(frees, counts, strict=True)]
            self.at[counts] = self.log.written(texts)
        return self.at[counts]

    def _done(self, point: MeasuredState) -> bool:
        """Say whether no other corner has to be looked at."""
        asked = self.log.asked
        exact = any(until.way == "=" and until.give is None for until in asked.untils)
        if exact or asked.least_mass:
            return False
        return point.holds() and all(check.id in self.former for check in point.failing())

    def _round(self, values: Sequence[float]) -> list[Counts]:
        """Return the steps round values, the nearest first."""
        frees = self.log.asked.frees
        exact = [v / free.step.size for free, v in zip(frees, values, strict=True)]
        sides: list[list[int]] = []
        for free, n in zip(frees, exact, strict=True):
            low, high = free.counts()
            down = min(max(int(n // 1), low), high)
            up = min(down + 1, high)
            if abs(n - round(n)) < 1e-6:
                down = min(max(round(n), low), high)
                up = min(down + 1, high)
            sides.append([down, up] if abs(n - down) <= abs(n - up) else [up, down])
        if len(frees) <= CORNERS:
            every = list(dict.fromkeys(itertools.product(*sides)))
            return sorted(every, key=lambda row: _distance(row, exact))
        nearest = tuple(side[0] for side in sides)
        moved = [(*nearest[:i], side[1], *nearest[i + 1 :]) for i, side in enumerate(sides)]
        return list(dict.fromkeys([nearest, *moved]))

    def _take_gives(self, where: Sequence[Counts], root: MeasuredState) -> None:
        """Take half of what one step of every key changes, for figures that `root` brings to it."""
        nearest = where[0]
        here = self.at.get(nearest)
        if here is None or not here.built:
            return
        total: dict[str, float] = {}
        for counts in where:
            moved = sum(a != b for a, b in zip(counts, nearest, strict=True))
            other = self.at.get(counts)
            if moved == 1 and other is not None and other.built:
                for name, change in _changes(here, other).items():
                    total[name] = total.get(name, 0.0) + change
        halves = {name: 0.5 * change * (1 + 1e-9) for name, change in total.items()}
        firm = [gap for gap in root.gaps if gap.until.way == "="]
        found = {g.check.id: max(halves.get(g.check.id, 0.0), NIL * g.scale) for g in firm}
        self.between = {g.check.id for g in firm if _comes_to(g, found[g.check.id])}
        self.gives = {name: half for name, half in found.items() if name in self.between}

    def _further(self, where: Sequence[Counts]) -> None:
        """Look one step further round the best corner, for none of the corners holds."""
        known = {point.number: counts for counts, point in self.at.items()}
        best = self.best()
        if best is None or not best.built:
            return
        middle = known[best.number]
        for counts in self._round_about(middle):
            point = self._look(counts)
            if point.holds(self.gives) and self.rank(point)[1] == 0:
                return

    def _round_about(self, middle: Counts) -> list[Counts]:
        found = []
        for i, free in enumerate(self.log.asked.frees):
            low, high = free.counts()
            for move in (-1, 1):
                if low <= middle[i] + move <= high:
                    found.append((*middle[:i], middle[i] + move, *middle[i + 1 :]))
        return found

    def _lighter(self) -> None:
        """Go on step by step while that is lighter and everything still holds."""
        for _ in range(LIGHTER):
            best = self.best()
            if best is None or not best.holds(self.gives):
                return
            (middle,) = (counts for counts, point in self.at.items() if point is best)
            for counts in self._round_about(middle):
                self._look(counts)
            if self.best() is best:
                return


def _distance(row: Counts, exact: Sequence[float]) -> float:
    return sum((a - b) ** 2 for a, b in zip(row, exact, strict=True))


def _comes_to(gap: FigureGap, half: float) -> bool:
    if gap.off is None:
        return False
    near = max(gap.noise, NIL * gap.scale, REACHED * gap.tolerance(half))
    return gap.met() or abs(gap.off) <= near


def _changes(one: MeasuredState, other: MeasuredState) -> Mapping[str, float]:
    before = {gap.check.id: gap.check.measured for gap in one.gaps}
    found: dict[str, float] = {}
    for gap in other.gaps:
        was, now = before.get(gap.check.id), gap.check.measured
        if was is not None and now is not None:
            found[gap.check.id] = abs(now - was)
    return found
