"""How many processors this process may use."""

import os
from collections.abc import Iterator
from contextlib import contextmanager


def processors() -> int:
    """Return how many processors this process may use, at least one.

    Where a system does not tell a process's own, all that the machine has.

    >>> processors() >= 1
    True
    """
    own = getattr(os, "sched_getaffinity", None)
    return len(own(0)) if own else os.cpu_count() or 1


@contextmanager
def on_one_processor() -> Iterator[None]:
    """Hold this process and this thread to one processor for a while, where the system can."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    before = {process: os.sched_getaffinity(process) for process in (0, os.getpid())}
    try:
        for process, own in before.items():
            os.sched_setaffinity(process, {min(own)})
        yield
    finally:
        for process, own in before.items():
            os.sched_setaffinity(process, own)
