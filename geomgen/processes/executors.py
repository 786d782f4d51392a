"""Jobs on worker processes, here or on other machines, through one interface.

An executor is one of `concurrent.futures`. Only so many jobs are handed over as there are workers:
when a worker process dies, no more than these have to be done again.
"""

import multiprocessing
import time
from collections import Counter, deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Executor, Future
from concurrent.futures import wait as first_of
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any, Protocol

from geomgen.errors import FaultError, GeomgenError, ParameterError
from geomgen.processes.children import follow_parent
from geomgen.processes.isolated import Ended

Task = Callable[[Any], Ended]
# So often a job may see its worker die before it is given up.
TRIES = 3
# How long a scheduler may take to answer, and how long it may be without any worker [s].
ANSWER, WITHOUT, PAUSE = 10.0, 60.0, 0.2


class Workers(Protocol):
    """Workers that are there for a while: `submit` through an executor, told how many at once."""

    def executor(self) -> Executor:
        """Return the executor in use; a new one after `renew`."""

    def renew(self) -> None:
        """Replace workers that broke."""

    def at_once(self) -> int:
        """Return how many jobs they take at once; 0 while there is none."""

    def stop(self) -> None:
        """End all work that is under way."""


def ended(
    task: Task, jobs: Sequence[Any], workers: Workers, lead: bool = False
) -> Generator[tuple[Any, Ended], None, None]:
    """Do each job, in order as workers come free; yield it with how it ended, as they end.

    Where the first is to `lead`, the others wait for its end: what it keeps for them is made once,
    and not by each worker. A job whose worker process dies three times is given up: it is
    `crashed`. When the iterator is closed or fails, work under way is ended.
    """
    waiting, deaths = deque(jobs), Counter[int]()
    running: dict[Future[Ended], Any] = {}
    try:
        while waiting or running:
            _submit(task, waiting, running, workers, 1 if lead else None)
            if not running:
                time.sleep(PAUSE)
                continue
            done, _ = first_of(running, timeout=1.0, return_when=FIRST_COMPLETED)
            lead = lead and not done
            lost = []
            for future in done:
                job = running.pop(future)
                end = _end_of(future)
                if end is None:
                    lost.append(job)
                else:
                    yield job, end
            if lost:
                yield from _after_death(lost, waiting, running, deaths, workers)
    finally:
        workers.stop()


def _submit(
    task: Task,
    waiting: deque[Any],
    running: dict[Future[Ended], Any],
    workers: Workers,
    most: int | None,
) -> None:
    # Asked even when nothing waits: it tells when there is nobody left to finish the rest.
    room = workers.at_once()
    room = room if most is None else min(room, most)
    while waiting and len(running) < room:
        try:
            future = workers.executor().submit(task, waiting[0])
        except BrokenExecutor:
            if not running:
                workers.renew()
                continue
            return
        running[future] = waiting.popleft()


def _end_of(future: "Future[Ended]") -> Ended | None:
    """Return how a job ended; None when its pool of workers broke under it."""
    try:
        error = future.exception()
    except CancelledError as gone:
        raise GeomgenError("the scheduler lost a job: is it still running?") from gone
    if error is None:
        return future.result()
    if isinstance(error, BrokenExecutor):
        return None
    return Ended("crashed", None, f"its worker: {FaultError.of(error)}")


def _after_death(
    lost: list[Any],
    waiting: deque[Any],
    running: dict[Future[Ended], Any],
    deaths: Counter[int],
    workers: Workers,
) -> Iterator[tuple[Any, Ended]]:
    """Take over what still ran in a broken pool, renew it, and put the lost jobs first again."""
    first_of(running, timeout=10.0)
    for future, job in list(running.items()):
        end = _end_of(future) if future.done() else None
        if end is None:
            lost.append(job)
        else:
            yield job, end
    running.clear()
    workers.renew()
    for job in reversed(lost):
        deaths[id(job)] += 1
        if deaths[id(job)] < TRIES:
            waiting.appendleft(job)
        else:
            yield job, Ended("crashed", None, f"its worker process ended {TRIES} times")


@dataclass
class Processes:
    """Worker processes on this machine, each started afresh and warmed once."""

    jobs: int
    warm: Callable[[], None]
    _executor: Executor | None = None

    def executor(self) -> Executor:
        """Return the pool."""
        if self._executor is None:
            from concurrent.futures import ProcessPoolExecutor

            self._executor = ProcessPoolExecutor(
                self.jobs,
                multiprocessing.get_context("spawn"),
                initializer=_start,
                initargs=(self.warm,),
            )
        return self._executor

    def renew(self) -> None:
        """End what is left of the pool; the next call starts a new one."""
        self.stop()

    def at_once(self) -> int:
        """Return the number of processes."""
        return self.jobs

    def stop(self) -> None:
        """Kill the processes; what they have started goes with them."""
        if self._executor is None:
            return
        # There is no public call that ends workers at once in Python 3.11 to 3.13.
        left = list((getattr(self._executor, "_processes", None) or {}).values())
        for process in left:
            with suppress(ProcessLookupError, OSError):
                process.kill()
        self._executor.shutdown(wait=True, cancel_futures=True)
        self._executor = None


def _start(warm: Callable[[], None]) -> None:
    """Begin a worker: it goes with its parent, which alone is told of Ctrl-C."""
    follow_parent()
    warm()


class Scheduled:
    """The workers of a dask scheduler, wherever they run."""

    def __init__(self, client: Any) -> None:
        self._client = client
        self._executor: Executor | None = None
        self._seen = time.monotonic()

    def executor(self) -> Executor:
        """Return an executor of the client: the same one until work is stopped."""
        if self._executor is None:
            made: Executor = self._client.get_executor(pure=False)
            self._executor = made
        return self._executor

    def renew(self) -> None:
        """Do nothing: the scheduler sees to its workers."""

    def at_once(self) -> int:
        """Return how many threads the workers have together, as of now."""
        try:
            many = int(sum(self._client.nthreads().values()))
        except (OSError, ValueError, TypeError) as error:
            raise GeomgenError("the scheduler does not answer any more") from error
        if many:
            self._seen = time.monotonic()
        elif time.monotonic() - self._seen > WITHOUT:
            raise GeomgenError(f"the scheduler had no worker for {WITHOUT:g} s")
        return many

    def stop(self) -> None:
        """Take back what was handed over."""
        if self._executor is not None:
            self._executor.shutdown(wait=False)
        self._executor = None


@contextmanager
def scheduled(address: str, answer: float = ANSWER) -> Iterator[Scheduled]:
    """Give the workers of a scheduler that must answer within `answer` [s].

    ParameterError when there is none, or no dask here.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise ParameterError(
            "dask is not installed",
            file="--executor",
            written="dask",
            allowed="processes, or dask once it is there",
            advice="in the folder of the clone: pip install -c constraints.txt -e '.[dask]'",
        ) from error
    try:
        make: Callable[..., Any] = Client
        client = make(address, timeout=answer, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise ParameterError(
            f"no scheduler answers there within {answer:g} s",
            file="--scheduler",
            written=address,
            allowed="the address of a dask scheduler, such as tcp://192.168.0.2:8786",
        ) from error
    try:
        yield Scheduled(client)
    finally:
        client.close(timeout=5)
