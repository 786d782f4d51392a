"""A run that is told to stop ends as with Ctrl-C: its children end, what it began is cleared."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

# SIGHUP is not on Windows, where Ctrl-Break comes as SIGBREAK.
TOLD = tuple(
    number for name in ("SIGTERM", "SIGHUP", "SIGBREAK") if (number := getattr(signal, name, None))
)


class Stopped(KeyboardInterrupt):
    """Told to stop by a signal; all that holds for Ctrl-C holds for it."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


@contextmanager
def stoppable() -> Iterator[None]:
    """Raise Stopped in this process when one of TOLD comes; one of them, and only once.

    Signals that are ignored stay so (nohup). Does nothing on any thread but the main one.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    former = {number: signal.getsignal(number) for number in TOLD}
    heard = [number for number, handler in former.items() if handler == signal.SIG_DFL]
    for number in heard:
        signal.signal(number, _stop)
    try:
        yield
    finally:
        for number in heard:
            signal.signal(number, former[number])


def _stop(number: int, _: Any) -> NoReturn:
    for other in TOLD:
        # A second one must not break off the clearing up.
        signal.signal(other, signal.SIG_IGN)
    raise Stopped(number)
