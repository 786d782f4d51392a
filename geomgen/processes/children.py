"""What a child process does about signals, and about the end of its parent.

Ctrl-C, SIGTERM and SIGHUP are the parent's to answer: it ends its children, clears up and says so.
A parent that is killed can't; then its children end by themselves, at once.
"""

import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

STOPPING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
# PR_SET_PDEATHSIG of Linux.
_DEATH_SIGNAL = 1
# So often a child looks whether its parent is there, where the system does not tell it [s].
LOOK = 0.25


@contextmanager
def held_back() -> Iterator[None]:
    """Hold back the signals that stop a run while a child starts, which inherits that.

    Until the child has called `be_child_of`, it would answer them as its parent does.
    """
    former = signal.pthread_sigmask(signal.SIG_BLOCK, STOPPING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, former)


def be_child_of(parent: int) -> None:
    """Leave Ctrl-C to the parent, end with it however it ends, and hear signals again."""
    end_with(parent)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for number in (signal.SIGTERM, signal.SIGHUP):
        # Ignored by whoever started the run (nohup) stays ignored.
        if signal.getsignal(number) != signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, STOPPING)


def parent_of_this() -> int:
    """Return the number of the process that started this one by `multiprocessing`."""
    parent = multiprocessing.parent_process()
    if parent is None or parent.pid is None:
        raise RuntimeError("this process was not started by multiprocessing")
    return parent.pid


def end_with(parent: int) -> None:
    """Have this process end when its parent does, however that ends.

    Linux kills it at once. Elsewhere a thread looks, which waits while the geometry kernel works.
    """
    if sys.platform.startswith("linux"):
        import ctypes

        ctypes.CDLL(None).prctl(_DEATH_SIGNAL, signal.SIGKILL)
    else:
        threading.Thread(target=_leave_without, args=(parent,), daemon=True).start()
    # It may have ended before the system was asked.
    if os.getppid() != parent:
        os._exit(1)


def _leave_without(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(LOOK)
    os._exit(1)
