"""First answers judged: final where the margin is larger than the bound, else they wait."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.judge import judge

WAITS = "waits for the exact figure"
UNDECIDED = "nothing fails so far, some verdicts wait for exact figures"


@dataclass(frozen=True)
class FirstCheck:
    """A check by a first answer; `final` says that no exact figure can turn its verdict.

    An `exact` one is no first answer any more: nothing that is still to be made can move it.
    """

    check: Check
    final: bool
    exact: bool = False

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
        return {
            **self.check.as_dict(),
            "verdict": verdict,
            "first": not self.exact,
            "final": self.final,
        }


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


@dataclass(frozen=True)
class Strayed:
    """A first answer that the exact one does not bear out: a fault of its bound.

    `first` and `exact` are figures [unit of the check], `bound` how far they may be apart.
    """

    id: str
    unit: str
    first: float | None
    bound: float | None
    exact: float | None
    verdicts: tuple[str, str]

    @property
    def words(self) -> str:
        """Return what is said of it."""
        return (
            f"{self.id}: the first answer {self.first} (± {self.bound}, {self.verdicts[0]}) is not "
            f"borne out by the exact {self.exact} {self.unit} ({self.verdicts[1]}): a fault of "
            "geomgen; the exact figure holds"
        )


def strayed(first: Sequence[FirstCheck], exact: Sequence[Check]) -> list[Strayed]:
    """Return the first answers whose exact figure lies outside their bound, or that turned.

    >>> gap = Measurement("gap", "pod", "gap", 25.0, "mm", "meshes", error_bound=0.2)
    >>> far = Target("gap", "gap", "at least", "mm", low=20.0)
    >>> exact = [judge([replace(gap, value=value)], [far])[0] for value in (25.1, 25.6)]
    >>> [len(strayed(first_judged([gap], [far]), [check])) for check in exact]
    [0, 1]
    """
    known = {check.id: check for check in exact}
    pairs = [(one, known[one.check.id]) for one in first if one.check.id in known]
    return [
        Strayed(
            check.id,
            check.unit,
            one.check.measured,
            one.check.error_bound,
            check.measured,
            (one.check.verdict if one.final else WAITS, check.verdict),
        )
        for one, check in pairs
        if _outside(one.check, check) or (one.final and one.check.verdict != check.verdict)
    ]


def _outside(first: Check, exact: Check) -> bool:
    """Say whether two figures are farther apart than both may be off."""
    if first.measured is None or exact.measured is None or first.error_bound is None:
        return False
    return abs(first.measured - exact.measured) > first.error_bound + (exact.error_bound or 0.0)
