"""A study: every variant of a question built and measured on worker processes, then written."""

import contextlib
import functools
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.files.output_set import check_place
from geomgen.parameters import Parameters
from geomgen.processes.executors import Processes, Workers, ended, scheduled
from geomgen.processes.isolated import LIMIT, isolated
from geomgen.processes.processors import processors
from geomgen.studies.build_order import in_order
from geomgen.studies.journal import Journal, journal, key_of_variant
from geomgen.studies.progress import Planning, Progress
from geomgen.studies.row import VariantOutcome, outcome_from, tally
from geomgen.sweeping.folder import write_study
from geomgen.sweeping.plan import SweepPlan, SweepQuestion, plan_of
from geomgen.sweeping.variant import VariantJob, evaluate, warm
from geomgen.sweeping.versions import versions_used

Tell = Callable[[Progress | Planning], None]
Evaluate = Callable[[Any], dict[str, Any]]
EXECUTORS = ("processes", "dask")


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
    variant has a figure of.
    """

    folder: Path
    plan: SweepPlan
    outcomes: tuple[VariantOutcome, ...]
    best: tuple[int, ...]
    kept: int
    seconds: float
    absent: tuple[str, ...] = ()

    @property
    def counts(self) -> dict[str, int]:
        """How many passed, failed a check, were refused, could not be built, and so on."""
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
        outcomes, kept = _outcomes(plan, way, workers, book, tell or (lambda _: None))
        best = write_study(Path(out), name, plan, outcomes)
    seconds = time.perf_counter() - started
    return SweepResult(Path(out) / name, plan, outcomes, best.numbers, kept, seconds, best.absent)


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


def _outcomes(
    plan: SweepPlan, how: How, workers: Workers, book: Journal, tell: Tell
) -> tuple[tuple[VariantOutcome, ...], int]:
    """Return the outcome of every variant, and how many stood in the journal."""
    jobs = _jobs(plan, how)
    refused = {
        variant.number: VariantOutcome("refused", message=str(record))
        for variant, record in zip(plan.variants, plan.records, strict=True)
        if isinstance(record, ParameterError)
    }
    keys = {number: _key(job) for number, job in jobs.items()}
    before = {key: book.known[key] for key in set(keys.values()) if key in book.known}
    kept = sum(key in before for key in keys.values())
    seen = Progress(len(plan.variants), kept + len(refused), max(1, workers.at_once()))
    seen.failing = len(refused) + sum(not before[k].passed for k in keys.values() if k in before)
    tell(seen)
    found, twins = dict(before), Counter(keys.values())
    due = _due(plan, jobs, keys, before)
    task = functools.partial(_isolated, how.evaluate, how.limit)
    with contextlib.closing(ended(task, due, workers)) as finished:
        for job, end in finished:
            key = keys[job.number]
            outcome = found[key] = outcome_from(end)
            book.add(key, outcome)
            for _ in range(twins[key]):
                seen.add(outcome.passed, outcome.seconds)
            tell(seen)
    numbers = (variant.number for variant in plan.variants)
    return tuple(refused[n] if n in refused else found[keys[n]] for n in numbers), kept


def _isolated(work: Evaluate, limit: float, job: VariantJob) -> Any:
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


def _due(
    plan: SweepPlan,
    jobs: Mapping[int, VariantJob],
    keys: Mapping[int, str],
    before: Mapping[str, VariantOutcome],
) -> list[VariantJob]:
    """Return what is to be done, in a good order; of equal variants the first only."""
    numbers: dict[str, int] = {}
    for variant in in_order(plan.varies, plan.variants):
        number = variant.number
        if number in jobs and keys[number] not in before:
            numbers.setdefault(keys[number], number)
    return [jobs[number] for number in numbers.values()]
