"""A process with all that it has started, ended together, on every system."""

import time
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import psutil

# So long it is waited for them to be gone [s], and so often it is looked.
PATIENCE, LOOK = 2.0, 0.01


def end_family(pid: int, patience: float = PATIENCE) -> None:
    """Kill a process and all that it has started, and wait until they are gone [s] at most.

    It is held first, so that it starts nothing more while its children are listed.
    """
    import psutil

    with suppress(psutil.Error):
        head = psutil.Process(pid)
        with suppress(psutil.Error):
            head.suspend()
        family = [head, *head.children(recursive=True)]
        for process in family:
            with suppress(psutil.Error):
                process.kill()
        end = time.monotonic() + patience
        while any(_lives(process) for process in family) and time.monotonic() < end:
            time.sleep(LOOK)


def _lives(process: "psutil.Process") -> bool:
    import psutil

    try:
        # One that has ended stays listed until its parent asks for its exit code.
        return bool(process.is_running() and process.status() != psutil.STATUS_ZOMBIE)
    except psutil.Error:
        return False
