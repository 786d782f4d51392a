"""How far a study is, on stderr: a bar for a person who looks on, else a line now and then."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from geomgen.studies.progress import Planning, Progress

# Without a terminal: how long until the next line, at least [s].
APART = 15.0

Tell = Callable[["Progress | Planning"], None]


@contextmanager
def telling(quiet: bool) -> Iterator[Tell]:
    """Give a function that shows the progress of a study; nothing is shown when it is quiet."""
    if quiet:
        yield lambda seen: None
    elif sys.stderr.isatty():
        with _bar() as tell:
            yield tell
    else:
        yield plain(sys.stderr)


@contextmanager
def _bar() -> Iterator[Tell]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (BarColumn(), TextColumn("{task.description}"))
    console = Console(stderr=True, highlight=False, markup=False)
    with Progress(*columns, console=console, transient=True) as shown:
        task = shown.add_task("starting", total=None)
        yield lambda seen: shown.update(
            task, total=seen.total, completed=seen.done, description=seen.line()
        )


def plain(stream: TextIO, clock: Callable[[], float] = time.monotonic) -> Tell:
    """Return a function that writes a line at the start, at the end, and now and then between.

    What is told of the plan and of the work have a start each. `clock` counts seconds [s].
    """
    last: dict[str, float] = {}

    def tell(seen: "Progress | Planning") -> None:
        now, stage = clock(), seen.stage
        if stage in last and now - last[stage] < APART and seen.done < seen.total:
            return
        last[stage] = now
        stream.write(seen.line() + "\n")
        stream.flush()

    return tell
