"""First answers as a page shows them while more and the exact ones are made, as plain values.

A figure of the new state takes the place of the one before as soon as it is known. All others stay
where they are, each marked with the revision that it is of; until none is left nothing is well.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from geomgen.pages.check_rows import measured, row
from geomgen.pages.verdict_words import GROUPS, SIGNS, sentence
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import WAITS, FirstCheck
from geomgen.verdicts.outcome import kind_of, near_limit
from geomgen.verdicts.wording import raised

OPEN, TO_COME = "waits", "to come"
SIGN = "…"
TITLE = "Still open"


def first_verdict(
    checks: Sequence[FirstCheck],
    notices: Sequence[str] = (),
    former: Sequence[Check] = (),
    revision: int = 1,
    of: int = 0,
    whole: bool = True,
) -> dict[str, Any]:
    """Return what `check_rows.verdict` does, of first answers, and of what is not known yet.

    `former` are the checks of revision `of`; what comes is `revision`. Rows of `former` bear `of`.

    >>> first_verdict([])["sentence"]
    'First answer: Nothing was checked.'
    """
    known = {one.check.id: one for one in checks if one.final}
    waiting = {one.check.id: one.check for one in checks if not one.final}
    kept = {c.id: c for c in former if c.id not in known and not _told(waiting.get(c.id))}
    rest = [check for id_, check in waiting.items() if id_ not in kept]
    rows = {id_: _known(one) for id_, one in known.items()}
    rows |= {id_: {**row(check), "of": of} for id_, check in kept.items()}
    shown = {**{id_: one.check for id_, one in known.items()}, **kept}
    order = [c.id for c in former if c.id in rows]
    order += [id_ for id_ in rows if id_ not in set(order)]
    final = [one.check for one in known.values()]
    left = len(kept) + len(rest)
    failing = any(check.verdict == "fail" for check in final)
    head = f"Revision {revision}" if not whole else "First answer"
    return {
        "first": True,
        "partial": not whole,
        "sentence": raised(
            " ".join([f"{head}: {_outcome(final, left)}", *_left(kept, rest, of, whole)])
        ),
        "worst": _worst_of(final) if failing or not left else OPEN,
        "sign": SIGNS["fail"] if failing else SIGN if left else SIGNS[_worst_of(final)],
        "counts": _counts(len(final), len(kept), len(rest), of),
        "groups": [*_groups(order, rows, shown), *_open(rest, whole)],
        "notices": [raised(text) for text in notices],
        "near": [i for i in order if near_limit(shown[i])] + [c.id for c in rest if _told(c)],
        "moved": _moved(known, {check.id: check for check in former}),
    }


def _told(check: Check | None) -> bool:
    """Say whether there is a figure of the new state, though it does not decide yet."""
    return check is not None and check.measured is not None


def _known(one: FirstCheck) -> dict[str, Any]:
    return {**row(one.check), "first_answer": True} if not one.exact else row(one.check)


def _outcome(final: Sequence[Check], left: int) -> str:
    """Return what is told so far; that all is well is said of nothing less than all."""
    stops = any(check.verdict in ("fail", "not_measured") for check in final)
    return sentence(final) if stops or not left else "nothing fails so far."


def _left(kept: Mapping[str, Check], rest: Sequence[Check], of: int, whole: bool) -> list[str]:
    found = []
    if kept:
        are = "figure is" if len(kept) == 1 else "figures are"
        found.append(f"{len(kept)} {are} still of revision {of}.")
    if rest:
        wait = "waits" if len(rest) == 1 else "wait"
        told = f"{wait} for the exact figures" if whole else TO_COME
        found.append(f"{len(rest)} more {told}.")
    return found


def _counts(final: int, kept: int, rest: int, of: int) -> str:
    told = [f"{final} known" if final else "", f"{kept} of revision {of}" if kept else ""]
    words = ", ".join([*filter(None, told), *([f"{rest} to come"] if rest else [])])
    return f"{final + kept + rest} figures: {words}." if words else ""


def _worst_of(final: Sequence[Check]) -> str:
    kinds = [kind_of(check) for check in final]
    worst = next((kind for kind in GROUPS if kind in kinds), "not_measured")
    return "pass" if worst == "info" else worst


def _groups(
    order: Sequence[str], rows: Mapping[str, dict[str, Any]], shown: Mapping[str, Check]
) -> list[dict[str, Any]]:
    kinds = {id_: kind_of(check) for id_, check in shown.items()}
    groups = [
        {"kind": kind, "title": title, "checks": [rows[i] for i in order if kinds[i] == kind]}
        for kind, title in GROUPS.items()
    ]
    return [group for group in groups if group["checks"]]


def _open(rest: Sequence[Check], whole: bool) -> list[dict[str, Any]]:
    """Return the group of figures that do not decide yet, and of those nothing is known of."""
    if not rest:
        return []
    word = {check.id: WAITS if whole or _told(check) else TO_COME for check in rest}
    rows = [{**row(c), "kind": OPEN, "sign": SIGN, "word": word[c.id]} for c in rest]
    return [{"kind": OPEN, "title": TITLE, "checks": rows}]


def _moved(known: Mapping[str, FirstCheck], former: Mapping[str, Check]) -> list[str]:
    return [id_ for id_, one in known.items() if former and _differs(former.get(id_), one.check)]


def _differs(one: Check | None, other: Check) -> bool:
    """Say whether a figure moved by more than both may be off, or its verdict did."""
    if one is None or kind_of(one) != kind_of(other) or one.target.text != other.target.text:
        return True
    if one.measured is None or other.measured is None:
        return measured(one) != measured(other)
    off = (one.error_bound or 0.0) + (other.error_bound or 0.0)
    return measured(one) != measured(other) and abs(one.measured - other.measured) > off
