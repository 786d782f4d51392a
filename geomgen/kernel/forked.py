"""Work spread over forked processes: solids can't be piped, but children inherit them.

A child has none of its parent's threads, and would wait for them for ever: inside a child the
kernel's own parallel modes must stay off (`threads_allowed`).
"""

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

from geomgen.errors import FileWriteError, GeometryError

Answer = TypeVar("Answer")
JOBS = 2

# Forked children find their work through this name.
_inherited: list[Callable[[str], Any]] = []
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


def answers(
    work: Callable[[str], Answer], names: Sequence[str], jobs: int = JOBS
) -> Iterator[tuple[str, Answer]]:
    """Do `work` for each name on up to `jobs` processes; yield name and answer as they come.

    GeometryError and FileWriteError of a child are raised here again. Where processes can't be
    forked (also in a child, which may have none of its own), or one job is asked for, it is done
    in this process.

    >>> dict(answers(str.upper, ["a", "b"], jobs=1))
    {'a': 'A', 'b': 'B'}
    """
    jobs = min(jobs, len(names), len(os.sched_getaffinity(0)))
    if jobs < 2 or not may_fork():
        for name in names:
            yield name, work(name)
        return
    _inherited.append(work)
    try:
        with multiprocessing.get_context("fork").Pool(jobs) as pool:
            for name, answer, error in pool.imap_unordered(_in_child, names, chunksize=1):
                if error is not None:
                    raise raised(error)
                yield name, answer
    finally:
        _inherited.pop()


def _in_child(name: str) -> tuple[str, Any, dict[str, Any] | None]:
    """Do one job, without threads; errors travel as fields, for classes do not survive."""
    be_a_child()
    try:
        return name, _inherited[-1](name), None
    except (GeometryError, FileWriteError) as error:
        return name, None, error.as_dict()


def raised(fields: dict[str, Any]) -> Exception:
    """Return the error that a child told of, as the class that it was."""
    if fields["error"] == "geometry":
        return GeometryError(
            fields["problem"], part=fields["part"], step=fields["step"], look_at=fields["look_at"]
        )
    return FileWriteError(fields["problem"], path=fields["path"], advice=fields["advice"])
