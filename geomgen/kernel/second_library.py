"""The second library of meshes (manifold3d), held to one thread.

Its threads would be left behind when a process forks: where one was at work just then, the child
waits for it for ever. With two processes at work there is nothing to win by threads either.
"""

from threading import Lock
from typing import Any

from geomgen.processes.processors import on_one_processor

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

    Where a system can't hold a process to one the library keeps its threads; nothing forks there.
    """
    import manifold3d

    with on_one_processor():
        cube = manifold3d.Manifold.cube([2.0, 2.0, 2.0])
        (cube ^ cube.translate([1.0, 1.0, 1.0])).is_empty()
    return manifold3d
