"""What a child process does about signals, and about the end of its parent.

Ctrl-C, SIGTERM and SIGHUP are the parent's to answer: it ends its children, clears up and says so.
A parent that is killed can't; then its children end by themselves, at once.
"""

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.process import BaseProcess

from geomgen.processes.stopping import TOLD

STOPPING = (signal.SIGINT, *TOLD)
# PR_SET_PDEATHSIG of Linux.
_DEATH_SIGNAL = 1


@contextmanager
def held_back() -> Iterator[None]:
    """Hold back the signals that stop a run while a child starts, which inherits that.

    Until the child has called `follow_parent`, it would answer them as its parent does. Windows
    can hold back no signals, and no child inherits anything there.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    former = signal.pthread_sigmask(signal.SIG_BLOCK, STOPPING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, former)


def follow_parent() -> None:
    """Leave Ctrl-C to the parent, end with it however it ends, and hear signals again.

    The first thing that a child of `multiprocessing` does; RuntimeError in any other process.
    """
    parent = multiprocessing.parent_process()
    if parent is None:
        raise RuntimeError("this process was not started by multiprocessing")
    end_with(parent)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for number in TOLD:
        # Ignored by whoever started the run (nohup) stays ignored.
        if signal.getsignal(number) != signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, STOPPING)


def end_with(parent: BaseProcess) -> None:
    """Have this process end when its parent does, however that ends.

    Linux kills it at once. Elsewhere a thread waits, which can't run while the geometry kernel
    works: the child then ends after that call.
    """
    if sys.platform.startswith("linux"):
        import ctypes

        ctypes.CDLL(None).prctl(_DEATH_SIGNAL, signal.SIGKILL)
        gone = os.getppid() != parent.pid
    else:
        threading.Thread(target=_leave_without, args=(parent,), daemon=True).start()
        gone = not parent.is_alive()
    # It may have ended before the system was asked.
    if gone:
        os._exit(1)


def _leave_without(parent: BaseProcess) -> None:
    parent.join()
    os._exit(1)
