"""Every state that a search had measured: once each, counted, never more than allowed."""

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
    """What came of one state: its checks and, where it is asked for, its mass [kg]."""

    checks: tuple[Check, ...]
    mass: float | None = None


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


@dataclass(frozen=True)
class MeasuredState:
    """One measured state.

    `values` are those of the freed keys [unit inside], `texts` how they were written. A state that
    can't be built, or that the parameters refuse, has no checks; `problem` says why.
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
        """Return the checks that stop the whole, asked for or not."""
        return tuple(check for check in self.checks if check.stops)


@dataclass
class Log:
    """The states measured so far, in their order; each is measured once.

    `spare` is how many of those allowed a search leaves to the answer; `trims` how many it may
    spend once a state meets all that is asked, breaking nothing (None: as many as there are).
    """

    asked: SearchProblem
    evaluate: Evaluate
    tell: Callable[[MeasuredState], None] = lambda point: None
    spare: int = 0
    trims: int | None = None
    points: list[MeasuredState] = field(default_factory=list)
    _by_text: dict[tuple[str, ...], MeasuredState] = field(default_factory=dict)

    @property
    def left(self) -> int:
        """How many more states may be measured, the spare ones among them."""
        return self.asked.evaluations - len(self.points)

    def valid(self) -> list[MeasuredState]:
        """Return the states within the bounds that meet all and fail no check that passed before.

        In the order in which they were measured.
        """
        before = {check.id for check in self.points[0].failing()} if self.points else set()
        return [
            point
            for point in self.within()
            if point.holds() and all(check.id in before for check in point.failing())
        ]

    @property
    def trimmed(self) -> bool:
        """Whether as many states were spent on trimming a state that would do as may be."""
        if self.trims is None:
            return False
        first = next(iter(self.valid()), None)
        return first is not None and len(self.points) - first.number >= self.trims

    def at(self, values: Sequence[float]) -> MeasuredState:
        """Return the state at values [unit inside]; Spent when no more may be measured."""
        frees = self.asked.frees
        return self.written([free.written(v) for free, v in zip(frees, values, strict=True)])

    def written(self, texts: Sequence[str]) -> MeasuredState:
        """Return the state at values as they are written; Spent when no more may be measured."""
        key = tuple(texts)
        known = self._by_text.get(key)
        if known is not None:
            return known
        if self.left <= self.spare or self.trimmed:
            raise Spent
        frees = self.asked.frees
        values = tuple(f.key.number(text) for f, text in zip(frees, key, strict=True))
        lays = [f"{free.name}={text}" for free, text in zip(frees, key, strict=True)]
        point = self._measured(tuple(v if v is not None else 0.0 for v in values), key, lays)
        self._keep(key, point)
        return point

    def former(self) -> MeasuredState:
        """Return the state as the file has it, with nothing replaced."""
        known = self._by_text.get(())
        if known is None:
            frees = self.asked.frees
            values = [free.start for free in frees]
            whole = tuple(v for v in values if v is not None)
            texts = tuple(free.written(v) for free, v in zip(frees, whole, strict=False))
            known = self._measured(whole, texts, [])
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
        return any(_unmoved([row.get(key) for row in rows]) for key in rows[0])

    def _keep(self, key: tuple[str, ...], point: MeasuredState) -> None:
        self._by_text[key] = point
        self.points.append(point)
        self.tell(point)

    def _measured(
        self, values: tuple[float, ...], texts: tuple[str, ...], lays: Sequence[str]
    ) -> MeasuredState:
        number, started = len(self.points) + 1, time.perf_counter()
        try:
            made = self.evaluate(lays)
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
        )


def _unmoved(gaps: Sequence[FigureGap | None]) -> bool:
    """Say whether a figure is the same in all states, and not what is asked."""
    first, *rest = gaps
    if first is None or first.met():
        return False
    value = first.check.measured
    give = SAME_VALUE * max(1.0, abs(value or 0.0))
    return all(
        gap is not None
        and not gap.met()
        and (gap.check.measured is None) == (value is None)
        and abs((gap.check.measured or 0.0) - (value or 0.0)) <= give
        for gap in rest
    )
