"""A builder in a process of its own: it loads the kernel once and builds the newest state only.

What it makes comes back over a pipe. A state that is overtaken by a newer one is given up at its
next step; a builder that hangs, crashes or is killed is replaced.
"""

import contextlib
import multiprocessing
import os
import shutil
import signal
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Any

from geomgen.errors import fields_of, told
from geomgen.parameters import Parameters
from geomgen.processes.children import follow_parent, held_back
from geomgen.processes.family import end_family
from geomgen.processes.temporary import PREFIX
from geomgen.watching.live_page.state_results import StateResult

Progress = Callable[[str], None]
# Given parameters, the output folder and a progress; yields verdict, model, drawings in turn.
Stages = Callable[[Parameters, Path, Progress], Iterator[StateResult]]
# A newer state waits so long [s] for a builder that does not even begin.
PATIENCE = 30.0
# Its temporary files are cleared for so long [s] as some are left.
ENDING = 2.0


class Overtaken(BaseException):
    """A newer state waits: give this one up. Not an Exception, so that nothing swallows it."""


@dataclass(frozen=True)
class Message:
    """What a builder says: of which job, what kind, with what."""

    job: int
    kind: str
    body: Any = None


def _serve(stages: Stages, out: Path, pipe: Connection, spare: str | None) -> None:
    """Build what comes over the pipe until it is closed; the builder's whole life."""
    if spare is not None:
        # It may be killed at any time, and its children are: the parent clears this folder.
        tempfile.tempdir = os.environ["TMPDIR"] = spare
    follow_parent()
    with contextlib.suppress(EOFError, OSError):
        while True:
            job, p = _newest(pipe)
            _one(stages, out, pipe, job, p)


def _newest(pipe: Connection) -> tuple[int, Parameters]:
    wanted: tuple[int, Parameters] = pipe.recv()
    while pipe.poll():
        wanted = pipe.recv()
    return wanted


def _one(stages: Stages, out: Path, pipe: Connection, job: int, p: Parameters) -> None:
    here = os.getpid()

    def say(text: str) -> None:
        # Forked children inherit this function, and must not speak over the parent's pipe.
        if os.getpid() != here:
            return
        if pipe.poll():
            raise Overtaken
        pipe.send(Message(job, "step", text))

    try:
        pipe.send(Message(job, "begun"))
        for made in stages(p, out, say):
            pipe.send(Message(job, "made", made))
            if pipe.poll():
                raise Overtaken
        pipe.send(Message(job, "done"))
    except Overtaken:
        pipe.send(Message(job, "overtaken"))
    except (EOFError, BrokenPipeError):
        raise
    except Exception as error:  # noqa: BLE001 - a fault of one state must not end the watch
        pipe.send(Message(job, "refused", fields_of(told(error))))


class Builder:
    """The builder as its parent sees it."""

    def __init__(self, stages: Stages, out: Path, patience: float = PATIENCE) -> None:
        self._stages, self._out, self._patience = stages, out, patience
        self._wanted: tuple[int, Parameters] | None = None
        self._sent: int | None = None
        self._asked = 0.0
        self._process: SpawnProcess
        self._spare: str | None
        self._pipe: Connection
        self._start()

    @property
    def pid(self) -> int | None:
        """The number of the present process."""
        return self._process.pid

    @property
    def pipe(self) -> Connection:
        """What to wait on; readable also when the builder has ended."""
        return self._pipe

    def build(self, job: int, p: Parameters) -> None:
        """Ask for a state; what is being built is given up."""
        self._wanted = (job, p)
        if self._sent is None:
            self._send()

    def messages(self) -> list[Message]:
        """Return what the builder has said, without waiting.

        A builder that has ended, or did not take a newer state for too long, gives a message
        `lost` with the reason; call `again` or `restart` then.
        """
        found: list[Message] = []
        try:
            while self._pipe.poll():
                message: Message = self._pipe.recv()
                found.append(message)
                if message.kind == "begun" and message.job == self._sent:
                    self._sent = None
                    if self._job != message.job:
                        self._send()
        except (EOFError, OSError):
            self._process.join(2.0)
            return [*found, Message(self._job, "lost", ended(self._process.exitcode))]
        if self._process.exitcode is not None and not self._pipe.poll():
            # Its children may still hold the pipe open.
            return [*found, Message(self._job, "lost", ended(self._process.exitcode))]
        if self._sent is not None and time.monotonic() - self._asked > self._patience:
            return [*found, Message(self._job, "lost", "did not answer")]
        return found

    def restart(self, again: bool) -> None:
        """End the process, start another; give it the wanted state `again` if that is wished."""
        self._end()
        self._start()
        if again and self._wanted is not None:
            self._send()

    def stop(self) -> None:
        """End the process and all that it has started."""
        self._end()

    @property
    def _job(self) -> int:
        return self._wanted[0] if self._wanted else 0

    def _send(self) -> None:
        # Never a second one before the first was taken: two full pipes would wait for each other.
        if self._wanted is not None:
            self._sent, self._asked = self._wanted[0], time.monotonic()
            with contextlib.suppress(OSError, ValueError):
                self._pipe.send(self._wanted)

    def _start(self) -> None:
        self._sent = None
        # Spawned, not forked: this process has threads, and what it forks would have none.
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._spare = spare_folder()
        given = (self._stages, self._out, theirs, self._spare)
        self._process = context.Process(target=_serve, args=given, name="builder")
        # The first process spawned starts this one as well, which unblocks Ctrl-C again.
        if os.name == "posix":
            resource_tracker.ensure_running()
        # Ctrl-C while the new process still imports would end it with a traceback.
        with held_back():
            self._process.start()
        theirs.close()

    def _end(self) -> None:
        self._pipe.close()
        if self._process.pid is not None:
            end_family(self._process.pid)
            self._process.kill()
        self._process.join(5.0)
        if self._spare is not None:
            _clear(Path(self._spare))


def spare_folder() -> str | None:
    """Return a new folder for a builder's temporary files, None where none can be made."""
    with contextlib.suppress(OSError):
        return tempfile.mkdtemp(prefix=PREFIX)
    return None


def _clear(folder: Path) -> None:
    """Clear a folder away: what a child that is being killed still writes too."""
    end = time.monotonic() + ENDING
    while folder.exists() and time.monotonic() < end:
        shutil.rmtree(folder, ignore_errors=True)


def ended(code: int | None) -> str:
    """Say how a process ended.

    >>> ended(-9), ended(1)
    ('was killed (SIGKILL)', 'ended with exit code 1')
    """
    if code is None:
        return "was lost"
    if code < 0:
        with contextlib.suppress(ValueError):
            return f"was killed ({signal.Signals(-code).name})"
        return f"was killed (signal {-code})"
    return f"ended with exit code {code}"
