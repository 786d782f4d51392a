"""A shop's figure and its limits as short text, the same on every sheet and screen."""

import re

from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure

# What is smaller than a one in this decimal place is only said to be under it.
MOST_PLACES = 4


def figure_words(value: float | None, unit: str) -> str:
    """Return a value with its unit; counts and shares have none.

    >>> figure_words(0.169, "mm"), figure_words(3.0, "1"), figure_words(2.584, "%")
    ('0.169 mm', '3', '2.58 %')
    >>> figure_words(93468.9, "mm2"), figure_words(None, "mm")
    ('934.7 cm^2', '-')
    >>> figure_words(0.0005, "%"), figure_words(100.0, "%")
    ('0.0005 %', '100.00 %')
    >>> figure_words(4.5e-13, "mm"), figure_words(0.47, "mm2"), figure_words(1.1e-7, "%")
    ('under 0.0001 mm', 'under 0.01 cm^2', 'under 0.0001 %')
    """
    if value is None:
        return "-"
    if unit in ("1", ""):
        return f"{value:.4g}"
    if unit == "%":
        # A share that is all but none must not read as none.
        shown = f"{value:.2g} %" if 0.0 < abs(value) < 0.01 else f"{value:.2f} %"
        return _without_powers(shown)
    return _without_powers(figure(value, unit))


def _without_powers(shown: str) -> str:
    """Return a figure too small for its places as one that it is under, in plain digits."""
    found = re.fullmatch(r"\d[\d.]*e-(\d+)(.*)", shown)
    if found is None:
        return shown
    places = min(int(found[1]) - 1, MOST_PLACES)
    return f"under {10.0**-places:.{places}f}{found[2]}"


def finding_cells(finding: Check) -> tuple[str, str, str, str]:
    """Return what was measured on a shop's file as cells: id, measured, limit, outcome."""
    limits = limit_words(finding.target.low, finding.target.high, finding.unit)
    measured = figure_words(finding.measured, finding.unit)
    return finding.id, measured, limits, OUTCOMES[kind_of(finding)]


def limit_words(low: float | None, high: float | None, unit: str) -> str:
    """Return the limits in words.

    >>> limit_words(None, 0.2, "mm"), limit_words(0.998, 1.002, "1"), limit_words(None, None, "mm")
    ('at most 0.200 mm', '0.998 to 1.002', 'no limit')
    """
    if low is None and high is None:
        return "no limit"
    if low is None:
        return f"at most {figure_words(high, unit)}"
    if high is None:
        return f"at least {figure_words(low, unit)}"
    return f"{figure_words(low, unit)} to {figure_words(high, unit)}"
