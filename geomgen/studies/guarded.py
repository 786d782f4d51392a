"""One job in a process of its own: whatever happens to it costs that job only.

The process is forked from a worker that has everything loaded. A hang is killed at the time limit;
a crash of the kernel, or the system taking a process that wants too much memory, is told with its
signal. POSIX only (fork).
"""

import faulthandler
import os
import pickle
import resource
import select
import signal
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Literal, NoReturn

from geomgen.errors import FaultError, told
from geomgen.processes.children import be_child_of, held_back

LIMIT = 300.0
# How often the worker looks whether its own parent is still there [s].
LOOK = 1.0


@dataclass(frozen=True)
class Ended:
    """How a job ended: its answer, or why there is none, and how long it took [s]."""

    how: Literal["done", "raised", "timed out", "crashed"]
    answer: Any = None
    words: str = ""
    seconds: float = 0.0


def guarded(work: Callable[[Any], Any], job: Any, limit: float = LIMIT) -> Ended:
    """Return how `work(job)` ended in a forked process, within `limit` [s].

    The answer must be picklable. What the job prints is thrown away.

    >>> guarded(str.upper, "spinner").answer
    'SPINNER'
    >>> guarded(divmod, "wing").words
    'a fault inside geomgen, not in your file (TypeError: divmod expected 2 arguments, got 1)'
    """
    started = time.monotonic()
    reading, writing = os.pipe()
    parent = os.getpid()
    with held_back():
        child = os.fork()
        if child == 0:
            _in_child(work, job, reading, writing, parent)
    os.close(writing)
    try:
        raw = _read_all(reading, started + limit)
    except BaseException:
        _end(child)
        raise
    finally:
        os.close(reading)
    late = raw is None
    status = _end(child) if late else os.waitpid(child, 0)[1]
    seconds = time.monotonic() - started
    if late:
        return Ended("timed out", None, f"stopped after {limit:g} s, the time limit", seconds)
    return _ended(raw or b"", status, seconds)


def _in_child(
    work: Callable[[Any], Any], job: Any, reading: int, writing: int, parent: int
) -> NoReturn:
    """Do the job and leave without a word to anything that was inherited."""
    code = 1
    try:
        os.setpgid(0, 0)
        be_child_of(parent)
        os.close(reading)
        # A crash is told by its signal: no dump of it on the screen or on the disk.
        faulthandler.disable()
        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
        silent = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silent, stream)
        sys.stdout = sys.stderr = open(silent, "w", closefd=False)  # noqa: SIM115 - till the end
        try:
            made: tuple[bool, Any] = (True, work(job))
            data = pickle.dumps(made)
        except Exception as error:  # noqa: BLE001 - any fault of a job is its row, not the end
            known = told(error)
            words = known.problem if isinstance(known, FaultError) else str(known)
            data = pickle.dumps((False, words))
        view = memoryview(data)
        while view:
            view = view[os.write(writing, view) :]
        code = 0
    finally:
        os._exit(code)


def _read_all(reading: int, until: float) -> bytes | None:
    """Return all that comes through a pipe; None when the time is over first."""
    parent = os.getppid()
    pieces: list[bytes] = []
    poll = select.poll()
    poll.register(reading, select.POLLIN)
    while True:
        left = until - time.monotonic()
        if left <= 0:
            return None
        if poll.poll(1000 * min(left, LOOK)):
            piece = os.read(reading, 1 << 20)
            if not piece:
                return b"".join(pieces)
            pieces.append(piece)
        elif os.getppid() != parent:
            raise SystemExit("the process that asked is gone")


def _end(child: int) -> int:
    """Kill a child with all that it started; return its status."""
    for kill in (os.killpg, os.kill):
        with suppress(ProcessLookupError, PermissionError):
            kill(child, signal.SIGKILL)
    return os.waitpid(child, 0)[1]


def _ended(raw: bytes, status: int, seconds: float) -> Ended:
    if os.WIFSIGNALED(status):
        return Ended("crashed", None, _signal_words(os.WTERMSIG(status)), seconds)
    code = os.WEXITSTATUS(status)
    if code or not raw:
        return Ended("crashed", None, f"its process left with code {code}, no answer", seconds)
    good, answer = pickle.loads(raw)
    if good:
        return Ended("done", answer, "", seconds)
    return Ended("raised", None, str(answer), seconds)


def _signal_words(number: int) -> str:
    """Return what ended a process.

    >>> _signal_words(signal.SIGKILL)
    'ended by signal 9 (SIGKILL), as when the memory is used up'
    """
    name = signal.Signals(number).name
    more = ", as when the memory is used up" if number == signal.SIGKILL else ""
    return f"ended by signal {number} ({name}){more}"
