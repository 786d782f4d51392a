"""Solve a free dimension for its target: every step built and measured on solids."""

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
    from geomgen.regeneration.regenerating import Regenerated
    from geomgen.regeneration.store import Store
    from geomgen.solving.search.search import Solved

FEWEST, MOST = 4, 2000
Tell = Callable[[MeasuredState], None]
Regenerate = Callable[[Parameters], "Regenerated"]


@dataclass(frozen=True)
class SolveResult:
    """What came of a search, the file that was written (None when none was), how long it took.

    `saved` says that the file that was solved from, or one that it reads, is another by now.
    """

    plan: SolvePlan
    solved: "Solved"
    file: Path | None
    seconds: float
    saved: bool = False

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
) -> SolveResult:
    """Search, measure the rounded answer, write it as a file and prove that.

    A file is written when all that is asked is met, also when another check does not pass.
    `regenerate` stands for what builds and measures a state.
    """
    started = time.perf_counter()
    plan = plan_of(question, out)
    make = regenerate or _regenerate(store)

    from geomgen.solving.search.search import solve as search

    judged: dict[tuple[str, ...], Parameters] = {}

    def evaluate(lays: Sequence[str]) -> Measured:
        p = judged[tuple(lays)] = parameters_at(plan, lays)
        state = make(p)
        return Measured(tuple(state.checks), mass_of(p, state, plan.densities))

    solved = search(plan.asked, evaluate, lambda point: tell(point, plan.asked.frees))
    saved, file = saved_meanwhile(plan), None
    if solved.met and solved.answer is not None:
        file = write_variant(plan, solved, judged[_lays(solved, solved.answer)], saved)
    return SolveResult(plan, solved, file, time.perf_counter() - started, saved)


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
