"""Jobs in children that end at once when nobody wants their answers any more."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from multiprocessing.connection import wait
from typing import Any

from geomgen.errors import FaultError, GeometryError
from geomgen.processes.role import may_have_children
from geomgen.processes.worker import Worker

Jobs = Mapping[str, Callable[[], Any]]
# So often [s] it is asked whether the answers are still wanted.
BEAT = 0.1
AT_ONCE = 2


@dataclass(frozen=True)
class _Only:
    """The work of a worker that does one job."""

    job: Callable[[], Any]

    def __call__(self, _: Any) -> Any:
        return self.job()


def answered(jobs: Jobs, still: Callable[[str], None]) -> Iterator[tuple[str, Any]]:
    """Do jobs two at a time, in their order; yield name and answer as they come.

    `still` is called with the names of what is being done, again and again; what it raises ends
    the children at once, and so does leaving the loop. Errors of a child are raised here again.
    In a child, which may have none of its own, jobs are done in this process.

    >>> from functools import partial
    >>> sorted(answered({"a": partial(abs, -1), "b": partial(abs, 2)}, str))
    [('a', 1), ('b', 2)]
    """
    if not may_have_children():
        for name, job in jobs.items():
            still(name)
            yield name, job()
        return
    left = list(jobs.items())
    busy: dict[Any, tuple[str, Worker]] = {}
    try:
        while left or busy:
            while left and len(busy) < AT_ONCE:
                name, job = left.pop(0)
                worker = Worker.free(_Only(job))
                worker.ask(None)
                busy[worker.line] = (name, worker)
            still(", ".join(name for name, _ in busy.values()))
            for ready in wait(list(busy), BEAT):
                name, worker = busy.pop(ready)
                yield name, _taken(name, worker)
    finally:
        for _, worker in busy.values():
            worker.end()


def _taken(name: str, worker: Worker) -> Any:
    try:
        answer, error = worker.answer()
    except (EOFError, OSError):
        raise GeometryError(
            f"broke down in the middle of it (ended with {worker.fallen()})", step=name
        ) from None
    worker.release()
    if error is None:
        return answer
    raise FaultError.of(error, part=name) if isinstance(error, FaultError) else error
