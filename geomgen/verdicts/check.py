"""The outcome of one check, as a record that a page, a table or JSON can be made from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, Literal

from geomgen.measurements.record import Point
from geomgen.sizing.target import Comparison

Verdict = Literal["pass", "fail", "warn", "not_measured"]


@dataclass(frozen=True)
class Limits:
    """The limits in words and as numbers [unit of the check]; None where there is none."""

    text: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Check:
    """One figure judged.

    `measured`, `margin` and `error_bound` are in `unit` (mm, mm2, mm3, kg, deg, 1, m/s); a margin
    is positive inside the limits. `written` is what was judged where names are compared. `binding`
    is False for a check whose outcome does not decide on the whole, such as the ground clearance
    in a file without gear.
    """

    id: str
    part: str
    what: str
    measured: float | None
    unit: str
    target: Limits
    comparison: Comparison
    margin: float | None
    verdict: Verdict
    method: str = ""
    error_bound: float | None = None
    where: str = ""
    points: tuple[Point, ...] = ()
    source: str = ""
    note: str = ""
    written: str = ""
    binding: bool = True

    @property
    def stops(self) -> bool:
        """Tell whether this outcome means that the whole did not pass."""
        return self.binding and self.verdict in ("fail", "not_measured")

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON.

        >>> limits = Limits("at least 25.40 mm", low=25.4)
        >>> check = Check("a", "pod", "gap", 30.0, "mm", limits, "at least", 4.6, "pass")
        >>> check.as_dict()["target"]
        {'text': 'at least 25.40 mm', 'low': 25.4, 'high': None}
        """
        return {
            "id": self.id,
            "part": self.part,
            "what": self.what,
            "measured": self.measured,
            "unit": self.unit,
            "target": {
                "text": self.target.text,
                "low": self.target.low,
                "high": self.target.high,
            },
            "comparison": self.comparison,
            "margin": self.margin,
            "verdict": self.verdict,
            "method": self.method,
            "error_bound": self.error_bound,
            "where": self.where,
            "points": [list(point) for point in self.points],
            "source": self.source,
            "note": self.note,
            "written": self.written,
            "binding": self.binding,
        }


def from_dict(row: Mapping[str, Any]) -> Check:
    """Return a check from the plain values that `as_dict` made; KeyError, TypeError if they aren't.

    >>> check = Check("a", "pod", "gap", 30.0, "mm", Limits("", 25.4), "at least", 4.6, "pass")
    >>> from_dict(check.as_dict()) == check
    True
    """
    values = {field.name: row[field.name] for field in fields(Check)}
    values["target"] = Limits(**row["target"])
    values["points"] = tuple((float(x), float(y), float(z)) for x, y, z in row["points"])
    return Check(**values)


def passed(checks: Sequence[Check]) -> bool:
    """Tell whether no check failed and none that should have been measured was left out."""
    return bool(checks) and not any(check.stops for check in checks)
