"""The second library of meshes (manifold3d), held to one thread.

Its threads would be left behind when a process forks: where one was at work just then, the child
waits for it for ever. With two processes at work there is nothing to win by threads either.
"""

import os
from threading import Lock
from typing import Any

_lock = Lock()
_made: list[Any] = []


def second_library() -> Any:
    """Return the library; whoever makes solids of it gets it from here.

    >>> round(second_library().Manifold.cube([1.0, 2.0, 3.0]).volume(), 9)
    6.0
    """
    if not _made:
        with _lock:
            if not _made:
                _made.append(_held())
    return _made[0]


def _held() -> Any:
    """Import the library and have it count one processor: it counts once, when it is first used.

    Where a system has no such call the library keeps its threads.
    """
    import manifold3d

    if not hasattr(os, "sched_setaffinity"):
        return manifold3d
    own = {0, os.getpid()}
    before = {process: os.sched_getaffinity(process) for process in own}
    try:
        for process in own:
            os.sched_setaffinity(process, {min(before[process])})
        cube = manifold3d.Manifold.cube([2.0, 2.0, 2.0])
        (cube ^ cube.translate([1.0, 1.0, 1.0])).is_empty()
    finally:
        for process, processors in before.items():
            os.sched_setaffinity(process, processors)
    return manifold3d
