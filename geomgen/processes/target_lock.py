"""A lock that keeps two runs of one target apart, and says who holds it.

It goes with the process that holds it, so that a killed run holds nobody up.
"""

import os
import platform
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from geomgen.errors import FileWriteError
from geomgen.processes.locks import lock

Say = Callable[[str], None]
# How often the lock is tried, and how long it may outlive the process that holds it [s].
PAUSE, GRACE = 0.05, 10.0
LONGEST = 200
# The first byte is not for words: on Windows nobody else can read what is locked.
WORDS = 1


def silent(_: str) -> None:
    """Say nothing."""


@contextmanager
def locked(target: Path, say: Say = silent) -> Iterator[None]:
    """Hold the lock of a target, a path beside which it lies; wait as long as another run has it.

    `say` hears for whom it waits. FileWriteError when the process that held it is gone and the
    lock is not given free all the same.
    """
    path = target.with_name(f".{target.name}.lock")
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        _take(handle, target, say)
        _write(handle, f"{os.getpid()} {time.strftime('%H:%M:%S')} {platform.node()}")
        yield
        _write(handle, "")
    finally:
        os.close(handle)


def _take(handle: int, target: Path, say: Say) -> None:
    told, gone = None, 0.0
    while not lock(handle):
        holder = _read(handle)
        if holder != told:
            told, gone = holder, 0.0
            say(f"waiting for {_words(holder)}: it is at work on {target}")
        if _lives(holder):
            gone = 0.0
        elif not gone:
            gone = time.monotonic()
        elif time.monotonic() - gone > GRACE:
            raise FileWriteError(
                f"{_words(holder)} has ended, but something still holds its lock",
                path=target,
                advice="end what it left running, or choose another folder with --out",
            )
        time.sleep(PAUSE)


def _write(handle: int, text: str) -> None:
    os.ftruncate(handle, 0)
    os.lseek(handle, 0, os.SEEK_SET)
    os.write(handle, b" " * WORDS + text.encode("utf-8", "replace"))


def _read(handle: int) -> tuple[str, ...]:
    """Return number, start and machine of the process that holds the lock; nothing if unsaid."""
    os.lseek(handle, WORDS, os.SEEK_SET)
    fields = os.read(handle, LONGEST).decode("utf-8", "replace").split(maxsplit=2)
    return tuple(fields) if len(fields) == 3 and fields[0].isdecimal() else ()


def _lives(holder: tuple[str, ...]) -> bool:
    """Say whether a holder is there, as far as can be told: not of another machine."""
    if not holder or holder[2] != platform.node():
        return True
    import psutil

    return bool(psutil.pid_exists(int(holder[0])))


def _words(holder: tuple[str, ...]) -> str:
    """Say who holds a lock.

    >>> _words(("1234", "14:03:12", platform.node()))
    'another run of geomgen (process 1234, since 14:03:12)'
    """
    if not holder:
        return "another run of geomgen"
    number, since, machine = holder
    where = "" if machine == platform.node() else f" on {machine}"
    return f"another run of geomgen (process {number}{where}, since {since})"
