"""The bar of a check: where the limits lie, where the measured value, all on one scale."""

from dataclasses import dataclass

from geomgen.verdicts.check import Check

# Width of the bar in its own units; room at both ends, as a share of what is shown.
LONG, AROUND = 100.0, 0.15


@dataclass(frozen=True)
class Bar:
    """Places along the bar [%]: the allowed stretch, the margin, the value, its error.

    `margin` runs from the limit that binds to the measured value. `inside` says on which side the
    value lies. `low_open` and `high_open` tell that the allowed stretch has no end there.
    """

    allowed: tuple[float, float]
    margin: tuple[float, float]
    value: float
    error: float
    inside: bool
    low_open: bool
    high_open: bool


def bar(check: Check) -> Bar | None:
    """Return the bar; None where there is no number or no limit to draw.

    >>> from geomgen.verdicts.check import Limits
    >>> limits = Limits("at least 20 mm", low=20.0)
    >>> gap = Check("a", "pod", "gap", 30.0, "mm", limits, "at least", 10.0, "pass")
    >>> made = bar(gap)
    >>> made.allowed, made.margin, made.inside
    ((62.821, 100.0), (62.821, 88.462), True)
    """
    low, high, value = check.target.low, check.target.high, check.measured
    if value is None or (low is None and high is None):
        return None
    two = low is not None and high is not None
    # One limit is shown beside nothing at all, two beside each other.
    known = [v for v in (low, high, value, None if two else 0.0) if v is not None]
    least, most = min(known), max(known)
    span = max(most - least, 1e-12)
    least, span = least - AROUND * span, (1 + 2 * AROUND) * span

    def at(v: float) -> float:
        return round(LONG * (v - least) / span, 3)

    # The limit that the value is nearest to decides; the margin is counted from it.
    binding = min((v for v in (low, high) if v is not None), key=lambda v: abs(v - value))
    return Bar(
        (0.0 if low is None else at(low), LONG if high is None else at(high)),
        (min(at(binding), at(value)), max(at(binding), at(value))),
        at(value),
        round(LONG * min((check.error_bound or 0.0) / span, 1.0), 3),
        check.verdict not in ("fail", "not_measured"),
        low is None,
        high is None,
    )
