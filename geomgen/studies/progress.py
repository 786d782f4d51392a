"""How far a study is, and how long it will take."""

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Planning:
    """Variants read out of all, before the first is built.

    >>> print(Planning(total=20_000, done=400, refused=3).line())
    400 of 20000 read, 3 refused
    """

    total: int
    done: int
    refused: int = 0
    stage: str = "plan"

    def line(self) -> str:
        """Return it in words."""
        return f"{self.done} of {self.total} read, {self.refused} refused"


@dataclass
class Progress:
    """Variants done out of all; `kept` of them were there from before and tell nothing of speed.

    `stage` says what is being done once more, where that is so.

    >>> seen = Progress(total=10, kept=2, workers=2, clock=lambda: 0.0)
    >>> seen.add(passed=True, seconds=3.0)
    >>> seen.add(passed=False, seconds=5.0)
    >>> seen.done, seen.failing, seen.left()
    (4, 1, 12.0)
    >>> print(seen.line())
    4 of 10 done, 1 failing, about 12 s left
    """

    total: int
    kept: int = 0
    workers: int = 1
    failing: int = 0
    stage: str = ""
    clock: Callable[[], float] = time.monotonic
    _seconds: list[float] = field(default_factory=list)

    @property
    def done(self) -> int:
        """How many variants are finished, those from before with them."""
        return self.kept + len(self._seconds)

    def add(self, passed: bool, seconds: float) -> None:
        """Count one more that was finished now, in so many `seconds` [s] of its worker."""
        self._seconds.append(seconds)
        self.failing += not passed

    def left(self) -> float | None:
        """Return the time left [s], from the mean of the finished ones; None before the first."""
        if not self._seconds:
            return None
        rest = self.total - self.done
        mean = math.fsum(self._seconds) / len(self._seconds)
        return mean * math.ceil(rest / max(1, self.workers))

    def line(self) -> str:
        """Return it in words."""
        left = self.left()
        more = "" if left is None or self.done == self.total else f", about {duration(left)} left"
        what = f"{self.stage}: " if self.stage else ""
        return f"{what}{self.done} of {self.total} done, {self.failing} failing{more}"


def duration(seconds: float) -> str:
    """Return a time [s] in words, rounded as a person would.

    >>> duration(7.2), duration(200), duration(9000)
    ('8 s', '3 min 20 s', '2 h 30 min')
    """
    whole = math.ceil(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
