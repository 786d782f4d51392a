"""Which figures differ between two states, as a reader sees them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from geomgen.pages.check_rows import margin, measured
from geomgen.pages.verdict_words import SIGNS
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure, raised

NONE, SAME = "–", "same"
# From the best to the worst, to tell whether a verdict became better.
RANK = {"info": 0, "pass": 0, "warn": 1, "not_measured": 2, "fail": 3}


@dataclass(frozen=True)
class Change:
    """A figure that differs: former and new as text, the verdicts, and whether it got better.

    `mood` is good, bad or empty (the verdict is the same); `moved` says by how much it moved.
    """

    id: str
    what: str
    former: str
    new: str
    margin: str
    former_kind: str
    kind: str
    mood: str
    moved: str = ""

    @property
    def words(self) -> str:
        """The verdict: the former one as well where it is another."""
        if self.former_kind in ("", self.kind):
            return OUTCOMES.get(self.kind, "gone")
        return f"{OUTCOMES[self.former_kind]} → {OUTCOMES.get(self.kind, 'gone')}"

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for the page."""
        return {
            "id": self.id,
            "what": self.what,
            "former": self.former,
            "new": self.new,
            "margin": self.margin,
            "kind": self.kind,
            "sign": SIGNS.get(self.kind, ""),
            "words": self.words,
            "mood": self.mood,
            "moved": self.moved,
        }


def changes(former: Sequence[Check], new: Sequence[Check]) -> tuple[Change, ...]:
    """Return what differs: verdicts that changed first, the worst of them at the top.

    A figure that reads the same to the last digit shown, with the same limit, is the same.
    """
    before = {check.id: check for check in former}
    after = {check.id: check for check in new}
    found = [_change(before.get(id_), after.get(id_)) for id_ in {**after, **before}]
    kept = [change for change in found if change is not None]
    return tuple(sorted(kept, key=lambda c: (c.mood == "", -RANK.get(c.kind, 0))))


def _change(one: Check | None, other: Check | None) -> Change | None:
    known = other or one
    assert known is not None
    old, now = (_seen(check) for check in (one, other))
    if old == now:
        return None
    before = kind_of(one) if one else ""
    after = kind_of(other) if other else ""
    better = RANK.get(after, 0) - RANK.get(before, 0)
    mood = "" if not one or not other or not better else "bad" if better > 0 else "good"
    if not one and after in ("fail", "not_measured"):
        mood = "bad"
    return Change(
        known.id,
        known.what,
        measured(one) if one else NONE,
        measured(other) if other else NONE,
        margin(other) if other else "",
        before,
        after,
        mood,
        moved(one, other) if other else NONE,
    )


def moved(one: Check | None, other: Check) -> str:
    """Return by how much a figure moved, with its sign."""
    if one is None or one.measured is None or other.measured is None or one.unit != other.unit:
        return NONE
    text = figure(other.measured - one.measured, other.unit, True)
    return SAME if not any(digit in text for digit in "123456789") else raised(text)


def _seen(check: Check | None) -> tuple[str, ...] | None:
    return (measured(check), kind_of(check), check.target.text) if check else None
