"""A study: every variant of a question measured on worker processes, then written.

First answers tell of every variant; of those that decide (`exactly_due.py`) exact ones follow.
"""

import contextlib
import functools
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.files.output_set import check_place
from geomgen.parameters import Parameters
from geomgen.processes.executors import Processes, Workers, ended, scheduled
from geomgen.processes.isolated import LIMIT, isolated
from geomgen.processes.processors import processors
from geomgen.regeneration.first import logged
from geomgen.studies.build_order import in_order
from geomgen.studies.journal import Journal, journal, key_of_variant
from geomgen.studies.progress import Planning, Progress
from geomgen.studies.row import VariantOutcome, outcome_from, tally
from geomgen.sweeping.exactly_due import due_exactly
from geomgen.sweeping.folder import write_study
from geomgen.sweeping.plan import SweepPlan, SweepQuestion, plan_of
from geomgen.sweeping.variant import VariantJob, evaluate, warm
from geomgen.sweeping.versions import versions_used
from geomgen.verdicts.first import FirstCheck

Tell = Callable[[Progress | Planning], None]
Evaluate = Callable[[Any], dict[str, Any]]
EXECUTORS = ("processes", "dask")
EXACTLY = "exact figures"
# One variant goes ahead where there are more than so many for each worker: own choice.
LITTLE_TO_DO = 2


@dataclass(frozen=True)
class How:
    """How a study is worked through; nothing here changes its answer.

    `jobs` None is one worker a core. `limit` [s] is for one variant. `store` is the folder of the
    cache. `evaluate` and `warm` are what a worker does with a job and before its first.
    """

    jobs: int | None = None
    limit: float = LIMIT
    executor: str = "processes"
    scheduler: str = ""
    store: str | None = None
    evaluate: Evaluate = evaluate
    warm: Callable[[], None] = warm


@dataclass(frozen=True)
class SweepResult:
    """A finished study: its folder, its outcomes in the order asked, how many were there before.

    `best` are the numbers of the best compromises; `absent` names that were asked for and that no
    variant has a figure of. `strayed` says which first answers the exact ones did not bear out.
    """

    folder: Path
    plan: SweepPlan
    outcomes: tuple[VariantOutcome, ...]
    best: tuple[int, ...]
    kept: int
    seconds: float
    absent: tuple[str, ...] = ()
    strayed: tuple[str, ...] = ()

    @property
    def exact(self) -> int:
        """How many variants have exact figures."""
        return sum(outcome.exact and outcome.status == "built" for outcome in self.outcomes)

    @property
    def counts(self) -> dict[str, int]:
        """How many passed, failed a check, are undecided, were refused, and so on."""
        return tally(self.outcomes)

    @property
    def passed(self) -> bool:
        """Whether at least one variant passed all its checks."""
        return any(outcome.passed for outcome in self.outcomes)

    @property
    def nothing_built(self) -> bool:
        """Whether not one variant could be built."""
        return not any(outcome.status == "built" for outcome in self.outcomes)


def sweep(
    question: SweepQuestion,
    out: str | Path = "out",
    how: How | None = None,
    tell: Tell | None = None,
) -> SweepResult:
    """Build and measure every variant, write `<out>/<name>.sweep/`, return what came of it.

    What the journal holds of the same variants, built by the same versions, is not done again.
    ParameterError for a question that is refused, FileWriteError when files can't be written.
    """
    started = time.perf_counter()
    way = how or How()
    _check(way)
    plan = plan_of(question, tell)
    name = f"{plan.base.name}.sweep"
    check_place(Path(out), name)
    with workers_of(way) as workers, journal(Path(out) / f"{name}.journal.jsonl") as book:
        study = _Study(plan, way, workers, book, tell or (lambda _: None), Path(out))
        outcomes = study.outcomes()
        best = write_study(Path(out), name, plan, outcomes)
    seconds = time.perf_counter() - started
    return SweepResult(
        Path(out) / name, plan, outcomes, best.numbers, study.kept, seconds, best.absent,
        tuple(study.strayed),
    )  # fmt: skip


def _check(how: How) -> None:
    if how.executor not in EXECUTORS:
        raise _refused("--executor", how.executor, ", ".join(EXECUTORS))
    if bool(how.scheduler) != (how.executor == "dask"):
        raise _refused(
            "--scheduler", how.scheduler or None, "with --executor dask, and only then, its address"
        )
    if how.jobs is not None and not 1 <= how.jobs <= 512:
        raise _refused("--jobs", str(how.jobs), "from 1 to 512")
    if not 0 < how.limit <= 86400:
        raise _refused("--limit", f"{how.limit:g}", "seconds, more than 0, at most 86400")


def _refused(option: str, written: str | None, allowed: str) -> ParameterError:
    return ParameterError("can't be used", file=option, written=written, allowed=allowed)


@contextmanager
def workers_of(how: How) -> Iterator[Workers]:
    """Give the workers that were asked for; they start with the first job."""
    if how.executor == "dask":
        with scheduled(how.scheduler) as found:
            yield found
    else:
        yield Processes(how.jobs or processors(), how.warm)


class _Study:
    """A study on its way: what came of each variant so far, by the key of its exact answer."""

    def __init__(
        self, plan: SweepPlan, how: How, workers: Workers, book: Journal, tell: Tell, out: Path
    ) -> None:
        self.plan, self.how, self.workers, self.book = plan, how, workers, book
        self.tell, self.out = tell, out
        self.jobs = _jobs(plan, how)
        self.keys = {number: _key(job) for number, job in self.jobs.items()}
        self.refused = {
            variant.number: VariantOutcome("refused", message=str(record))
            for variant, record in zip(plan.variants, plan.records, strict=True)
            if isinstance(record, ParameterError)
        }
        self.found: dict[str, VariantOutcome] = {}
        self.strayed: list[str] = []
        self.led = {True: False, False: False}
        self.kept = 0

    def outcomes(self) -> tuple[VariantOutcome, ...]:
        """Return the outcome of every variant, once no exact one is due any more."""
        first = not self.plan.question.exact
        self._take(self.keys.values(), first)
        self.kept = sum(key in self.found for key in self.keys.values())
        self._answer(
            self._wanted(key for key in self.keys.values() if key not in self.found), first
        )
        while due := due_exactly(self.plan, self._so_far()):
            numbers = (self.plan.variants[place].number for place in due)
            keys = dict.fromkeys(self.keys[number] for number in numbers)
            self._take(keys, first=False)
            self._answer(self._wanted(k for k in keys if not self.found[k].exact), first=False)
        return self._so_far()

    def _at_once(self) -> int:
        return max(1, self.workers.at_once())

    def _so_far(self) -> tuple[VariantOutcome, ...]:
        numbers = (variant.number for variant in self.plan.variants)
        return tuple(
            self.refused[n] if n in self.refused else self.found[self.keys[n]] for n in numbers
        )

    def _take(self, keys: Iterable[str], first: bool) -> None:
        """Take what stands in the journal, the exact before the first answers."""
        for key in keys:
            for entry in (key, _first_key(key)) if first else (key,):
                if entry in self.book.known:
                    self.found[key] = self.book.known[entry]
                    break

    def _wanted(self, keys: Iterable[str]) -> list[VariantJob]:
        """Return what is to be done, in a good order; of equal variants the first only."""
        wanted, numbers = set(keys), dict[str, int]()
        for variant in in_order(self.plan.varies, self.plan.variants):
            key = self.keys.get(variant.number)
            if key in wanted:
                numbers.setdefault(str(key), variant.number)
        return [self.jobs[number] for number in numbers.values()]

    def _answer(self, due: Sequence[VariantJob], first: bool) -> None:
        """Have jobs done; note in the journal what came of them."""
        twins = Counter(self.keys.values())
        doing = {self.keys[job.number] for job in due}
        again = "" if first or self.plan.question.exact else EXACTLY
        total = len(self.plan.variants)
        seen = Progress(
            total, total - sum(twins[key] for key in doing), self._at_once(), stage=again
        )
        seen.failing = len(self.refused) + sum(
            twins[key] for key, outcome in self.found.items() if key not in doing and _bad(outcome)
        )
        self.tell(seen)
        task = functools.partial(_isolated, self.how.warm, self.how.evaluate, self.how.limit)
        jobs = [replace(job, first=first) for job in due]
        lead = self._leads(len(jobs), first)
        with contextlib.closing(ended(task, jobs, self.workers, lead)) as finished:
            for job, end in finished:
                key, outcome = self.keys[job.number], outcome_from(end, exact=not first)
                self._hold_to_first(job, outcome)
                self.found[key] = outcome
                self.book.add(key if outcome.exact else _first_key(key), outcome)
                for _ in range(twins[key]):
                    seen.add(not _bad(outcome), outcome.seconds)
                self.tell(seen)

    def _leads(self, many: int, first: bool) -> bool:
        """Say whether one variant goes ahead: the first of its kind, where a store is shared.

        It keeps what all have in common. Where each worker has little to do that saves nothing.
        """
        led, self.led[first] = self.led[first], True
        return not led and self.how.store is not None and many > LITTLE_TO_DO * self._at_once()

    def _hold_to_first(self, job: VariantJob, exact: VariantOutcome) -> None:
        """Note, and log in the output folder, what an exact answer does not bear out."""
        first = self.found.get(self.keys[job.number])
        if first is None or not exact.exact:
            return
        checks = [FirstCheck(check, check.id not in first.waits) for check in first.checks]
        said = logged(self.out, job.parameters, checks, exact.checks)
        self.strayed += [f"variant {job.number}: {words}" for words in said]


def _bad(outcome: VariantOutcome) -> bool:
    """Say whether an outcome is neither a pass nor undecided."""
    return not (outcome.passed or outcome.undecided)


def _isolated(warm: Callable[[], None], work: Evaluate, limit: float, job: VariantJob) -> Any:
    """Do a job in a process of its own; what its worker has loaded need not be loaded in each."""
    warm()
    return isolated(work, job, limit)


def _jobs(plan: SweepPlan, how: How) -> dict[int, VariantJob]:
    store = None if how.store is None else str(Path(how.store).resolve())
    return {
        variant.number: VariantJob(variant.number, record, key, versions_used(), store)
        for variant, record, key in zip(plan.variants, plan.records, plan.fingerprints, strict=True)
        if isinstance(record, Parameters)
    }


def _key(job: VariantJob) -> str:
    return key_of_variant(job.key, dict(job.made_with))


def _first_key(key: str) -> str:
    return f"{key} first"
