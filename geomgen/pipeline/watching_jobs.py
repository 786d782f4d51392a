"""Jobs in forked children that end at once when nobody wants their answers any more."""

import multiprocessing
from collections.abc import Callable, Iterator, Mapping
from multiprocessing.connection import Connection, wait
from typing import Any

from geomgen.errors import FaultError, GeometryError
from geomgen.kernel import forked
from geomgen.processes.children import be_child_of, held_back, parent_of_this

Jobs = Mapping[str, Callable[[], Any]]
# So often [s] it is asked whether the answers are still wanted.
BEAT = 0.1
AT_ONCE = 2


def answered(jobs: Jobs, still: Callable[[str], None]) -> Iterator[tuple[str, Any]]:
    """Do jobs two at a time, in their order; yield name and answer as they come.

    `still` is called with the names of what is being done, again and again; what it raises ends
    the children at once, and so does leaving the loop. GeometryError and FileWriteError of a child
    are raised here again. Where processes can't be forked, jobs are done in this one.

    >>> dict(answered({"a": lambda: 1, "b": lambda: 2}, lambda _: None))
    {'a': 1, 'b': 2}
    """
    if not forked.may_fork():
        for name, job in jobs.items():
            still(name)
            yield name, job()
        return
    left = list(jobs.items())
    busy: dict[Connection, tuple[str, Any]] = {}
    try:
        while left or busy:
            while left and len(busy) < AT_ONCE:
                name, job = left.pop(0)
                line, child = _started(job, list(busy))
                busy[line] = (name, child)
            still(", ".join(name for name, _ in busy.values()))
            for ready in wait(list(busy), BEAT):
                assert isinstance(ready, Connection)
                name, child = busy.pop(ready)
                yield name, _taken(name, ready, child)
    finally:
        for line, (_, child) in busy.items():
            line.close()
            child.kill()
        for _, child in busy.values():
            child.join()


def _started(job: Callable[[], Any], held: list[Connection]) -> tuple[Connection, Any]:
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe(duplex=False)
    child = context.Process(target=_do, args=(job, theirs, [*held, ours]), daemon=True)
    with held_back():
        child.start()
    theirs.close()
    return ours, child


def _do(job: Callable[[], Any], line: Connection, held: list[Connection]) -> None:
    """Do one job in a child; errors travel as fields, for classes do not survive."""
    from geomgen.kernel import forked

    be_child_of(parent_of_this())
    for other in held:
        other.close()
    forked.be_a_child()
    try:
        line.send((job(), None))
    except Exception as error:  # noqa: BLE001 - told to the parent, not printed by the child
        line.send((None, forked.sent(error)))


def _taken(name: str, line: Connection, child: Any) -> Any:
    try:
        answer, error = line.recv()
    except (EOFError, OSError):
        child.join(1.0)
        raise GeometryError(
            f"broke down in the middle of it (ended with {child.exitcode})", step=name
        ) from None
    finally:
        line.close()
    child.join()
    if error is None:
        return answer
    met = forked.raised(error)
    raise FaultError.of(met, part=name) if isinstance(met, FaultError) else met
