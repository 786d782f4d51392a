"""One job in a process of its own: whatever happens to it costs that job only.

A hang is killed at the time limit; a crash of the kernel, or the system taking a process that wants
too much memory, is told with its signal.
"""

import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from geomgen.errors import FaultError
from geomgen.processes.worker import Worker

LIMIT = 300.0


@dataclass(frozen=True)
class Ended:
    """How a job ended: its answer, or why there is none, and how long it took [s]."""

    how: Literal["done", "raised", "timed out", "crashed"]
    answer: Any = None
    words: str = ""
    seconds: float = 0.0


def isolated(work: Callable[[Any], Any], job: Any, limit: float = LIMIT) -> Ended:
    """Return how `work(job)` ended in a process of its own, within `limit` [s].

    Job and answer must be picklable. What the job prints is thrown away.

    >>> isolated(str.upper, "spinner").answer
    'SPINNER'
    >>> isolated(divmod, "wing").words
    'a fault inside geomgen, not in your file (TypeError: divmod expected 2 arguments, got 1)'
    """
    started = time.monotonic()
    worker = Worker.free(work, quiet=True)
    try:
        end = _ended(worker, job, limit)
    except BaseException:
        worker.end(family=True)
        raise
    return Ended(end.how, end.answer, end.words, time.monotonic() - started)


def _ended(worker: Worker, job: Any, limit: float) -> Ended:
    try:
        worker.ask(job)
        if not worker.line.poll(limit):
            worker.end(family=True)
            return Ended("timed out", None, f"stopped after {limit:g} s, the time limit")
        answer, error = worker.answer()
    except (EOFError, OSError):
        return Ended("crashed", None, _crash_words(worker.fallen()))
    worker.release()
    if error is None:
        return Ended("done", answer)
    words = error.problem if isinstance(error, FaultError) else str(error)
    return Ended("raised", None, words)


def _crash_words(code: int | None) -> str:
    """Return what ended a process.

    >>> _crash_words(-signal.SIGTERM)
    'ended by signal 15 (SIGTERM)'
    >>> _crash_words(7)
    'its process left with code 7, no answer'
    """
    if code is None or code >= 0:
        return f"its process left with code {code}, no answer"
    name = signal.Signals(-code).name
    more = ", as when the memory is used up" if name == "SIGKILL" else ""
    return f"ended by signal {-code} ({name}){more}"
