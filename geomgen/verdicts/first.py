"""First answers judged: final where the margin is larger than the bound, else they wait."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.judge import judge

WAITS = "waits for the exact figure"


@dataclass(frozen=True)
class FirstCheck:
    """A check by a first answer; `final` says that no exact figure can turn its verdict."""

    check: Check
    final: bool

    @property
    def waits(self) -> bool:
        """Say whether an outcome that decides on the whole is still open."""
        return self.check.binding and not self.final

    @property
    def fails(self) -> bool:
        """Say whether the whole fails whatever the exact figures are."""
        return self.final and self.check.stops

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON: those of the check, and whether they are final.

        The verdict of one that is not is `waits`.
        """
        verdict = self.check.verdict if self.final else "waits"
        return {**self.check.as_dict(), "verdict": verdict, "first": True, "final": self.final}


def first_judged(
    measurements: Sequence[Measurement], targets: Sequence[Target]
) -> tuple[FirstCheck, ...]:
    """Return the checks of first answers, as `judge`, each with whether it is final.

    >>> gap = Measurement("gap", "pod", "gap", 25.0, "mm", "meshes", error_bound=0.2)
    >>> far, near = (Target("gap", "gap", "at least", "mm", low=low) for low in (20.0, 24.9))
    >>> [first_judged([gap], [target])[0].final for target in (far, near)]
    [True, False]
    >>> first_judged([], [far])[0].final
    False
    """
    every = judge(measurements, targets)
    low, high = (judge([_moved(m, way) for m in measurements], targets) for way in (-1.0, 1.0))
    return tuple(
        FirstCheck(check, _final(check, a, b)) for check, a, b in zip(every, low, high, strict=True)
    )


def _moved(measured: Measurement, way: float) -> Measurement:
    value, bound = measured.value, measured.error_bound
    if value is None or bound is None or not isfinite(bound):
        return measured
    return replace(measured, value=value + way * bound, error_bound=0.0)


def _final(check: Check, low: Check, high: Check) -> bool:
    """Say whether a verdict holds for all that the exact figure may be."""
    if check.comparison == "one of":
        return True
    if check.verdict == "not_measured":
        return False
    if check.margin is None:
        # Nothing to judge, or a fault that no figure mends.
        return check.comparison == "none" or check.verdict in ("fail", "warn")
    bound = check.error_bound
    if bound is None or low.verdict != high.verdict:
        return False
    return abs(check.margin) > bound or (bound == 0.0 and check.margin >= 0.0)
