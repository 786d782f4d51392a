"""What a forked process may do, and how its errors come back.

A child has none of its parent's threads, and would wait for them for ever: inside a child the
kernel's own parallel modes must stay off (`threads_allowed`).
"""

import multiprocessing
from typing import Any

from geomgen.errors import (
    FaultError,
    FileWriteError,
    GeometryError,
    GeomgenError,
    ParameterError,
    Stand,
    fields_of,
    told,
)

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


def sent(error: Exception) -> dict[str, Any]:
    """Return what a child tells of an exception: the fields of its message, and a fault's frames.

    >>> raised(sent(ZeroDivisionError("by nought"))).kind
    'ZeroDivisionError: by nought'
    """
    known = told(error)
    fields = fields_of(known)
    if isinstance(known, FaultError):
        fields |= {"kind": known.kind, "frames": known.frames}
    return fields


def raised(fields: dict[str, Any]) -> GeomgenError:
    """Return the error that a child told of, as the class that it was."""
    given = dict(fields)
    kind, problem = given.pop("error"), given.pop("problem")
    if kind == "fault":
        return FaultError(
            given["kind"], part=given["part"], step=given["step"], frames=given["frames"]
        )
    if kind == "geometry":
        given.pop("where")
        given["stands"] = [Stand(**row) for row in given["stands"]]
    kinds: dict[str, type[GeomgenError]] = {
        "geometry": GeometryError,
        "parameter": ParameterError,
        "file": FileWriteError,
    }
    return kinds.get(kind, GeomgenError)(problem, **given)
