"""Solve a free dimension for its target.

Steps on the way are looked at by first answers where these tell enough; the answer is measured on
solids.
"""

import copy
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.set_too import not_set_too
from geomgen.solving.answer_file import check_answer, place_for, saved_meanwhile, write_variant
from geomgen.solving.mass import densities_of, mass_of
from geomgen.solving.question import SolvePlan, SolveQuestion
from geomgen.solving.search.free import FREE, Free, frees_of
from geomgen.solving.search.log import Measured, MeasuredState, SearchProblem
from geomgen.solving.search.until import KnownFigure, untils_of

if TYPE_CHECKING:
    from geomgen.regeneration.first import FirstAnswers
    from geomgen.regeneration.regenerating import Regenerated
    from geomgen.regeneration.store import Store
    from geomgen.solving.search.search import Solved
    from geomgen.verdicts.first import FirstCheck

FEWEST, MOST = 4, 2000
Regenerate = Callable[[Parameters], "Regenerated"]
FirstOf = Callable[[Parameters], "FirstAnswers"]


@dataclass(frozen=True)
class SolveResult:
    """What came of a search, the file that was written (None when none was), how long it took.

    `saved` says that the file that was solved from, or one that it reads, is another by now,
    `strayed` which first answers the exact ones did not bear out.
    """

    plan: SolvePlan
    solved: "Solved"
    file: Path | None
    seconds: float
    saved: bool = False
    strayed: tuple[str, ...] = ()

    @property
    def passed(self) -> bool:
        """Whether all that is asked is met and every other check passes."""
        return self.solved.status == "holds"


def plan_of(question: SolveQuestion, out: str | Path = "out") -> SolvePlan:
    """Return the plan; ParameterError or FileWriteError when the question can't be answered."""
    path = Path(question.path)
    text = decoded(read_bytes(path, LARGEST, "a parameter file"), path)
    tables, origins = read_with_bases(path)
    apply(tables, origins, list(question.overrides))
    base = records_of(copy.deepcopy(tables), dict(origins), path.parent)
    frees = frees_of(question.free, base, tables, question.steps)
    not_set_too([free.key.slot for free in frees], origins, FREE)
    untils = untils_of(question.until, known_figures(base))
    if not FEWEST <= question.evaluations <= MOST:
        raise ParameterError(
            "not a number of states to measure",
            file="--evaluations",
            written=str(question.evaluations),
            allowed=f"a whole number from {FEWEST} to {MOST}",
        )
    densities = densities_of(question.densities, base)
    asked = SearchProblem(frees, untils, question.least_mass, question.evaluations)
    place = place_for(question, base, out)
    plan = SolvePlan(question, text, base, tables, origins, asked, densities, place)
    check_answer(plan)
    return plan


def known_figures(p: Parameters) -> list[KnownFigure]:
    """Return every figure that the checks of a file have."""
    from geomgen.sizing.balance_targets import BANDED
    from geomgen.sizing.outside_air_targets import COMPUTED
    from geomgen.sizing.targets import figures

    banded = (*BANDED, *COMPUTED)
    return [KnownFigure(t.id, t.unit, t.comparison, t.id.startswith(banded)) for t in figures(p)]


def solve(
    question: SolveQuestion,
    out: str | Path = "out",
    store: "Store | None" = None,
    tell: Callable[[MeasuredState, Sequence[Free]], None] = lambda point, frees: None,
    regenerate: Regenerate | None = None,
    first: FirstOf | None = None,
) -> SolveResult:
    """Search, measure the rounded answer, write it as a file and prove that.

    A file is written when all that is asked is met, also when another check does not pass.
    `regenerate` stands for what builds and measures a state, `first` for what gives its first
    answers.
    """
    started = time.perf_counter()
    plan = plan_of(question, out)
    if regenerate is None and first is None:
        first = _first(store)
    states = _States(plan, regenerate or _regenerate(store), first, Path(out))

    from geomgen.solving.search.search import solve as search

    told = None if first is None or question.exact else states.first
    solved = search(plan.asked, states.exact, lambda point: tell(point, plan.asked.frees), told)
    saved, file = saved_meanwhile(plan), None
    if solved.met and solved.answer is not None:
        file = write_variant(plan, solved, states.judged[_lays(solved, solved.answer)], saved)
    seconds = time.perf_counter() - started
    return SolveResult(plan, solved, file, seconds, saved, tuple(states.strayed))


class _States:
    """The states of a search, by what is laid over the file: first answers, then exact ones."""

    def __init__(self, plan: SolvePlan, make: Regenerate, first: FirstOf | None, out: Path) -> None:
        self.plan, self.make, self.answers, self.out = plan, make, first, out
        self.judged: dict[tuple[str, ...], Parameters] = {}
        self.told: dict[tuple[str, ...], Sequence[FirstCheck]] = {}
        self.strayed: list[str] = []

    def first(self, lays: Sequence[str]) -> Measured:
        """Return what meshes tell of a state; no checks where that is nothing."""
        assert self.answers is not None
        found = self.answers(parameters_at(self.plan, lays))
        if found.why:
            return Measured((), waits=frozenset())
        self.told[tuple(lays)] = found.checks
        waits = frozenset(one.check.id for one in found.checks if not one.final)
        return Measured(tuple(one.check for one in found.checks), waits=waits)

    def exact(self, lays: Sequence[str]) -> Measured:
        """Return what is measured of a state; what a first answer told wrongly is logged."""
        p = self.judged[tuple(lays)] = parameters_at(self.plan, lays)
        state = self.make(p)
        told = self.told.pop(tuple(lays), ())
        if told:
            from geomgen.regeneration.first import logged

            where = ", ".join(lays)
            said = logged(self.out, p, told, state.checks)
            self.strayed += [f"{where}: {words}" for words in said]
        return Measured(tuple(state.checks), mass_of(p, state, self.plan.densities))


def _lays(solved: "Solved", point: MeasuredState) -> tuple[str, ...]:
    """Return what was laid over the file at a measured state; nothing at the former one."""
    if point is solved.former:
        return ()
    pairs = zip(solved.asked.frees, point.texts, strict=True)
    return tuple(f"{free.name}={text}" for free, text in pairs)


def parameters_at(plan: SolvePlan, lays: Sequence[str]) -> Parameters:
    """Return the records with values laid over; ParameterError when they are refused."""
    tables, origins = copy.deepcopy(dict(plan.tables)), dict(plan.origins)
    apply(tables, origins, list(lays))
    return records_of(tables, origins, Path(plan.question.path).parent)


def _regenerate(store: "Store | None") -> Regenerate:
    from geomgen.regeneration.regenerating import regenerate

    return lambda p: regenerate(p, store)


def _first(store: "Store | None") -> FirstOf:
    from geomgen.regeneration.first import first_answers

    return lambda p: first_answers(p, store)
