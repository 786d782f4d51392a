"""First answers as a page shows them while the exact ones are made, as plain values."""

from collections.abc import Sequence
from typing import Any

from geomgen.pages.check_rows import row, verdict
from geomgen.pages.verdict_words import sentence
from geomgen.verdicts.first import WAITS, FirstCheck
from geomgen.verdicts.wording import raised
from geomgen.watching.live_page.changes import near_limit

WAITING = {"kind": "waits", "sign": "…", "word": WAITS}


def first_verdict(checks: Sequence[FirstCheck], notices: Sequence[str] = ()) -> dict[str, Any]:
    """Return what `check_rows.verdict` does, of first answers: the last group waits.

    >>> first_verdict([])["sentence"]
    'First answer: Nothing was checked.'
    """
    final = [one.check for one in checks if one.final]
    waiting = [one for one in checks if not one.final]
    told = verdict(final, notices)
    for group in told["groups"]:
        for each in group["checks"]:
            each["first_answer"] = True
    words = f"First answer: {sentence(final)}"
    if waiting:
        wait = "waits" if len(waiting) == 1 else "wait"
        words += f" {len(waiting)} more {wait} for the exact figures."
        rows = [{**row(one.check), **WAITING} for one in waiting]
        title = "Waiting for the exact figures"
        told["groups"].append({"kind": "waits", "title": title, "checks": rows})
    counts = f"{told['counts'] or ''} {len(waiting)} to come.".strip()
    sign = told["sign"] if told["worst"] == "fail" or not waiting else WAITING["sign"]
    near = [check.id for check in final if near_limit(check)]
    shown = {"near": near, "sentence": raised(words), "counts": counts, "sign": sign}
    return {**told, "first": True, **shown}
