"""Standard output and error as they may come: closed, full, or a pipe that nobody reads."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TextIO, cast

from geomgen.errors import FileWriteError

NAMES = ("stdin", "stdout", "stderr")


class _StreamWrapper:
    """A stream that asks another one for all that it does not do itself."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> object:
        return getattr(self._stream, name)


class _Answer(_StreamWrapper):
    """Standard output: a reader that left is told as such, any other trouble as a file's."""

    def write(self, text: str) -> int:
        with self._told():
            return self._stream.write(text)

    def flush(self) -> None:
        with self._told():
            self._stream.flush()

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:
            lead_nowhere(self._stream)
            raise
        except OSError as error:
            lead_nowhere(self._stream)
            advice = "send it where there is room and where you may write"
            problem = error.strerror or str(error)
            raise FileWriteError(problem, path="standard output", advice=advice) from error


class _Words(_StreamWrapper):
    """Standard error: words beside the answer; when nobody can hear them the run goes on."""

    def write(self, text: str) -> int:
        try:
            return self._stream.write(text)
        except OSError:
            lead_nowhere(self._stream)
            return len(text)

    def flush(self) -> None:
        try:
            self._stream.flush()
        except OSError:
            lead_nowhere(self._stream)


@contextmanager
def standard_streams() -> Iterator[None]:
    """Have all three standard streams open, before any file can take the place of one.

    A stream that the caller closed leads nowhere. Letters that can't be encoded are written as
    question marks.
    """
    former = {name: getattr(sys, name) for name in NAMES}
    for number, name in enumerate(NAMES):
        if former[name] is None:
            setattr(sys, name, _nowhere(number))
        elif hasattr(former[name], "reconfigure") and name != "stdin":
            former[name].reconfigure(errors="replace")
    sys.stdout = cast(TextIO, _Answer(sys.stdout))
    sys.stderr = cast(TextIO, _Words(sys.stderr))
    try:
        yield
    finally:
        for name, stream in former.items():
            setattr(sys, name, stream)


def lead_nowhere(stream: TextIO) -> None:
    """Let what is still in a stream that failed go, so that the interpreter can close it."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def _nowhere(number: int) -> TextIO:
    """Return a stream that leads nowhere, under the number of the one that was closed."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    if nowhere != number:
        os.dup2(nowhere, number)
        os.close(nowhere)
    os.set_inheritable(number, True)
    return open(number, "w" if number else "r", encoding="utf-8", closefd=False)
