"""A child process that does jobs one after the other, forked or spawned.

A forked one has all that its parent has loaded, and starts in a hundredth of a second; only Linux
can be trusted with it. A spawned one begins with nothing, takes a second, and is therefore kept
for the next who needs one.
"""

import faulthandler
import multiprocessing
import os
import pickle
import sys
from collections.abc import Callable
from contextlib import suppress
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from typing import Any

from geomgen.errors import FaultError, GeomgenError, ParameterError, told
from geomgen.processes.children import follow_parent, held_back
from geomgen.processes.family import end_family
from geomgen.processes.role import be_a_child

Work = Callable[[Any], Any]
Answer = tuple[Any, GeomgenError | None]
# How children are started, where that is not left to the system: "fork" or "spawn".
CHOICE = "GEOMGEN_START_METHOD"
WORK, JOB = "work", "job"

# The parent's ends of all lines: a forked child has them too, and must not keep them open.
_lines: set[Connection] = set()
# Spawned workers that have nothing to do, by whether they are quiet.
_spare: dict[bool, list["Worker"]] = {True: [], False: []}


def start_method() -> str:
    """Return how children are started here; ParameterError for a choice that this system lacks.

    >>> start_method() in ("fork", "spawn")
    True
    """
    chosen = os.environ.get(CHOICE)
    if not chosen:
        return "fork" if sys.platform.startswith("linux") else "spawn"
    ways = [way for way in ("fork", "spawn") if way in multiprocessing.get_all_start_methods()]
    if chosen not in ways:
        raise ParameterError(
            "no way to start processes here",
            key=CHOICE,
            written=chosen,
            allowed=" or ".join(ways),
            advice="take the variable out of the environment: the right way is found without it",
        )
    return chosen


class Worker:
    """A child that does `work(message)` for each message it is sent.

    A `quiet` one throws away what a job prints, and leaves no dump when it crashes. Its `line`
    can be waited on.
    """

    def __init__(self, work: Work, quiet: bool = False) -> None:
        method = start_method()
        self.quiet, self._kept = quiet, method != "fork"
        context: Any = multiprocessing.get_context(method)
        # A worker of dask is a daemon, which may start none; ours end by themselves with it.
        multiprocessing.current_process().daemon = False
        self.line, theirs = context.Pipe()
        _lines.add(self.line)
        given = (theirs, quiet, None if self._kept else work)
        self.process = context.Process(target=_serve, args=given, daemon=True)
        # The first process spawned starts this one as well, which unblocks Ctrl-C again.
        if self._kept and os.name == "posix":
            resource_tracker.ensure_running()
        with held_back():
            self.process.start()
        theirs.close()
        if self._kept:
            try:
                self._send(WORK, work)
            except FaultError:
                self.end()
                raise

    @classmethod
    def free(cls, work: Work, quiet: bool = False) -> "Worker":
        """Return a worker for some work: one that has nothing to do, or else a new one."""
        while _spare[quiet]:
            worker = _spare[quiet].pop()
            with suppress(OSError):
                worker._send(WORK, work)
                return worker
            worker.end()
        return cls(work, quiet)

    def ask(self, message: Any) -> None:
        """Send a job; OSError when the child has gone."""
        self._send(JOB, message)

    def answer(self) -> Answer:
        """Wait for what comes of a job: its answer, or an error; EOFError or OSError if it fell."""
        found: Answer = self.line.recv()
        return found

    def release(self) -> None:
        """Leave the worker to whoever needs one next, or end it where a new one costs nothing."""
        if self._kept:
            _spare[self.quiet].append(self)
        else:
            self.end()

    def end(self, family: bool = False) -> None:
        """Kill the child; with its `family`, all that it has started too."""
        self._close()
        if family and self.process.pid is not None:
            end_family(self.process.pid)
        self.process.kill()
        self.process.join()

    def fallen(self) -> int | None:
        """Close the line of a child that has gone; return its exit code."""
        self._close()
        self.process.join(1.0)
        code: int | None = self.process.exitcode
        return code

    def _close(self) -> None:
        _lines.discard(self.line)
        self.line.close()

    def _send(self, kind: str, body: Any) -> None:
        try:
            data = pickle.dumps((kind, body))
        except (pickle.PicklingError, AttributeError, TypeError) as error:
            raise FaultError.of(error, step="pickling what is sent to a worker") from error
        self.line.send_bytes(data)


def _serve(line: Connection, quiet: bool, work: Work | None) -> None:
    """Do jobs until the line closes; the child's whole life."""
    follow_parent()
    for other in _lines:
        other.close()
    _lines.clear()
    be_a_child()
    if quiet:
        _be_quiet()
    with suppress(EOFError, OSError):
        while True:
            raw = line.recv_bytes()
            try:
                kind, body = pickle.loads(raw)
            except Exception as error:  # noqa: BLE001 - what can't be read is told, by the next job
                kind, body = WORK, _unread(error)
            if kind == WORK:
                work = body
            elif work is not None:
                line.send_bytes(_pickled(_answer(work, body)))


def _unread(error: Exception) -> Work:
    fault = FaultError.of(error, step="reading what was sent to a worker")

    def work(_: Any) -> Any:
        raise fault

    return work


def _answer(work: Work, message: Any) -> Answer:
    try:
        return work(message), None
    except Exception as error:  # noqa: BLE001 - it is the parent's to raise
        return None, told(error)


def _pickled(answer: Answer) -> bytes:
    try:
        return pickle.dumps(answer)
    except Exception as error:  # noqa: BLE001 - an answer that can't travel is a fault of ours too
        fault = FaultError.of(error, step="pickling what came out of it")
        return pickle.dumps((None, fault))


def _be_quiet() -> None:
    """Throw away whatever is printed here, and have a crash told by its signal alone."""
    faulthandler.disable()
    with suppress(ImportError, OSError, ValueError):
        import resource

        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
    silent = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(silent, stream)
    sys.stdout = sys.stderr = open(silent, "w", closefd=False)  # noqa: SIM115 - till the end
