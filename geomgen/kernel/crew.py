"""A crew of forked processes that take jobs as they become ready, and a list of such jobs.

What a job needs is sent to it, so a later job may build on what an earlier one answered. A child
that the kernel brings down costs an error that names its job, never a wait for ever.
"""

import heapq
import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.connection import Connection, wait
from multiprocessing.reduction import ForkingPickler
from typing import Any, TypeVar

from geomgen.errors import FaultError, GeometryError, GeomgenError
from geomgen.kernel import forked
from geomgen.processes.children import be_child_of, held_back, parent_of_this

Work = Callable[[Any], Any]
Answer = TypeVar("Answer")


@dataclass(order=True)
class Job:
    """One job: heavier ones are done first; `done` gets the answer, and may add further jobs."""

    rank: tuple[float, int]
    words: str = field(compare=False)
    message: Callable[[], Any] = field(compare=False)
    done: Callable[[Any], None] = field(compare=False)


class Crew:
    """Does jobs on up to `jobs` processes; `work(message)` is what a child does.

    >>> answers = []
    >>> crew = Crew(str.upper, jobs=1)
    >>> crew.add("a", 1.0, lambda: "light", answers.append)
    >>> crew.add("b", 2.0, lambda: "heavy", answers.append)
    >>> crew.run()
    >>> answers
    ['HEAVY', 'LIGHT']
    """

    def __init__(self, work: Work, jobs: int = forked.JOBS) -> None:
        self.work = work
        self.jobs = jobs if forked.may_fork() else 1
        self.jobs = min(self.jobs, len(os.sched_getaffinity(0)))
        self._ready: list[Job] = []
        self._count = 0
        self._idle: list[tuple[Connection, Any]] = []
        self._busy: dict[Connection, tuple[Job, Any]] = {}

    def add(
        self,
        words: str,
        weight: float,
        message: Callable[[], Any],
        done: Callable[[Any], None],
    ) -> None:
        """Add a job that is ready; `message()` is asked for when a child is free."""
        self._count += 1
        heapq.heappush(self._ready, Job((-weight, self._count), words, message, done))

    def run(self, say: Callable[[str], None] | None = None) -> None:
        """Do all jobs and those that they add; the error of the first one ends it."""
        for _ in self.steps(say):
            pass

    def steps(self, say: Callable[[str], None] | None = None) -> Iterator[None]:
        """Do what `run` does, and yield now and then."""
        try:
            while self._ready or self._busy:
                if self.jobs < 2:
                    self._do_one(say)
                else:
                    self._hand_out()
                    self._take_in(say)
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
        while self._ready and (self._idle or len(self._busy) < self.jobs):
            line, child = self._idle.pop() if self._idle else self._start()
            job = heapq.heappop(self._ready)
            self._busy[line] = (job, child)
            try:
                line.send(job.message())
            except OSError:
                raise _fallen(job, child) from None

    def _take_in(self, say: Callable[[str], None] | None) -> None:
        for line in wait(list(self._busy)):
            assert isinstance(line, Connection)
            job, child = self._busy.pop(line)
            try:
                answer, error = line.recv()
            except (EOFError, OSError):
                line.close()
                raise _fallen(job, child) from None
            self._idle.append((line, child))
            if error is not None:
                raise _named(forked.raised(error), job)
            job.done(answer)
            if say:
                say(job.words)

    def _start(self) -> tuple[Connection, Any]:
        context = multiprocessing.get_context("fork")
        ours, theirs = context.Pipe()
        held = [line for line, _ in self._idle] + list(self._busy) + [ours]
        child = context.Process(target=_serve, args=(theirs, held, self.work), daemon=True)
        with held_back():
            child.start()
        theirs.close()
        return ours, child

    def _dismiss(self) -> None:
        lines = [*self._idle, *((line, child) for line, (_, child) in self._busy.items())]
        for line, child in lines:
            line.close()
            child.kill()
        for _, child in lines:
            child.join()
        self._idle, self._busy = [], {}


def answers(
    work: Callable[[str], Answer], names: Sequence[str], jobs: int = forked.JOBS
) -> Iterator[tuple[str, Answer]]:
    """Do `work` for each name on up to `jobs` processes; yield name and answer as they come.

    Solids can't be piped, but forked children inherit them with `work`. Errors are raised as by a
    `Crew`. Where processes can't be forked (also in a child, which may have none of its own), or
    one job is asked for, it is done in this process.

    >>> dict(answers(str.upper, ["a", "b"], jobs=1))
    {'a': 'A', 'b': 'B'}
    """
    crew = Crew(work, min(jobs, len(names)))
    came: list[tuple[str, Answer]] = []
    for name in names:
        crew.add(name, 0.0, partial(str, name), partial(_note, came, name))
    for _ in crew.steps():
        yield from came
        came.clear()


def _note(came: list[tuple[str, Answer]], name: str, answer: Answer) -> None:
    came.append((name, answer))


def _fallen(job: Job, child: Any) -> GeometryError:
    child.join(1.0)
    return GeometryError(
        f"the geometry kernel broke down in the middle of it (ended with {child.exitcode})",
        part=job.words,
        step="a process of its own",
    )


def _serve(line: Connection, held: list[Connection], work: Work) -> None:
    """Answer jobs until the line closes; lines of the parent are not ours to keep open."""
    be_child_of(parent_of_this())
    for other in held:
        other.close()
    forked.be_a_child()
    with suppress(EOFError, OSError):
        while True:
            line.send_bytes(_pickled(_answer(work, line.recv())))


def _named(error: GeomgenError, job: Job) -> GeomgenError:
    """Return an error; a fault that does not say of what gets the words of its job."""
    return FaultError.of(error, part=job.words) if isinstance(error, FaultError) else error


def _pickled(answer: tuple[Any, dict[str, Any] | None]) -> bytes:
    try:
        return bytes(ForkingPickler.dumps(answer))
    except Exception as error:  # noqa: BLE001 - an answer that can't travel is a fault of ours too
        fault = FaultError.of(error, step="pickling what came out of it")
        return bytes(ForkingPickler.dumps((None, forked.sent(fault))))


def _answer(work: Work, message: Any) -> tuple[Any, dict[str, Any] | None]:
    try:
        return work(message), None
    except Exception as error:  # noqa: BLE001 - told to the parent, as all that a child meets
        return None, forked.sent(error)
