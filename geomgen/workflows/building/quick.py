"""First answers to a parameter file: what `check --quick` does. Nothing is written."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from geomgen.parameters import load
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.store import Store
from geomgen.sizing.target import Target
from geomgen.sizing.targets import targets
from geomgen.verdicts.first import FirstCheck

Progress = Callable[[str], None]


@dataclass(frozen=True)
class QuickResult:
    """First answers, the targets behind them, how long they took [s].

    `notices` say what a builder has to know; `inches` tells that the file counts in inches.
    """

    checks: tuple[FirstCheck, ...]
    targets: tuple[Target, ...]
    seconds: float
    notices: tuple[str, ...] = ()
    inches: bool = False

    @property
    def settled(self) -> bool:
        """Say whether every check that decides is final."""
        return not any(check.waits for check in self.checks)

    @property
    def passed(self) -> bool:
        """Say whether every check that decides is final, and none fails."""
        return self.settled and bool(self.checks) and not any(c.fails for c in self.checks)


def quick(
    path: str | Path,
    overrides: Sequence[str] = (),
    progress: Progress | None = None,
    store: Store | None = None,
) -> QuickResult:
    """Return first answers by meshes, the exact ones to follow; GeometryError as `check`."""
    from geomgen.regeneration.first import first_answers

    started = time.perf_counter()
    p = load(path, overrides)
    found = first_answers(p, store, progress)
    why = (f"no first answer: {found.why}",) if found.why else ()
    seconds = time.perf_counter() - started
    notices = (*why, *found.notices)
    return QuickResult(found.checks, targets(p), seconds, notices, counts_in_inches(p))
