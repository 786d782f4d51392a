"""Solving: from what is freed and asked to the values that meet it, measured after rounding."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from geomgen.solving.search.level import Level, level_of, nearest_first
from geomgen.solving.search.log import Evaluate, Log, MeasuredState, SearchProblem, Spent
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.one_key import OneKey
from geomgen.solving.search.rounding import Rounding, spare_for
from geomgen.verdicts.check import Check

# States that a search may spend on bringing limits nearer once one would do: own choice, what a
# solver without slopes takes to come within a step of the limit of a bent curve.
TRIMS, TRIMS_A_KEY = 8, 2
Status = Literal["holds", "breaks a check", "not met"]


@dataclass(frozen=True)
class Solved:
    """What came of a search.

    `former` is the state as the file has it, `answer` the best state on steps that can be built
    (None when none could be built), `gives` how far each figure may be off an asked value because
    of these steps, `between` the checks that come to their asked value between steps, `others`
    values [unit inside] of further solutions of one freed key. `spent` says that the search ended
    because no more states were allowed, `trimmed` that a state which would do was brought nearer to
    its limits for as many states as are spent on that, and could come nearer yet.
    """

    asked: SearchProblem
    former: MeasuredState
    answer: MeasuredState | None
    gives: dict[str, float]
    points: tuple[MeasuredState, ...]
    others: tuple[float, ...] = ()
    spent: bool = False
    between: frozenset[str] = frozenset()
    trimmed: bool = False

    @property
    def met(self) -> bool:
        """Whether all that is asked is met."""
        return self.answer is not None and self.answer.holds(self.gives)

    @property
    def status(self) -> Status:
        """Whether it is met, and whether every other check passes."""
        if self.answer is None or not self.met:
            return "not met"
        return "breaks a check" if self.answer.failing() else "holds"

    @property
    def unmet(self) -> tuple[FigureGap, ...]:
        """What is asked and not met by the answer."""
        return self.answer.unmet(self.gives) if self.answer is not None else ()

    @property
    def broken(self) -> tuple[Check, ...]:
        """The checks that the answer fails and that the former state did not."""
        before = {check.id for check in self.former.failing()}
        failing = self.answer.failing() if self.answer is not None else ()
        return tuple(check for check in failing if check.id not in before or not self.former.built)


def solve(
    asked: SearchProblem,
    evaluate: Evaluate,
    tell: Callable[[MeasuredState], None],
    first: Evaluate | None = None,
) -> Solved:
    """Search; never measures more states than are allowed, the former one among them.

    `first` gives first answers: they are looked at on the way, where they tell enough. The answer,
    and what is told from it, is exact. Where one proves wrong, or nothing is found that may be
    there, the search is made anew without.
    """
    log = Log(asked, evaluate, tell, first=first if asked.first_may_do else None)
    log.former()
    solved = _searched(log)
    open_ = log.first is not None and not solved.met and _may_be_there(log)
    if not (log.strayed or open_):
        return solved
    log.first = None
    return _searched(log)


def _may_be_there(log: Log) -> bool:
    """Say whether a search that found nothing may have been led astray.

    With one key it was not where the figure stays on one side of the aim: first answers tell that.
    """
    if len(log.asked.frees) > 1:
        return True
    level = level_of(log.asked)
    sides = {along < 0 for point in log.within() if (along := level.along(point)) is not None}
    return len(sides) > 1


def _searched(log: Log) -> Solved:
    asked, former = log.asked, log.former()
    # With few states allowed the search gets its share all the same.
    log.spare = min(spare_for(len(asked.frees)), max(0, (asked.evaluations - 1) // 2))
    level = level_of(asked)
    if level.firm and not any(until.way == "=" for until in level.firm):
        log.trims = TRIMS + TRIMS_A_KEY * len(asked.frees)
    found = _candidates(log, level)
    spent, trimmed = log.left <= log.spare, log.trimmed
    log.spare, log.trims = 0, None
    if level.firm and log.valid():
        valid = min(log.valid(), key=lambda point: sum(r**2 for r in level.rests(point)))
        found = [valid.values, *found] if trimmed else [*found, valid.values]
    if _unchanged(log, former, found):
        return Solved(asked, former, former, {}, tuple(log.points))
    failed = frozenset(check.id for check in former.failing())
    ended: list[tuple[Rounding, MeasuredState]] = []
    for values in found:
        rounding = Rounding(log, failed)
        best = rounding.near(values)
        if best is not None:
            ended.append((rounding, best))
            if best.holds(rounding.gives) and rounding.rank(best)[1] == 0:
                break
    return replace(_solved(log, level, former, found, ended, spent), trimmed=trimmed)


def _solved(
    log: Log,
    level: Level,
    former: MeasuredState,
    found: list[tuple[float, ...]],
    ended: list[tuple[Rounding, MeasuredState]],
    spent: bool,
) -> Solved:
    ended = [(rounding, point) for rounding, point in ended if point.built]
    if ended:
        rounding, answer = min(ended, key=lambda pair: pair[0].rank(pair[1]))
        others = _others(log, level, found, answer)
        between = frozenset(rounding.between)
        points = tuple(log.points)
        return Solved(log.asked, former, answer, rounding.gives, points, others, spent, between)
    exact = (log.written(point.texts) for point in nearest_first(log.within()))
    nearest = next((point for point in exact if point.built), None)
    return Solved(log.asked, former, nearest, {}, tuple(log.points), (), spent)


def _unchanged(log: Log, former: MeasuredState, found: list[tuple[float, ...]]) -> bool:
    """Say whether the former state is the answer: it holds and nothing aims elsewhere."""
    same = bool(found) and found[0] == former.values
    aims = any(until.way in ("=", "target") for until in log.asked.untils)
    return same and former.holds() and not aims and not log.asked.least_mass


def _candidates(log: Log, level: Level) -> list[tuple[float, ...]]:
    """Return values that meet what is asked or come nearest, the best first."""
    if len(log.asked.frees) == 1 and len(level.firm) <= 1:
        found: list[tuple[float, ...]] = [(x,) for x in OneKey(log, level).crossings()]
    else:
        from geomgen.solving.search.several_keys import many

        found = many(log, level)
    if not log.asked.least_mass or not found:
        return found
    return _lightest(log, level, found)


def _lightest(log: Log, level: Level, found: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
    from geomgen.solving.search.lightest import Lightest

    try:
        starts = [log.at(values) for values in found]
    except Spent:
        return found
    good = [point for point in starts if level.reached(point, 1e-4)]
    if not good:
        return found
    return [Lightest(log, level, good[0]).run().values, *found]


def _others(
    log: Log, level: Level, found: list[tuple[float, ...]], answer: MeasuredState
) -> tuple[float, ...]:
    """Return further solutions of one freed key, more than two steps off the answer."""
    if len(log.asked.frees) != 1:
        return ()
    apart = 2 * log.asked.frees[0].step.size
    far = [v for v in found if abs(v[0] - answer.values[0]) > apart]
    if not level.firm:
        return ()
    known = {point.values: point for point in log.points}
    good = (v for v in far if v in known and known[v].built)
    return tuple(v[0] for v in good if level.reached(log.written(known[v].texts), 1e-3))
