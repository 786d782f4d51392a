"""The outcome of all checks in a sentence; signs and headings of the page."""

from collections.abc import Sequence

from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import kind_of
from geomgen.verdicts.wording import figure_of

# A sign beside the word, so that a glance is enough without colour.
SIGNS = {"fail": "✗", "not_measured": "?", "warn": "!", "pass": "✓", "info": "i"}
GROUPS = {
    "fail": "Failed",
    "not_measured": "Not measured",
    "warn": "Warnings",
    "pass": "Passed",
    "info": "For information: no limit set",
}
# So many failures are told in the sentence with their figures.
TOLD = 3


def sentence(checks: Sequence[Check]) -> str:
    """Return the outcome of all checks in a sentence or two.

    >>> sentence([])
    'Nothing was checked.'
    """
    judged = [check for check in checks if kind_of(check) != "info"]
    if not judged:
        return "Nothing was checked."
    failed = [check for check in judged if check.verdict == "fail"]
    lost = [check for check in judged if check.verdict == "not_measured"]
    warned = [check for check in judged if check.verdict == "warn"]
    if failed or lost:
        parts = []
        if failed:
            parts.append(f"{len(failed)} of {len(judged)} checks fail: {_told(failed)}.")
        if lost:
            was = "was" if len(lost) == 1 else "were"
            parts.append(f"{len(lost)} {was} not measured: {_told(lost)}.")
        return " ".join(parts)
    if warned:
        warns = "warns" if len(warned) == 1 else "warn"
        return f"No check fails; {len(warned)} of {len(judged)} {warns}: {_told(warned)}."
    return f"All {len(judged)} checks pass." if len(judged) > 1 else "The one check passes."


def _told(checks: Sequence[Check]) -> str:
    shown = "; ".join(_brief(check) for check in checks[:TOLD])
    more = len(checks) - TOLD
    return shown + (f"; and {more} more" if more > 0 else "")


def _brief(check: Check) -> str:
    if check.written:
        return f"{check.id} {check.written} ({check.target.text})"
    if check.measured is None:
        return check.id
    return f"{check.id} {figure_of(check, check.measured)} ({check.target.text})"
