"""Every state that a search had measured: once each, counted, never more than allowed.

Here alone a search gets its figures: exact ones (`at`, `written`), or those of a first answer
where these tell enough (`look`).
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from geomgen.errors import GeometryError, ParameterError
from geomgen.solving.search.free import Free
from geomgen.solving.search.missing import FigureGap, absent, gaps_of
from geomgen.solving.search.until import Until
from geomgen.verdicts.check import Check

# Figures that differ by less than this share are the same.
SAME_VALUE = 1e-9
Kind = Literal["built", "refused", "can't be built"]


@dataclass(frozen=True)
class Measured:
    """What came of one state: its checks and, where it is asked for, its mass [kg].

    Of a first answer `waits` names the checks that are not final; it is None where all is exact.
    One that tells nothing has no checks.
    """

    checks: tuple[Check, ...]
    mass: float | None = None
    waits: frozenset[str] | None = None


Evaluate = Callable[[Sequence[str]], Measured]


class Spent(Exception):  # noqa: N818 - it ends a search, it is no error
    """As many states are measured as were allowed."""


@dataclass(frozen=True)
class SearchProblem:
    """The question: what is free, what is asked, whether the mass is to be least."""

    frees: tuple[Free, ...]
    untils: tuple[Until, ...]
    least_mass: bool = False
    evaluations: int = 60

    @property
    def first_may_do(self) -> bool:
        """Whether first answers may be certain enough of what is asked.

        They tell neither every check nor a mass, and a band that is wide in any case hides all.
        """
        open_ = any(until.way == "all" or until.banded for until in self.untils)
        return not (self.least_mass or open_)


@dataclass(frozen=True)
class MeasuredState:
    """One measured state.

    `values` are those of the freed keys [unit inside], `texts` how they were written. A state that
    can't be built, or that the parameters refuse, has no checks; `problem` says why. Of a first
    answer `waits` names the checks that are not final, else it is None.
    """

    number: int
    values: tuple[float, ...]
    texts: tuple[str, ...]
    kind: Kind
    problem: str = ""
    checks: tuple[Check, ...] = ()
    gaps: tuple[FigureGap, ...] = ()
    lacking: tuple[Until, ...] = ()
    mass: float | None = None
    seconds: float = 0.0
    waits: frozenset[str] | None = None

    @property
    def exact(self) -> bool:
        """Whether all its figures are measured on solids."""
        return self.waits is None

    @property
    def told(self) -> bool:
        """Whether there is a figure with a bound for all that is asked."""
        return bool(self.gaps) and not self.lacking and all(gap.told for gap in self.gaps)

    @property
    def built(self) -> bool:
        """Whether there is anything to measure."""
        return self.kind == "built"

    @property
    def short(self) -> float:
        """How far it is from all that is asked, as a sum of shares [1]; infinite if not built."""
        if not self.built:
            return float("inf")
        return sum(gap.short for gap in self.gaps) + len(self.lacking)

    def unmet(self, gives: "dict[str, float] | None" = None) -> tuple[FigureGap, ...]:
        """Return what is not met.

        `gives` are tolerances [unit of the check] by check id where none is stated.
        """
        known = gives or {}
        return tuple(gap for gap in self.gaps if not gap.met(known.get(gap.check.id, 0.0)))

    def holds(self, gives: "dict[str, float] | None" = None) -> bool:
        """Say whether all that is asked is met; `gives` [unit of the check] as for `unmet`."""
        return self.built and not self.lacking and not self.unmet(gives)

    def failing(self) -> tuple[Check, ...]:
        """Return the checks that stop the whole, asked for or not, whatever waits."""
        return tuple(c for c in self.checks if c.stops and c.id not in (self.waits or ()))


@dataclass
class Log:
    """The states measured so far, in their order; each is measured once.

    `spare` is how many of those allowed a search leaves to the answer; `trims` how many it may
    spend once a state meets all that is asked, breaking nothing (None: as many as there are).
    `first` gives first answers; it is let go of once it proves to tell nothing of what is asked, or
    what the exact answer does not bear out (`strayed`).
    """

    asked: SearchProblem
    evaluate: Evaluate
    tell: Callable[[MeasuredState], None] = lambda point: None
    spare: int = 0
    trims: int | None = None
    first: Evaluate | None = None
    strayed: bool = False
    points: list[MeasuredState] = field(default_factory=list)
    _by_text: dict[tuple[str, ...], MeasuredState] = field(default_factory=dict)

    @property
    def left(self) -> int:
        """How many more states may be measured, the spare ones among them."""
        return self.asked.evaluations - len(self.points)

    def valid(self) -> list[MeasuredState]:
        """Return the states within the bounds that meet all and fail no check that passed before.

        In the order in which they were measured; exact ones only.
        """
        return [point for point in self.within() if point.exact and self._does(point)]

    def _does(self, point: MeasuredState) -> bool:
        before = {check.id for check in self.points[0].failing()} if self.points else set()
        return point.holds() and all(check.id in before for check in point.failing())

    @property
    def trimmed(self) -> bool:
        """Whether as many states were spent on trimming a state that would do as may be."""
        if self.trims is None:
            return False
        first = next(iter(self.valid()), None)
        return first is not None and len(self.points) - first.number >= self.trims

    def at(self, values: Sequence[float]) -> MeasuredState:
        """Return the exact state at values [unit inside]; Spent when no more may be measured."""
        return self.written(self._texts(values))

    def written(self, texts: Sequence[str]) -> MeasuredState:
        """Return the exact state at values as they are written; Spent as for `at`.

        One that is known by a first answer is measured, in its place, and counts as no other.
        """
        key = tuple(texts)
        known = self._by_text.get(key)
        if known is not None and known.exact:
            return known
        return self._exactly(key, known)

    def _exactly(self, key: tuple[str, ...], known: MeasuredState | None) -> MeasuredState:
        kept = known if key in self._by_text else None
        point = self._new(key, self.evaluate, kept)
        lost = kept is not None and not point.built
        if lost or (known is not None and _astray(known, point)):
            self.first, self.strayed = None, True
        self._keep(key, point)
        return point

    def look(self, values: Sequence[float], sure: Callable[[MeasuredState], bool]) -> MeasuredState:
        """Return the state at values [unit inside], by a first answer where that is enough.

        `sure` says so of it; the exact one is due where it does not, where what is asked has no
        first answer, and of the first state that would do. Spent as for `at`.
        """
        key = tuple(self._texts(values))
        known = self._by_text.get(key) or self._by_first(key)
        if known is not None and known.exact:
            return known
        if self.first is None or known is None or not sure(known) or self._may_do(known):
            return self._exactly(key, known)
        if key not in self._by_text:
            self._keep(key, known)
        return known

    def _by_first(self, key: tuple[str, ...]) -> MeasuredState | None:
        """Return what a first answer tells of a new state; None where that is not what is asked."""
        if self.first is None:
            return None
        point = self._new(key, self.first)
        if point.checks and not point.told:
            self.first = None
        return point if point.told else None

    def _may_do(self, point: MeasuredState) -> bool:
        """Say whether a first answer may be the state from which on states count as trimming."""
        return self.trims is not None and self._does(point) and not self.valid()

    def _texts(self, values: Sequence[float]) -> list[str]:
        return [free.written(v) for free, v in zip(self.asked.frees, values, strict=True)]

    def _new(
        self, key: tuple[str, ...], ask: Evaluate, known: MeasuredState | None = None
    ) -> MeasuredState:
        """Have a state measured: another one, or that which is known by a first answer."""
        if known is None and (self.left <= self.spare or self.trimmed):
            raise Spent
        frees = self.asked.frees
        values = tuple(f.key.number(text) for f, text in zip(frees, key, strict=True))
        lays = [f"{free.name}={text}" for free, text in zip(frees, key, strict=True)]
        whole = tuple(v if v is not None else 0.0 for v in values)
        number = len(self.points) + 1 if known is None else known.number
        return self._measured(number, whole, key, lays, ask)

    def former(self) -> MeasuredState:
        """Return the state as the file has it, with nothing replaced."""
        known = self._by_text.get(())
        if known is None:
            frees = self.asked.frees
            values = [free.start for free in frees]
            whole = tuple(v for v in values if v is not None)
            texts = tuple(free.written(v) for free, v in zip(frees, whole, strict=False))
            known = self._measured(len(self.points) + 1, whole, texts, [], self.evaluate)
            self._keep((), known)
            if len(whole) == len(frees):
                self._by_text[texts] = known
        return known

    def within(self) -> list[MeasuredState]:
        """Return the measured states whose values lie within the bounds."""
        frees = self.asked.frees
        return [
            point
            for point in self.points
            if len(point.values) == len(frees)
            and all(f.low <= v <= f.high for f, v in zip(frees, point.values, strict=True))
        ]

    def stuck(self, fewest: int) -> bool:
        """Say whether something that is asked stays unmet and unmoved in all states so far."""
        built = [point for point in self.within() if point.built]
        if len(built) < fewest:
            return False
        if any(all(until in point.lacking for point in built) for until in self.asked.untils):
            return True
        rows = [{(g.until.text, g.check.id): g for g in point.gaps} for point in built]
        exact = [point.exact for point in built]
        return any(_unmoved([row.get(key) for row in rows], exact) for key in rows[0])

    def _keep(self, key: tuple[str, ...], point: MeasuredState) -> None:
        self._by_text[key] = point
        self.points[point.number - 1 : point.number] = [point]
        self.tell(point)

    def _measured(
        self,
        number: int,
        values: tuple[float, ...],
        texts: tuple[str, ...],
        lays: Sequence[str],
        ask: Evaluate,
    ) -> MeasuredState:
        started = time.perf_counter()
        try:
            made = ask(lays)
        except (GeometryError, ParameterError) as error:
            kind: Kind = "refused" if isinstance(error, ParameterError) else "can't be built"
            seconds = time.perf_counter() - started
            return MeasuredState(number, values, texts, kind, str(error), seconds=seconds)
        untils = self.asked.untils
        return MeasuredState(
            number,
            values,
            texts,
            "built",
            "",
            made.checks,
            gaps_of(untils, made.checks),
            absent(untils, made.checks),
            made.mass,
            time.perf_counter() - started,
            made.waits,
        )


def _astray(first: MeasuredState, exact: MeasuredState) -> bool:
    """Say whether a first answer of what is asked lies beyond both bounds of the exact one."""
    known = {gap.check.id: gap.check for gap in exact.gaps}
    pairs = [(gap.check, known[gap.check.id]) for gap in first.gaps if gap.check.id in known]
    return any(
        one.measured is not None
        and other.measured is not None
        and abs(one.measured - other.measured)
        > (one.error_bound or 0.0) + (other.error_bound or 0.0)
        for one, other in pairs
    )


def _unmoved(gaps: Sequence[FigureGap | None], exact: Sequence[bool]) -> bool:
    """Say whether a figure is the same in all states, and not what is asked.

    First answers are held to each other, and to the exact ones by how far they may be off.
    """
    there = [gap for gap in gaps if gap is not None and not gap.met()]
    if len(there) < len(gaps):
        return False
    kinds = [
        [gap for gap, own in zip(there, exact, strict=True) if own is way] for way in (True, False)
    ]
    same = all(_same(kind[0], gap, SAME_VALUE) for kind in kinds for gap in kind)
    measured, first = kinds
    return same and not (measured and first and not _same(first[0], measured[0], first[0].doubt))


def _same(one: FigureGap, other: FigureGap, share: float) -> bool:
    """Say whether two figures are as good as the same, within a share [1] of the value."""
    a, b = one.check.measured, other.check.measured
    if a is None or b is None:
        return a is b
    return abs(a - b) <= share * max(1.0, abs(a), one.scale)
