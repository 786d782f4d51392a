"""Figures and limits as short text, one unit each; what a check says, the same everywhere."""

from collections.abc import Iterable, Sequence

from geomgen.measurements.record import Point
from geomgen.sizing.target import Target
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
}


def figure(value: float, unit: str, sign: bool = False) -> str:
    """Return a value [unit] as it is shown in a table.

    >>> figure(20012.9, "mm2"), figure(5.8, "mm", sign=True), figure(0.5435, "1")
    ('200.1 cm^2', '+5.80 mm', '0.543')
    >>> figure(0.381, "mm")
    '0.381 mm'
    """
    factor, places, name = _SHOWN.get(unit, (1.0, 4, f" {unit}".rstrip()))
    if unit == "mm" and abs(value) < 1:
        places = 3
    if value == 0 and not sign:
        return f"0{name}"
    shown = f"{value * factor:{'+' if sign else ''}.{places}f}"
    if value and not float(shown):
        # A miss by a hair must not read as none at all.
        shown = f"{value * factor:{'+' if sign else ''}.1e}"
    return shown + name


def measured_text(check: Check | None, without: str = OUTCOMES["not_measured"]) -> str:
    """Return what was measured, or the names that were compared; `without` where there is neither.

    >>> measured_text(None)
    '-'
    """
    if check is None:
        return "-"
    if check.measured is None:
        return check.written or without
    return figure(check.measured, check.unit)


def margin_text(check: Check, without: str = "-") -> str:
    """Return the margin with its sign; `without` where there is none."""
    return without if check.margin is None else figure(check.margin, check.unit, sign=True)


def check_cells(check: Check) -> tuple[str, str, str, str, str]:
    """Return a check as cells of a table: id, measured, limit, margin, outcome."""
    measured, outcome = measured_text(check, "-"), OUTCOMES[kind_of(check)]
    return check.id, measured, check.target.text, margin_text(check), outcome


def points_text(points: Sequence[Point]) -> str:
    """Return the points that were measured between; nothing where there are none.

    >>> points_text(((1.0, 2.0, 3.0), (1.0, 2.0, 33.0)))
    '(1.0, 2.0, 3.0) to (1.0, 2.0, 33.0) mm'
    """
    shown = ["(" + ", ".join(f"{x:.1f}" for x in point) + ")" for point in points]
    return " to ".join(shown) + " mm" if shown else ""


def limits_text(target: Target) -> str:
    """Return a target's limits in words.

    >>> limits_text(Target("a", "", "between", "deg", 1.0, 2.0))
    '1.0 to 2.0 deg'
    """
    low, high, unit = target.low, target.high, target.unit
    if target.comparison == "one of":
        return "one of: " + ", ".join(target.allowed_words)
    if target.comparison == "none" or (low is None and high is None):
        return "no limit set"
    if low is not None and high is not None:
        if low == high:
            return figure(low, unit)
        name = _SHOWN.get(unit, (1.0, 4, f" {unit}"))[2]
        return f"{figure(low, unit).removesuffix(name)} to {figure(high, unit)}"
    if low is not None:
        return f"{target.comparison} {figure(low, unit)}"
    assert high is not None
    return f"{target.comparison} {figure(high, unit)}"


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
