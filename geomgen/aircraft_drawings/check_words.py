"""Checks in one line of text, as a drawing says them."""

from collections.abc import Iterable, Sequence

from geomgen.kernel.plain import Vec3
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure_of, raised


def said(check: Check, what: str = "") -> str:
    """Return what was measured, its limit and the outcome; `what` stands for the check's own words.

    >>> from geomgen.verdicts.check import Limits
    >>> limits = Limits("at least 164.0 cm^2", low=16400.0)
    >>> said(Check("a", "", "inlet area", 18650.0, "mm2", limits, "at least", 2250.0, "pass"))
    'inlet area 186.5 cm², at least 164.0 cm², PASS'
    """
    head = what or check.what
    if check.written:
        head = f"{head} {check.written}"
    elif check.measured is not None:
        head = f"{head} {figure_of(check, check.measured)}"
    if kind_of(check) == "info":
        return raised(head)
    return raised(f"{head}, {check.target.text}, {OUTCOMES[check.verdict]}")


def lines_of(checks: Sequence[Check], wanted: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Return a line for each (id, words) that was checked; words may be empty."""
    by_id = {check.id: check for check in checks}
    return tuple(said(by_id[id_], what) for id_, what in wanted if id_ in by_id)


def place_words(point: Vec3) -> str:
    """Return a point [mm] by station, buttock line and waterline.

    >>> place_words((2467.0, 45.02, 1000.0))
    'STA 2467.0, BL 45.0, WL 1000.0'
    """
    return f"STA {point[0]:.1f}, BL {point[1]:.1f}, WL {point[2]:.1f}"
