"""What a forked process may do, and how its errors come back.

A child has none of its parent's threads, and would wait for them for ever: inside a child the
kernel's own parallel modes must stay off (`threads_allowed`).
"""

import multiprocessing
from typing import Any

from geomgen.errors import FileWriteError, GeometryError

JOBS = 2

_child: list[bool] = []


def threads_allowed() -> bool:
    """Say whether the kernel may run an operation on threads here: not in a forked child.

    >>> threads_allowed()
    True
    """
    return not _child


def may_fork() -> bool:
    """Say whether this process may have children: not one that is a child itself."""
    return not _child and "fork" in multiprocessing.get_all_start_methods()


def be_a_child() -> None:
    """Note that this process is a forked child, without threads and children of its own."""
    _child.append(True)


def raised(fields: dict[str, Any]) -> Exception:
    """Return the error that a child told of, as the class that it was."""
    if fields["error"] == "geometry":
        return GeometryError(
            fields["problem"], part=fields["part"], step=fields["step"], look_at=fields["look_at"]
        )
    return FileWriteError(fields["problem"], path=fields["path"], advice=fields["advice"])
