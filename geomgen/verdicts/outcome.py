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


def kind_of(check: Check) -> str:
    """Return the verdict, or `info` for a figure without a limit that is only to be read."""
    return "info" if check.comparison == "none" and check.verdict == "pass" else check.verdict
