"""The words for an outcome, the same on screen, page, sheet and drawing."""

from geomgen.verdicts.check import Check

# `info` is a figure that is only to be read; it must not look like a check that was passed.
OUTCOMES = {
    "pass": "PASS",
    "fail": "FAIL",
    "warn": "warn",
    "not_measured": "not measured",
    "info": "for information",
}
# What a figure may have to spare, as a share of its limit, and still be near it.
NEAR = 0.1


def kind_of(check: Check) -> str:
    """Return the verdict, or `info` for a figure without a limit that is only to be read."""
    return "info" if check.comparison == "none" and check.verdict == "pass" else check.verdict


def near_limit(check: Check) -> bool:
    """Say whether a figure is past its limit or has little to spare.

    Little is less than a tenth of the limit itself (own choice).

    >>> from geomgen.verdicts.check import Limits
    >>> limits = Limits("at least 20 mm", low=20.0)
    >>> [
    ...     near_limit(Check("a", "", "", v, "mm", limits, "at least", v - 20.0, "pass"))
    ...     for v in (21.0, 23.0)
    ... ]
    [True, False]
    """
    kind = kind_of(check)
    if kind != "pass" or check.margin is None:
        return kind in ("fail", "not_measured", "warn")
    limits = [limit for limit in (check.target.low, check.target.high) if limit is not None]
    return any(abs(check.margin) < NEAR * abs(limit) for limit in limits)
