"""A pool of worker processes that take jobs as they become ready, and a list of such jobs.

What a job needs is sent to it, so a later job may build on what an earlier one answered. A child
that the kernel brings down costs an error that names its job, never a wait for ever.
"""

import heapq
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.connection import wait
from typing import Any, TypeVar

from geomgen.errors import FaultError, GeometryError, GeomgenError
from geomgen.processes.processors import processors
from geomgen.processes.role import may_have_children
from geomgen.processes.worker import Work, Worker

JOBS = 2
Answer = TypeVar("Answer")


@dataclass(order=True)
class PoolJob:
    """One job: heavier ones are done first; `done` gets the answer, and may add further jobs."""

    rank: tuple[float, int]
    words: str = field(compare=False)
    message: Callable[[], Any] = field(compare=False)
    done: Callable[[Any], None] = field(compare=False)


class WorkerPool:
    """Does jobs on up to `jobs` processes; `work(message)` is what a child does.

    >>> answers = []
    >>> pool = WorkerPool(str.upper, jobs=1)
    >>> pool.add("a", 1.0, lambda: "light", answers.append)
    >>> pool.add("b", 2.0, lambda: "heavy", answers.append)
    >>> pool.run()
    >>> answers
    ['HEAVY', 'LIGHT']
    """

    def __init__(self, work: Work, jobs: int = JOBS) -> None:
        self.work = work
        self.jobs = min(jobs if may_have_children() else 1, processors())
        self._ready: list[PoolJob] = []
        self._count = 0
        self._idle: list[Worker] = []
        self._busy: dict[Any, tuple[PoolJob, Worker]] = {}

    def add(
        self,
        words: str,
        weight: float,
        message: Callable[[], Any],
        done: Callable[[Any], None],
    ) -> None:
        """Add a job that is ready; `message()` is asked for when a child is free.

        The job of the largest `weight` [any unit, the same for all] is begun first.
        """
        self._count += 1
        heapq.heappush(self._ready, PoolJob((-weight, self._count), words, message, done))

    def run(self, say: Callable[[str], None] | None = None) -> None:
        """Do all jobs and those that they add; the error of the first one ends it."""
        for _ in self.steps(say):
            pass

    def steps(self, say: Callable[[str], None] | None = None) -> Iterator[None]:
        """Do what `run` does, and yield after each answer, when all children have work again."""
        try:
            self._hand_out()
            while self._ready or self._busy:
                if self.jobs < 2:
                    self._do_one(say)
                else:
                    self._take_in(say)
                    self._hand_out()
                yield
        finally:
            self._ready.clear()
            self._dismiss()

    def _do_one(self, say: Callable[[str], None] | None) -> None:
        job = heapq.heappop(self._ready)
        try:
            answer = self.work(job.message())
        except GeomgenError:
            raise
        except Exception as error:
            raise FaultError.of(error, part=job.words) from error
        job.done(answer)
        if say:
            say(job.words)

    def _hand_out(self) -> None:
        while self.jobs > 1 and self._ready and (self._idle or len(self._busy) < self.jobs):
            worker = self._idle.pop() if self._idle else Worker.free(self.work)
            job = heapq.heappop(self._ready)
            self._busy[worker.line] = (job, worker)
            try:
                worker.ask(job.message())
            except OSError:
                raise _fallen(job, worker) from None

    def _take_in(self, say: Callable[[str], None] | None) -> None:
        for line in wait(list(self._busy)):
            job, worker = self._busy.pop(line)
            try:
                answer, error = worker.answer()
            except (EOFError, OSError):
                raise _fallen(job, worker) from None
            self._idle.append(worker)
            if error is not None:
                raise _named(error, job)
            job.done(answer)
            if say:
                say(job.words)

    def _dismiss(self) -> None:
        for _, worker in self._busy.values():
            worker.end()
        for worker in self._idle:
            worker.release()
        self._idle, self._busy = [], {}


def answers(
    work: Callable[[str], Answer], names: Sequence[str], jobs: int = JOBS
) -> Iterator[tuple[str, Answer]]:
    """Do `work` for each name on up to `jobs` processes; yield name and answer as they come.

    Errors are raised as by a `WorkerPool`. In a child, which may have none of its own, or where one
    job is asked for, it is done in this process.

    >>> dict(answers(str.upper, ["a", "b"], jobs=1))
    {'a': 'A', 'b': 'B'}
    """
    pool = WorkerPool(work, min(jobs, len(names)))
    came: list[tuple[str, Answer]] = []
    for name in names:
        pool.add(name, 0.0, partial(str, name), partial(_note, came, name))
    for _ in pool.steps():
        yield from came
        came.clear()


def _note(came: list[tuple[str, Answer]], name: str, answer: Answer) -> None:
    came.append((name, answer))


def _fallen(job: PoolJob, worker: Worker) -> GeometryError:
    return GeometryError(
        f"the geometry kernel broke down in the middle of it (ended with {worker.fallen()})",
        part=job.words,
        step="a process of its own",
    )


def _named(error: GeomgenError, job: PoolJob) -> GeomgenError:
    """Return an error; a fault that does not say of what gets the words of its job."""
    return FaultError.of(error, part=job.words) if isinstance(error, FaultError) else error
