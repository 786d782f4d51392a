"""Figures and limits as short text, one unit each; what a check says, the same everywhere."""

import re
from collections.abc import Iterable, Sequence

from geomgen.measurements.record import Point
from geomgen.sizing.target import Target
from geomgen.units import DIMENSIONS, INCH
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of

# Decimals and what a reader sees of each unit; areas in cm^2, which a builder can picture.
_SHOWN: dict[str, tuple[float, int, str]] = {
    "mm": (1.0, 2, " mm"),
    "mm2": (0.01, 1, " cm^2"),
    "mm3": (0.001, 1, " cm^3"),
    "kg": (1.0, 3, " kg"),
    "deg": (1.0, 1, " deg"),
    "chord": (1.0, 3, " chord"),
    "Mach": (1.0, 3, " Mach"),
    "1": (1.0, 3, ""),
    "m/s": (1.0, 1, " m/s"),
    "K": (1.0, 1, " K"),
    "kg/s": (1.0, 3, " kg/s"),
}

# What is smaller than a one in this decimal place is only said to be under it.
MOST_PLACES = 4


# The same for a file that counts in inches; what is not here has one form.
_INCHES: dict[str, tuple[float, int, str]] = {
    "mm": (1.0 / INCH, 3, " in"),
    "mm2": (1.0 / INCH**2, 2, " in^2"),
    "mm3": (1.0 / INCH**3, 2, " in^3"),
    "kg": (1.0 / DIMENSIONS["mass"].factors["lb"], 3, " lb"),
}


def _shown(unit: str, inches: bool) -> tuple[float, int, str]:
    plain = _SHOWN.get(unit, (1.0, 4, f" {unit}".rstrip()))
    return _INCHES.get(unit, plain) if inches else plain


def figure(value: float, unit: str, sign: bool = False, inches: bool = False) -> str:
    """Return a value [unit] as it is shown in a table, or as one that counts in inches shows it.

    >>> figure(20012.9, "mm2"), figure(5.8, "mm", sign=True), figure(0.5435, "1")
    ('200.1 cm^2', '+5.80 mm', '0.543')
    >>> figure(0.381, "mm")
    '0.381 mm'
    >>> figure(20012.9, "mm2", inches=True), figure(0.254, "mm", inches=True)
    ('31.02 in^2', '0.0100 in')
    """
    factor, places, name = _shown(unit, inches)
    if unit == "mm" and abs(value) < 1:
        places = 4 if inches else 3
    if value == 0 and not sign:
        return f"0{name}"
    shown = f"{value * factor:{'+' if sign else ''}.{places}f}"
    if value and not float(shown):
        # A miss by a hair must not read as none at all.
        shown = f"{value * factor:{'+' if sign else ''}.1e}"
    return shown + name


def figure_of(check: Check, value: float, sign: bool = False, inches: bool = False) -> str:
    """Return a check's figure, margin or bound [its unit] as it is shown; counts without decimals.

    A whole number of what there should be none of, without a unit, is a count.

    >>> from geomgen.verdicts.check import Limits
    >>> bolts = Check("a", "", "bolts", 30.0, "1", Limits("", high=0.0), "at most", -30.0, "fail")
    >>> figure_of(bolts, 30.0), figure_of(bolts, -30.0, sign=True), figure_of(bolts, 0.5)
    ('30', '-30', '0.500')
    """
    measured = check.measured or 0.0
    counted = check.unit == "1" and check.target.high == 0.0 and measured.is_integer()
    if counted and value and value.is_integer():
        return f"{value:{'+' if sign else ''}.0f}"
    return figure(value, check.unit, sign, inches)


def measured_text(
    check: Check | None, without: str = OUTCOMES["not_measured"], inches: bool = False
) -> str:
    """Return what was measured, or the names that were compared; `without` where there is neither.

    >>> measured_text(None)
    '-'
    """
    if check is None:
        return "-"
    if check.measured is None:
        return check.written or without
    return figure_of(check, check.measured, inches=inches)


def margin_text(check: Check, without: str = "-", inches: bool = False) -> str:
    """Return the margin with its sign; `without` where there is none."""
    return without if check.margin is None else figure_of(check, check.margin, True, inches)


def check_cells(check: Check, inches: bool = False) -> tuple[str, str, str, str, str]:
    """Return a check as cells of a table: id, measured, limit, margin, outcome."""
    measured, outcome = measured_text(check, "-", inches), OUTCOMES[kind_of(check)]
    limits = check.target
    target = limits.text
    if inches and (limits.low is not None or limits.high is not None):
        target = between(check.comparison, limits.low, limits.high, check.unit, inches)
    return check.id, measured, target, margin_text(check, inches=inches), outcome


def points_text(points: Sequence[Point], inches: bool = False) -> str:
    """Return the points that were measured between [mm]; nothing where there are none.

    >>> points_text(((1.0, 2.0, 3.0), (1.0, 2.0, 33.0)))
    '(1.0, 2.0, 3.0) to (1.0, 2.0, 33.0) mm'
    >>> points_text(((25.4, -1e-9, -254.0),), inches=True)
    '(1.00, 0.00, -10.00) in'
    """
    each, places, unit = (1.0 / INCH, 2, " in") if inches else (1.0, 1, " mm")
    shown = ["(" + ", ".join(f"{x * each:z.{places}f}" for x in point) + ")" for point in points]
    return " to ".join(shown) + unit if shown else ""


def limits_text(target: Target) -> str:
    """Return a target's limits in words.

    >>> limits_text(Target("a", "", "between", "deg", 1.0, 2.0))
    '1.0 to 2.0 deg'
    """
    if target.comparison == "one of":
        return "one of: " + ", ".join(target.allowed_words)
    return between(target.comparison, target.low, target.high, target.unit)


def between(
    comparison: str, low: float | None, high: float | None, unit: str, inches: bool = False
) -> str:
    """Return limits [unit] in words, or as a table that counts in inches shows them.

    >>> between("at least", 25.4, None, "mm", inches=True)
    'at least 1.000 in'
    """
    if comparison == "none" or (low is None and high is None):
        return "no limit set"
    if low is not None and high is not None:
        last = figure(high, unit, inches=inches)
        if low == high:
            return last
        name = _shown(unit, inches)[2]
        return f"{figure(low, unit, inches=inches).removesuffix(name)} to {last}"
    only = low if low is not None else high
    assert only is not None
    return f"{comparison} {figure(only, unit, inches=inches)}"


def notices_of(targets: Iterable[Target], checks: Iterable[Check] = ()) -> tuple[str, ...]:
    """Return each notice of the targets once, without those that a check says in its note."""
    said = "; ".join(check.note for check in checks)
    every = dict.fromkeys(notice for target in targets for notice in target.notices)
    return tuple(notice for notice in every if notice not in said)


def raised(text: str) -> str:
    """Return a text with squares and cubes as they are printed.

    >>> raised("186.5 cm^2")
    '186.5 cm\u00b2'
    """
    return text.replace("^2", "\u00b2").replace("^3", "\u00b3")


def figure_words(value: float | None, unit: str) -> str:
    """Return a value [unit] as what a shop gets is told: plain digits, counts without decimals.

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
    """Return the limits [unit] in words, of what a shop gets.

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
