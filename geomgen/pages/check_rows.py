"""The checks as a page shows them, worst first, as plain values."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from geomgen.pages.margin_bar import bar
from geomgen.pages.verdict_words import GROUPS, SIGNS, sentence
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import (
    figure_of,
    margin_text,
    measured_text,
    points_text,
    raised,
)


def verdict(checks: Sequence[Check], notices: Sequence[str] = ()) -> dict[str, Any]:
    """Return the outcome in a sentence, the worst kind with its sign, and the checks in groups.

    >>> verdict([])["sentence"]
    'Nothing was checked.'
    """
    kinds = [kind_of(check) for check in checks]
    worst = next((kind for kind in GROUPS if kind in kinds), "not_measured")
    worst = "pass" if worst == "info" else worst
    counts = ", ".join(f"{kinds.count(k)} {OUTCOMES[k]}" for k in GROUPS if kinds.count(k))
    groups = [
        {"kind": kind, "title": title, "checks": [row(c) for c in checks if kind_of(c) == kind]}
        for kind, title in GROUPS.items()
        if kind in kinds
    ]
    return {
        "sentence": raised(sentence(checks)),
        "worst": worst,
        "sign": SIGNS[worst],
        "counts": f"{len(checks)} figures: {counts}." if counts else "",
        "groups": groups,
        "notices": [raised(text) for text in notices],
    }


def row(check: Check) -> dict[str, Any]:
    """Return what a page says of one check; a figure without a limit has none to show."""
    kind, made = kind_of(check), bar(check)
    details = [
        f"Method: {check.method}" if check.method else "",
        f"Error bound: {figure_of(check, check.error_bound)}" if check.error_bound else "",
        f"Closest points: {points_text(check.points)}" if check.points else "",
        f"Limit from: {check.source}" if check.source else "",
    ]
    return {
        "id": check.id,
        "kind": kind,
        "sign": SIGNS[kind],
        "word": OUTCOMES[kind],
        "what": check.what,
        "measured": measured(check),
        "limit": "" if kind == "info" else raised(check.target.text),
        "margin": margin(check),
        "bar": asdict(made) if made else None,
        "where": check.where,
        "note": raised(check.note),
        "details": [raised(line) for line in details if line],
    }


def measured(check: Check) -> str:
    """Return the figure as a page shows it.

    >>> from geomgen.verdicts.check import Limits
    >>> measured(Check("a", "", "", 150.0, "mm2", Limits(""), "none", None, "pass"))
    '1.5 cm²'
    """
    return check.written or raised(measured_text(check))


def margin(check: Check) -> str:
    """Return the margin with its sign, empty where there is none."""
    return raised(margin_text(check, ""))
