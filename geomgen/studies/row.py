"""What one variant came to: a plain row that travels between processes and into the journal."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from geomgen.processes.isolated import Ended
from geomgen.verdicts.check import Check, from_dict

Status = Literal["built", "refused", "not built", "timed out", "crashed", "fault"]
# What each status is called for people.
STATUS_WORDS: dict[Status, str] = {
    "built": "built and measured",
    "refused": "the parameters refuse it",
    "not built": "a part can't be built",
    "timed out": "stopped at the time limit",
    "crashed": "its process crashed",
    "fault": "a fault of geomgen",
}


@dataclass(frozen=True)
class VariantOutcome:
    """A variant's outcome: status, checks if it was built, otherwise where and why it was not.

    `seconds` is how long its worker took; `kept` of `kept + made` pieces came from the store.
    Of one that is not `exact` the checks are first answers; those named in `waits` are not final.
    """

    status: Status
    checks: tuple[Check, ...] = ()
    part: str = ""
    message: str = ""
    seconds: float = 0.0
    made: int = 0
    kept: int = 0
    exact: bool = True
    waits: frozenset[str] = frozenset()

    @cached_property
    def passed(self) -> bool:
        """Whether it was built and every check that was due was measured and none failed."""
        return bool(self.checks) and not self.failing and not self.waiting

    @cached_property
    def failing(self) -> tuple[str, ...]:
        """The ids of the checks that failed, whatever waits, or were due and not measured."""
        return tuple(c.id for c in self.checks if c.stops and c.id not in self.waits)

    @cached_property
    def waiting(self) -> tuple[str, ...]:
        """The ids of the checks that decide and wait for the exact figure."""
        return tuple(c.id for c in self.checks if c.binding and c.id in self.waits)

    @property
    def undecided(self) -> bool:
        """Whether nothing fails so far, and something that decides waits."""
        return bool(self.waiting) and not self.failing

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "status": self.status,
            "passed": self.passed,
            "part": self.part,
            "message": self.message,
            "seconds": self.seconds,
            "made": self.made,
            "kept": self.kept,
            "exact": self.exact,
            "waits": sorted(self.waits),
            "checks": [check.as_dict() for check in self.checks],
        }


def outcome_of(row: Mapping[str, Any]) -> VariantOutcome:
    """Return an outcome from its plain values; KeyError, TypeError or ValueError if they aren't.

    >>> outcome_of(VariantOutcome("not built", part="pod", message="the walls meet").as_dict()).part
    'pod'
    """
    if row["status"] not in STATUS_WORDS:
        raise ValueError(row["status"])
    return VariantOutcome(
        row["status"],
        tuple(from_dict(check) for check in row["checks"]),
        str(row["part"]),
        str(row["message"]),
        float(row["seconds"]),
        int(row["made"]),
        int(row["kept"]),
        bool(row["exact"]),
        frozenset(str(id_) for id_ in row["waits"]),
    )


def outcome_from(end: Ended, exact: bool = True) -> VariantOutcome:
    """Return the outcome of a job that ended, whichever way it did.

    `exact` says what the job was to answer; one that did answer says so itself.

    >>> outcome_from(Ended("crashed", None, "ended by signal 11 (SIGSEGV)", 0.5)).status
    'crashed'
    """
    if end.how == "done":
        return outcome_of({**end.answer, "seconds": end.seconds})
    ways: dict[str, Status] = {"raised": "fault", "timed out": "timed out", "crashed": "crashed"}
    return VariantOutcome(ways[end.how], message=end.words, seconds=end.seconds, exact=exact)


def tally(outcomes: Sequence[VariantOutcome]) -> dict[str, int]:
    """Return how many passed, failed a check, are undecided, and ended in each other way.

    >>> tally([VariantOutcome("refused"), VariantOutcome("built")])["refused"]
    1
    """
    counts = {"passed": 0, "failing": 0, "undecided": 0} | {
        s: 0 for s in STATUS_WORDS if s != "built"
    }
    for outcome in outcomes:
        built = "passed" if outcome.passed else "failing"
        built = "undecided" if outcome.undecided else built
        counts[built if outcome.status == "built" else outcome.status] += 1
    return counts
