"""Which measurements moved, by how much, and which verdicts turned."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Literal

from geomgen.verdicts.check import Check, Verdict

Kind = Literal["turned", "moved", "limit changed", "appeared", "vanished", "same"]
KINDS: tuple[Kind, ...] = ("turned", "vanished", "appeared", "moved", "limit changed", "same")
# The same solid measured twice may differ by this share where no error bound says otherwise.
ROUNDING = 1e-6
# How bad a verdict is: what got worse comes first.
WORSE: dict[Verdict, int] = {"pass": 0, "warn": 1, "not_measured": 2, "fail": 3}


@dataclass(frozen=True)
class FigureChange:
    """A check before and after; None where there is none.

    `moved` is new less former [unit], `error` both error bounds together [unit]; `share` is what
    the move took of the former margin [1]: 1 uses it up, a negative one adds to it.
    """

    id: str
    part: str
    what: str
    unit: str
    kind: Kind
    former: Check | None
    new: Check | None
    moved: float | None = None
    error: float | None = None
    share: float | None = None
    limit_changed: bool = False

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON."""
        return {
            **asdict(self),
            "former": self.former.as_dict() if self.former else None,
            "new": self.new.as_dict() if self.new else None,
        }


def figure_changes(former: Iterable[Check], new: Iterable[Check]) -> tuple[FigureChange, ...]:
    """Return what became of each check: verdicts that turned first, the worst of them on top.

    A figure that moved by no more than both error bounds together is the same.

    >>> from geomgen.verdicts.check import Limits
    >>> limits = Limits("at least 25 mm", low=25.0)
    >>> old = Check("a", "pod", "gap", 30.0, "mm", limits, "at least", 5.0, "pass")
    >>> new = Check("a", "pod", "gap", 24.0, "mm", limits, "at least", -1.0, "fail")
    >>> [(c.kind, c.moved, c.share) for c in figure_changes([old], [new])]
    [('turned', -6.0, 1.2)]
    """
    before, after = _by_id(former), _by_id(new)
    names = [*after, *(name for name in before if name not in after)]
    every = [_change(before.get(name), after.get(name)) for name in names]
    return tuple(sorted(every, key=_rank))


def _rank(change: FigureChange) -> tuple[int, int]:
    bad = WORSE[change.new.verdict] if change.new and change.kind == "turned" else 0
    return KINDS.index(change.kind), -bad


def _by_id(checks: Iterable[Check]) -> dict[tuple[str, int], Check]:
    found: dict[tuple[str, int], Check] = {}
    for check in checks:
        number = 0
        while (check.id, number) in found:
            number += 1
        found[(check.id, number)] = check
    return found


def _change(former: Check | None, new: Check | None) -> FigureChange:
    known = new or former
    assert known is not None
    moved = error = share = None
    kind: Kind = "appeared" if former is None else "vanished"
    limit = False
    if former is not None and new is not None:
        moved, error = _moved(former, new), _error(former, new)
        limit = (former.target.low, former.target.high) != (new.target.low, new.target.high)
        share = _share(former, new)
        kind = _kind(former, new, moved, error, limit)
    return FigureChange(
        known.id, known.part, known.what, known.unit, kind, former, new, moved, error, share, limit
    )


def _kind(former: Check, new: Check, moved: float | None, error: float | None, limit: bool) -> Kind:
    if former.verdict != new.verdict:
        return "turned"
    if (former.measured is None) != (new.measured is None) or former.unit != new.unit:
        return "moved"
    give = error or 0.0
    if moved is not None:
        give += ROUNDING * max(abs(former.measured or 0.0), abs(new.measured or 0.0))
        if abs(moved) > give:
            return "moved"
    if former.written != new.written:
        return "moved"
    return "limit changed" if limit or former.target.text != new.target.text else "same"


def _moved(former: Check, new: Check) -> float | None:
    if former.measured is None or new.measured is None or former.unit != new.unit:
        return None
    return new.measured - former.measured


def _error(former: Check, new: Check) -> float | None:
    if former.error_bound is None and new.error_bound is None:
        return None
    return (former.error_bound or 0.0) + (new.error_bound or 0.0)


def _share(former: Check, new: Check) -> float | None:
    if not former.margin or new.margin is None or former.margin <= 0 or former.unit != new.unit:
        return None
    return (former.margin - new.margin) / former.margin
